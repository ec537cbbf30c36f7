"""The undriven neighbours of a post that can't stay, spread again between what is driven or fixed."""

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

import numpy as np

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import level_at_ft
from engine.calc.geometry.plane import distance_ft
from engine.calc.geometry.spacing import best_supports
from engine.calc.limits import OutOfRange
from engine.calc.tolerances import SAME_SPOT_FT, STRAIGHT_DEG
from engine.change.spot_rules import REFUSED_FT, CannotStay, apart_ft
from engine.stages.layout.bays import bay_id
from engine.stages.layout.keep_outs import blocked_on, merged
from engine.stages.layout.line_tracks import Track, on_line_ft, place, turns_at, unrolled
from engine.stages.layout.propose import stretch_between
from engine.stages.layout.stage import Support


@dataclass(frozen=True)
class Respread:
    """A stretch spread anew: the edits, how many posts change, feet they go together, posts more than before, and its bays in ft."""

    steps: tuple[Mapping[str, Any], ...]
    moved: int
    feet: float
    more: int
    uneven_ft: float
    shortest_ft: float
    longest_ft: float
    from_id: str
    to_id: str
    bays: tuple[str, ...]


def respread(case: CannotStay) -> Respread | None:
    """The best spread of the posts not driven yet round the case's post, with its present spot blocked."""
    stretch = _stretch(case)
    if stretch is None:
        return None
    track = unrolled(case.track)
    (start_ft, first), posts, (end_ft, last) = stretch
    stations = _new_stations(case, track, start_ft, end_ft, next(at for at, post in posts if post.id == case.post.id))
    placed = _posts_to_stations(case.post.id, [(at, post.id) for at, post in posts], stations, _on_a_turn(case, case.post))
    if placed is None:
        return None
    bays = _bay_lengths_ft(track, first, last, stations)
    if not bays or max(bays) > case.most_ft:
        return None
    by_id = {post.id: (at, post) for at, post in posts}
    steps = [step for name, station in placed if (step := _step(case, by_id.get(name or ""), station)) is not None]
    feet = sum(abs(step["along_ft"]) + abs(step["out_ft"]) for step in steps if step["kind"] == "move")
    row = [first, *(post for _, post in posts), last]
    now = [apart_ft(a, b) for a, b in pairwise(row)]
    uneven_ft = max(0.0, (max(bays) - min(bays)) - (max(now) - min(now)))
    more, today = len(stations) - len(posts), tuple(bay_id(a.id, b.id) for a, b in pairwise(row))
    return Respread(tuple(steps), len(steps), feet, more, uneven_ft, min(bays), max(bays), first.id, last.id, today)


def _stretch(case: CannotStay) -> tuple[tuple[float, Support], list[tuple[float, Support]], tuple[float, Support]] | None:
    """The fixed supports either side, with their stations, and the posts between that may move, the case's own among them. On a ring the
    row goes on past its first point, so that the stretch may lie across it; one that goes all the way round has no end."""
    round_ft = case.track.length_ft if case.track.closed else 0.0
    line = [case.walk.layout.supports[name] for name in case.walk.layout.lines[case.post.line].supports]
    row = [(support.on_line(case.track.name, case.track.path)[0], support) for support in line]
    count = len(row)
    at = next((n for n, (_, support) in enumerate(row) if support.id == case.post.id), None)
    if at is None:
        return None
    if round_ft:
        row += [(station + round_ft, support) for station, support in row]
        at += count * (at < count / 2)
    low = next((n for n in range(at - 1, -1, -1) if _stays(case, row[n][1])), None)
    high = next((n for n in range(at + 1, len(row)) if _stays(case, row[n][1])), None)
    if low is None or high is None or high - low > count or row[low][0] >= row[high][0]:
        return None
    return row[low], row[low + 1 : high], row[high]


def _stays(case: CannotStay, support: Support) -> bool:
    movable = support.kind == "line" and support.support == "driven" and support.line == case.post.line
    return not movable or support.id in case.held or _on_a_turn(case, support)


def _on_a_turn(case: CannotStay, support: Support) -> bool:
    return abs(turns_at(case.track, [support.station_ft])[0]) > STRAIGHT_DEG


def _new_stations(case: CannotStay, track: Track, start_ft: float, end_ft: float, at_ft: float) -> list[float]:
    blocked = merged(blocked_on(track.path, track.stations_ft, case.ground))
    spot = (at_ft - REFUSED_FT, at_ft + REFUSED_FT)
    asked = stretch_between(case.job.rules.layout, track, start_ft, end_ft, (*blocked, spot), ())
    try:
        return list(best_supports(asked).stations_ft[1:-1])
    except OutOfRange:
        return []


def _posts_to_stations(
    refused: str, posts: list[tuple[float, str]], stations: list[float], at_turn: bool
) -> list[tuple[str | None, float | None]] | None:
    """Which post goes where, in order: a name without a station is left out, a station without a name is a post more. Where one is left out
    it is the refused one, or at a turn, which keeps its post, the one that spares the others most."""
    names = [name for _, name in posts]
    if len(stations) == len(posts):
        return list(zip(names, stations, strict=True))
    if len(stations) == len(posts) - 1:
        out = names.index(refused)
        if at_turn:
            out = min((n for n in range(len(posts)) if n != out), key=lambda n: _feet(posts[:n] + posts[n + 1 :], stations), default=out)
        return [(names[out], None), *zip(names[:out] + names[out + 1 :], stations, strict=True)]
    if len(stations) != len(posts) + 1:
        return None
    extra = min(range(len(stations)), key=lambda n: _feet(posts, stations[:n] + stations[n + 1 :]))
    return [*zip(names, stations[:extra] + stations[extra + 1 :], strict=True), (None, stations[extra])]


def _feet(posts: Sequence[tuple[float, str]], stations: Sequence[float]) -> float:
    return sum(abs(was - to) for (was, _), to in zip(posts, stations, strict=True))


def _step(case: CannotStay, placed: tuple[float, Support] | None, station_ft: float | None) -> dict[str, Any] | None:
    if placed is None:
        return {"kind": "add", "line": case.post.line, "station_ft": on_line_ft(case.track, station_ft or 0.0)}
    at_ft, post = placed
    if station_ft is None:
        return {"kind": "drop", "post": post.id}
    along_ft = station_ft - at_ft
    if abs(along_ft) < SAME_SPOT_FT and abs(post.offset_ft) < SAME_SPOT_FT:
        return None
    return {"kind": "move", "post": post.id, "along_ft": along_ft, "out_ft": -post.offset_ft or 0.0}


def _bay_lengths_ft(track: Track, first: Support, last: Support, stations: list[float]) -> list[float]:
    spots = [(place(track, station), level_at_ft(track.profile, station)) for station in stations]
    row = [(first.xy, first.level_ft), *spots, (last.xy, last.level_ft)]
    return [float(np.hypot(distance_ft(a, b), low - high)) for (a, low), (b, high) in pairwise(row)]
