"""Sleeves that stay in the ground where no post stands any more: which, where, and why."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from engine.calc.geometry.plane import Point
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import DropEntry, LogEntry, MoveEntry, PlannedEntry, RerouteEntry, SwapEntry, live
from engine.stages.layout.line_tracks import path_then, place_on, tracks
from engine.stages.layout.todays_supports import today
from engine.stages.survey.stage import Survey


@dataclass(frozen=True)
class SleeveLeft:
    """One sleeve: of which post, what happened, when, and where it is, None where the file doesn't say any more."""

    post: str
    what: str
    at: datetime
    line: str = ""
    station_ft: float | None = None
    there: Point | None = None


def sleeves_left(job: Job, survey: Survey) -> tuple[SleeveLeft, ...]:
    """Every sleeve left in the ground, in the order of the log.

    A reroute says which. Else a sleeve stays where its post was left out, moved or given up after it had been driven as long ago as
    the rules say, or longer; a younger one was pulled. A depth that was read again after a move is that of the new hole.
    Source: common practice, no source: a sleeve less than about a week old pulls out, later it stays.
    """
    standing = live(job.log)
    return tuple(found for place, entry in enumerate(standing) for found in _left_by(job, survey, standing[:place], entry))


def _left_by(job: Job, survey: Survey, before: tuple[LogEntry, ...], entry: LogEntry) -> Iterator[SleeveLeft]:
    if isinstance(entry, RerouteEntry):
        places = dict(zip(entry.out, zip(entry.out_stations_ft, entry.out_offsets_ft, strict=True), strict=True))
        path = path_then(survey, entry)
        for post in entry.left:
            station_ft, offset_ft = places[post]
            there = place_on(path, station_ft, offset_ft) if path else None
            yield SleeveLeft(post, "came out with a new way", entry.at, entry.line, station_ft, there)
    elif isinstance(entry, DropEntry | MoveEntry | SwapEntry):
        if _stays(job, entry.post, entry.at):
            what = {"drop": "post left out", "move": "post moved", "swap": "a tree in its place"}[entry.kind]
            yield _where(job, survey, before, SleeveLeft(entry.post, what, entry.at))
    elif isinstance(entry, PlannedEntry):
        yield from (SleeveLeft(post, "not in the new plan", entry.at) for post in entry.gone if _stays(job, post, entry.at))


def _stays(job: Job, post: str, at: datetime) -> bool:
    tick = job.checks.get(ItemKey("posts", post, "driven_depth"))
    return tick is not None and tick.state == "done" and at - tick.at >= timedelta(days=job.rules.posts.pull_days)


def _where(job: Job, survey: Survey, before: tuple[LogEntry, ...], found: SleeveLeft) -> SleeveLeft:
    """Where the post stood just before; not known where the plan it was in is not the plan any more."""
    stands = today(job.model_copy(update={"log": before}), survey, tracks(job, survey), job.posts).stands
    stand = stands.get(found.post)
    if stand is None:
        return found
    return SleeveLeft(found.post, found.what, found.at, stand.line, max(stand.station_ft, 0.0), stand.there)
