"""Supports of every line in their order: which one a line's end shares with another line, and the two posts of every gate."""

from bisect import insort
from collections.abc import Mapping
from math import inf

from engine.calc.geometry.plane import Point, distance_ft
from engine.calc.tolerances import ONE_SUPPORT_FT
from engine.job.model.job import Job
from engine.stages.layout.fixed_supports import gate_spans
from engine.stages.layout.line_tracks import Meeting, Track, place
from engine.stages.layout.todays_supports import LoneSupport, Members


def members(job: Job, tracks: Mapping[str, Track], meetings: tuple[Meeting, ...], stands: Mapping[str, LoneSupport]) -> Members:
    """Supports of every line in order, shared ones in both their lines.

    A line's end hangs on the host's support meant nearest to the meeting, within half a foot; else on a support of its own there,
    which then serves the host too; else on the host's nearest within a move's reach.
    """
    lines: Members = {name: [] for name in tracks}
    for name, stand in stands.items():
        lines[stand.line].append((stand.station_ft, name))
    for name, row in lines.items():
        row.sort()
        if tracks[name].closed:
            _round(row, tracks[name].length_ft)
    for meeting in meetings:
        _join(job, tracks, stands, lines, meeting)
    return lines


def _round(row: list[tuple[float, str]], length_ft: float) -> None:
    """Put a support that was moved round a closed line's start past its neighbours in its order there."""
    while row and row[-1][0] > row[0][0] + length_ft:
        if row[0][0] < 0:
            insort(row, (row[0][0] + length_ft, row.pop(0)[1]))
        else:
            insort(row, (row[-1][0] - length_ft, row.pop()[1]))


def _join(job: Job, tracks: Mapping[str, Track], stands: Mapping[str, LoneSupport], lines: Members, meeting: Meeting) -> None:
    spot = place(tracks[meeting.host], meeting.station_ft)
    theirs, theirs_ft = _nearest(stands, meeting.host, spot)
    own, own_ft = _nearest(stands, meeting.line, tracks[meeting.line].end_place(meeting.end))
    if own is not None and own_ft <= ONE_SUPPORT_FT < theirs_ft:
        insort(lines[meeting.host], (meeting.station_ft, own))
    elif theirs is not None and theirs_ft <= max(job.rules.layout.move_reach_ft, ONE_SUPPORT_FT):
        shared = (tracks[meeting.line].end_ft(meeting.end), theirs)
        row = lines[meeting.line]
        row.insert(0 if meeting.end == "start" else len(row), shared)


def _nearest(stands: Mapping[str, LoneSupport], line: str, spot: Point) -> tuple[str | None, float]:
    away = ((distance_ft(stand.meant, spot), name) for name, stand in stands.items() if stand.line == line)
    nearest_ft, name = min(away, default=(float("inf"), ""))
    return (name, nearest_ft) if name else (None, nearest_ft)


def gate_posts(job: Job, tracks: Mapping[str, Track], stands: Mapping[str, LoneSupport], lines: Members) -> dict[str, tuple[str, str]]:
    """The two posts of every gate."""
    found = {}
    for name, track in tracks.items():
        standing = [(station, post) for station, post in lines[name] if stands[post].kind == "gate"]
        for gate, span in gate_spans(job, track).items():
            near = [_near(standing, wanted, job.rules.layout.move_reach_ft, track.length_ft if track.closed else inf) for wanted in span]
            pairs = [(first_ft + last_ft, (first, last)) for first_ft, first in near[0] for last_ft, last in near[1] if first != last]
            if pairs:
                found[gate] = min(pairs, key=lambda pair: pair[0])[1]
    return found


def _near(standing: list[tuple[float, str]], wanted_ft: float, reach_ft: float, round_ft: float) -> list[tuple[float, str]]:
    """Posts within reach of a station, and how far off; on a ring of `round_ft` across its first point too."""
    away = [(min(abs(station - wanted_ft), abs(abs(station - wanted_ft) - round_ft)), post) for station, post in standing]
    return [one for one in away if one[0] <= reach_ft]
