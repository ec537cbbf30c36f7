"""Something found in the ground: where it is logged, which starts from where a post stands, and who can't stay for it."""

from datetime import datetime
from typing import Any

from engine.change.beyond_reach import refuse_far_obstacle
from engine.change.settling import stopped_says
from engine.job.edit import edits
from engine.job.model.job import Job
from engine.job.model.log_entries import ObstacleEntry
from engine.job.model.site import ObstacleKind
from engine.stages.layout.line_tracks import on_line_ft, tracks
from engine.walk import Walk


def where_it_stands(job: Job, walked: Walk, post: str) -> tuple[str, float, float]:
    """A support's line, its station there and how far off it stands today, ft: a station of a ring is told from its first point on."""
    spot = walked.layout.supports[post]
    track = tracks(job, walked.survey)[spot.line]
    return spot.line, spot.station_ft % track.length_ft if track.closed else spot.station_ft, spot.offset_ft


def where_chosen(job: Job, walked: Walk, chosen: str) -> tuple[str, float | None, float]:
    """The line, the station and the distance off it of a chosen support, of a bay's middle or of a gate; of a loop only its line. An empty
    line where the chosen thing has no place on one."""
    layout = walked.layout
    if chosen in layout.supports:
        return where_it_stands(job, walked, chosen)
    if chosen in layout.bays:
        bay = layout.bays[chosen]
        track, middle_ft = tracks(job, walked.survey)[bay.line], (bay.start_ft + bay.end_ft) / 2
        return bay.line, middle_ft % track.length_ft if track.closed else middle_ft, 0.0
    if chosen in job.gates:
        return job.gates[chosen].line, job.gates[chosen].station_ft, 0.0
    return (walked.cables.loops[chosen].line if chosen in walked.cables.loops else chosen if chosen in job.lines else ""), None, 0.0


def obstacle_found(job: Job, walked: Walk, what: ObstacleKind, line: str, station_ft: float, at: datetime, by: str, **more: Any) -> Job:
    """Job with something found in the ground at a spot of a line: nothing is planned in it from now on."""
    track = tracks(job, walked.survey).get(line)
    if track is not None and abs(station_ft) <= track.length_ft + job.rules.layout.move_reach_ft:
        station_ft = on_line_ft(track, station_ft)
    done = edits.obstacle(job, what, line, station_ft, at, by, **more)
    found = done.log[-1]
    assert isinstance(found, ObstacleEntry)
    refuse_far_obstacle(job, walked, found)
    return done


def rock_where_it_stopped(job: Job, walked: Walk, post: str, at: datetime, by: str) -> Job:
    """Job with a rock logged where a post's sleeve stopped: nothing is planned within a foot of it from now on."""
    line, station_ft, offset_ft = where_it_stands(job, walked, post)
    return edits.obstacle(job, "rock", line, station_ft, at, by, offset_ft=offset_ft, text=stopped_says(walked, post))


def in_its_way(job: Job, walked: Walk, chosen: str | None) -> str | None:
    """The post that can't stay for what the log says last was found in the ground: the chosen one before others; None where all may."""
    entry = job.log[-1] if job.log else None
    if not isinstance(entry, ObstacleEntry) or not walked.layout.accepted:
        return None
    told = [finding.subject for finding in walked.layout.findings if finding.code == "in_keep_out" and entry.id in finding.subjects]
    return chosen if chosen in told else next(iter(told), None)
