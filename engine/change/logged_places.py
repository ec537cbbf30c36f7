"""The places of what was logged just now, written beside its station: no later new way, and no other copy's, shifts it."""

from engine.calc.geometry.plane import Point
from engine.job.model.job import Job
from engine.job.model.log_entries import AddEntry, LogEntry, MoveEntry, ObstacleEntry
from engine.stages.layout.line_tracks import Track, place, tracks
from engine.walk import Walk


def with_places(job: Job, before: Walk, known: Job) -> Job:
    """A job with the place of every obstacle, added post and move that the job known before hasn't, by the lines of that walk."""
    fresh = job.log[len(known.log) :]
    if not any(isinstance(entry, ObstacleEntry | AddEntry | MoveEntry) and entry.place is None for entry in fresh):
        return job
    if job.log[: len(known.log)] != known.log or job.lines != known.lines:
        return job
    lines = tracks(job, before.survey)
    stand = {name: (one.line, one.station_ft, one.offset_ft) for name, one in before.layout.supports.items()}
    placed = tuple(_placed(entry, lines, stand) for entry in fresh)
    return job.model_copy(update={"log": (*known.log, *placed)})


def _placed(entry: LogEntry, lines: dict[str, Track], stand: dict[str, tuple[str, float, float]]) -> LogEntry:
    if isinstance(entry, MoveEntry) and entry.post in stand:
        line, station_ft, offset_ft = stand[entry.post]
        spot = (line, station_ft + entry.along_ft, offset_ft + entry.out_ft)
        stand[entry.post] = spot
    elif isinstance(entry, ObstacleEntry | AddEntry):
        spot = (entry.line, entry.station_ft, entry.offset_ft)
        if isinstance(entry, AddEntry):
            stand[entry.post] = spot
    else:
        return entry
    if entry.place is not None or spot[0] not in lines:
        return entry
    east_ft, north_ft = _rounded(place(lines[spot[0]], *spot[1:]))
    return entry.model_copy(update={"east_ft": east_ft, "north_ft": north_ft})


def _rounded(spot: Point) -> Point:
    return round(spot[0], 4) + 0.0, round(spot[1], 4) + 0.0
