"""What the log says so far out that it was written wrong, and whether its line ran otherwise then; what is less far out the walk finds."""

from collections.abc import Iterator
from itertools import pairwise
from math import hypot

from engine.calc.geometry.plane import distance_ft
from engine.calc.lengths import format_ft_in
from engine.job.errors import Problem
from engine.job.model.fence import FenceLine
from engine.job.model.job import Job
from engine.job.model.log_entries import AddEntry, LogEntry, MoveEntry, ObstacleEntry, PhotoEntry, RerouteEntry

MOST_BAYS_OUT = 4
"""Nobody moves a post by more bays than this, or logs what is further off the line: common practice, no source, as a post past its
neighbours is another post, and what lies beyond all of them is in no post's way."""


def far_out(job: Job, index: int, entry: LogEntry, current: bool) -> Iterator[Problem]:
    """What is wrong with one entry; `current` is whether it was made since the plan was last accepted."""
    bay_ft = job.rules.layout.bay_max_ft
    most_ft = MOST_BAYS_OUT * bay_ft
    if isinstance(entry, MoveEntry) and current and hypot(entry.along_ft, entry.out_ft) > most_ft:
        field = "along_ft" if abs(entry.along_ft) >= abs(entry.out_ft) else "out_ft"
        far = format_ft_in(hypot(entry.along_ft, entry.out_ft))
        says = f"Log entry {entry.id} moves {entry.post} {far}, more than {MOST_BAYS_OUT} bays are long: correct it, or strike it."
        yield Problem(("log", index, field), says, getattr(entry, field))
    if isinstance(entry, PhotoEntry) and (entry.line is None) != (entry.station_ft is None):
        says = f"Log entry {entry.id} says only one of a line and a station on it: give both, or neither."
        yield Problem(("log", index, "line" if entry.line is None else "station_ft"), says, None)
    if not isinstance(entry, ObstacleEntry | AddEntry | PhotoEntry) or entry.line not in job.lines or entry.station_ft is None:
        return
    if not current if isinstance(entry, AddEntry) else ran_otherwise(job.log, entry):
        return
    length_ft = known_length_ft(job, job.lines[entry.line])
    if length_ft is not None and entry.station_ft > length_ft + bay_ft:
        line = f"line {entry.line}, which is {format_ft_in(length_ft)} long"
        says = f"Log entry {entry.id} is at {format_ft_in(entry.station_ft)} on {line}: correct its station, or strike it."
        yield Problem(("log", index, "station_ft"), says, entry.station_ft)
    if isinstance(entry, ObstacleEntry) and entry.off_line_ft > most_ft:
        off = f"{format_ft_in(abs(entry.offset_ft))} off line {entry.line}, more than {MOST_BAYS_OUT} bays are long"
        yield Problem(("log", index, "offset_ft"), f"Log entry {entry.id} is {off}: correct its offset, or strike it.", entry.offset_ft)


def ran_otherwise(log: tuple[LogEntry, ...], entry: ObstacleEntry | PhotoEntry) -> bool:
    """Whether a line may have run another way when something was logged along it: it took a new one since, or one before that is struck
    by now."""
    ways = [(n, one) for n, one in enumerate(log) if isinstance(one, RerouteEntry) and one.line == entry.line]
    if not ways:
        return False
    logged = log.index(entry)
    return any(n > logged if way.struck_at is None else n < logged for n, way in ways)


def known_length_ft(job: Job, line: FenceLine) -> float | None:
    """Length of a line whose points are all known ones."""
    if not all(name in job.points for name in line.points):
        return None
    places = [(job.points[name].east_ft, job.points[name].north_ft) for name in line.points]
    return sum(distance_ft(a, b) for a, b in pairwise(places))
