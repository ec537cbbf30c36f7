"""The places of what is logged: written beside its station, so that no later new way shifts it; and where an entry leads today."""

from collections.abc import Mapping

from engine.calc.geometry.plane import distance_ft
from engine.job.model.base import FEET_PLACES
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import (
    AddEntry,
    DeliveryEntry,
    DropEntry,
    LogEntry,
    MoveEntry,
    NoteEntry,
    ObstacleEntry,
    PhotoEntry,
    PlannedEntry,
    RerouteEntry,
    SleeveLeftEntry,
    SupersededEntry,
    SwapEntry,
)
from engine.stages.layout.line_tracks import Track, place, tracks
from engine.stages.punch.closing_list import Jump
from engine.walk import Walk


def with_places(job: Job, before: Walk, known: Job) -> Job:
    """A job with the place of every obstacle, added post, move and photo that the job known before hasn't, by that walk's lines."""
    fresh = job.log[len(known.log) :]
    if not any(isinstance(entry, ObstacleEntry | AddEntry | MoveEntry | PhotoEntry) and entry.place is None for entry in fresh):
        return job
    if job.log[: len(known.log)] != known.log or job.lines != known.lines:
        return job
    lines = tracks(job, before.survey)
    stand = {name: (one.line, one.station_ft, one.offset_ft) for name, one in before.layout.supports.items()}
    placed = tuple(_placed(entry, lines, stand) for entry in fresh)
    return job.model_copy(update={"log": (*known.log, *placed)})


def _placed(entry: LogEntry, lines: Mapping[str, Track], stand: dict[str, tuple[str, float, float]]) -> LogEntry:
    if isinstance(entry, MoveEntry) and entry.post in stand:
        line, station_ft, offset_ft = stand[entry.post]
        spot = (line, station_ft + entry.along_ft, offset_ft + entry.out_ft)
        stand[entry.post] = spot
    elif isinstance(entry, ObstacleEntry | AddEntry):
        spot = (entry.line, entry.station_ft, entry.offset_ft)
        if isinstance(entry, AddEntry):
            stand[entry.post] = spot
    elif isinstance(entry, PhotoEntry) and entry.line is not None and entry.station_ft is not None:
        spot = (entry.line, entry.station_ft, 0.0)
    else:
        return entry
    if entry.place is not None or spot[0] not in lines:
        return entry
    east_ft, north_ft = (round(at_ft, FEET_PLACES) + 0.0 for at_ft in place(lines[spot[0]], *spot[1:]))
    return entry.model_copy(update={"east_ft": east_ft, "north_ft": north_ft})


def where_logged(walk: Walk, entry: LogEntry) -> Jump | None:
    """The place of an entry; None where it is about the whole job, or about what isn't there any more."""
    match entry:
        case MoveEntry() | SwapEntry() | AddEntry() | DropEntry() | SleeveLeftEntry():
            return _of_support(walk, entry.post)
        case RerouteEntry():
            return _of_support(walk, entry.from_post)
        case PlannedEntry():
            return Jump("layout", "")
        case ObstacleEntry():
            return _of_support(walk, _nearest(walk, entry))
        case SupersededEntry():
            return _of_item(walk, entry.item)
        case DeliveryEntry():
            return Jump("punch", entry.stock)
        case NoteEntry():
            return _of_thing(walk, entry.about)
        case PhotoEntry():
            return _of_thing(walk, entry.about) or (_of_support(walk, _nearest(walk, entry)) if entry.line else None)
    return None


def _of_support(walk: Walk, name: str) -> Jump | None:
    return Jump("layout", name) if name in walk.layout.supports else None


def _of_item(walk: Walk, key: ItemKey) -> Jump | None:
    stage = next((stage for stage, checklist in walk.checklists.items() if key in checklist.by_key), None)
    return Jump(stage, key.about, item=key) if stage else _of_thing(walk, key.about)


def _of_thing(walk: Walk, name: str) -> Jump | None:
    if name in walk.layout.supports or name in walk.layout.bays:
        return Jump("layout", name)
    if name in walk.cables.loops:
        return Jump("cables", name)
    return Jump("gate", name) if name in walk.gate.gates else None


def _nearest(walk: Walk, entry: ObstacleEntry | PhotoEntry) -> str:
    """The support nearest to what was found or shown: by its place, or by its station where an older file says no place."""
    there = entry.place
    if there is not None:
        return min(walk.layout.supports.values(), key=lambda one: distance_ft(one.xy, there)).id if walk.layout.supports else ""
    of_line = [one for one in walk.layout.supports.values() if one.line == entry.line]
    return min(of_line, key=lambda one: abs(one.station_ft - (entry.station_ft or 0.0))).id if of_line else ""
