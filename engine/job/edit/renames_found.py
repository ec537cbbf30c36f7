"""Records that a copy calls otherwise than the version it was made from: found by what they are and by what followed them."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from engine.job.edit.entering import RECORD_TABLES, rename, rename_point
from engine.job.edit.names_followed import followed, with_names
from engine.job.edit.next_record import free_name
from engine.job.errors import JobError
from engine.job.model.cross_checks import point_names, shot_points
from engine.job.model.job import Job
from engine.job.model.log_entries import unstruck
from engine.job.model.shots import Shot
from engine.job.model.words.key_words import record_words


class Renamed(NamedTuple):
    """A record of a table, or a measured point, and what it is called instead."""

    table: str
    old: str
    new: str

    @property
    def says(self) -> str:
        return f"{record_words(self.table, self.old)} is called {self.new} now."

    @property
    def back(self) -> "Renamed":
        return Renamed(self.table, self.new, self.old)


class CalledAs(NamedTuple):
    """A job with the names of another, and sentences on what was called otherwise."""

    job: Job
    says: tuple[str, ...]


def called_as(before: Job, now: Job) -> CalledAs:
    """The job before as if its records had been called from the first as they are now."""
    found = renames(before, now)
    for one in found:
        before = called(before, one)
    return CalledAs(before, tuple(one.says for one in found))


def called(job: Job, one: Renamed) -> Job:
    """The job with this name, sealed or not; the very same where nothing is called by the old one. Raises: JobError."""
    if one.old not in names_of(job, one.table):
        return job
    bare = job if job.record is None else job.model_copy(update={"record": None})
    after = rename_point(bare, one.old, one.new) if one.table == "points" else rename(bare, *one)
    return after if bare is job else after.model_copy(update={"record": job.record})


def renamed(job: Job, table: str, names: Mapping[str, str]) -> Job:
    """The job with these names at once, though one be another's old one. Raises: JobError."""
    for one in steps_of(job, table, names):
        job = called(job, one)
    return job


def steps_of(job: Job, table: str, names: Mapping[str, str]) -> list[Renamed]:
    """These names one after the other, each free by then: names that are swapped go by way of a third."""
    held = set(names_of(job, table)) if names else set()
    left = {old: new for old, new in names.items() if old in held and old != new}
    steps = []
    while left:
        old = next((old for old, new in left.items() if new not in held), "") or next(iter(left))
        new = left.pop(old)
        if new in left:
            spare = free_name(old, held | set(names.values()))
            new, left[spare] = spare, new
        steps.append(Renamed(table, old, new))
        held = held - {old} | {new}
    return steps


def called_where_out(job: Job, one: Renamed) -> Job:
    """A job that took the record out, with the name in what it still says of it: ticks, history and notes."""
    return followed(job, *one, alone=not any(one.old in getattr(job, table) for table in (*RECORD_TABLES, "posts")))


def can_be_called(job: Job, one: Renamed) -> bool:
    """Whether a job can follow a name, or needn't."""
    try:
        return called(job, one) is not None
    except JobError:
        return False


def names_of(job: Job, table: str) -> list[str]:
    """Names of a table's records in their order; of points also those that a shot measures."""
    held = list(getattr(job, table))
    return held + sorted(point_names(job) - set(held)) if table == "points" else held


def renames(start: Job, side: Job, other: Job | None = None) -> tuple[Renamed, ...]:
    """What a side called otherwise: the same record under another name, as it was in the version before or is in the other copy; or what is
    written anew too, where a tick, an entry or a post that named the old one names the new one now."""
    found: list[Renamed] = []
    other = other or start
    while (one := _next(start, side, other)) is not None:
        found.append(one)
        start, other = called(start, one), called(other, one) if can_be_called(other, one) else other
    return tuple(found)


def _next(start: Job, side: Job, other: Job) -> Renamed | None:
    pairs = {table: _gone_and_came(start, side, table) for table in RECORD_TABLES}
    pairs = {table: (gone, came) for table, (gone, came) in pairs.items() if gone and came}
    for copy in (start, other):
        alike = (one for table, (gone, came) in pairs.items() for one in _alike(copy, side, table, gone, came))
        if one := next((one for one in alike if can_be_called(start, one)), None):
            return one
    instead = (one for table, (gone, came) in pairs.items() for one in _in_its_place(start, side, table, gone, came))
    return next((one for one in instead if can_be_called(start, one) and _was_followed(start, side, one)), None)


def _gone_and_came(start: Job, side: Job, table: str) -> tuple[list[str], list[str]]:
    before, now = names_of(start, table), names_of(side, table)
    gone = [name for name in before if name not in set(now)]
    return gone, [name for name in now if name not in set(before)] if gone else []


def _alike(start: Job, side: Job, table: str, gone: list[str], came: list[str]) -> Iterator[Renamed]:
    """The same record, or the same shots at a point, under a name that is new."""
    before, now = getattr(start, table), getattr(side, table)
    measured = _shots_by_point(start), _shots_by_point(side)
    for old in gone:
        for new in came:
            if old in before:
                if before[old] == now.get(new):
                    yield Renamed(table, old, new)
            elif table == "points" and new not in now and _measured_alike(*measured, old, new):
                yield Renamed(table, old, new)


def _shots_by_point(job: Job) -> Mapping[str, list[Shot]]:
    found = defaultdict[str, list[Shot]](list)
    for shot in job.shots.values():
        for point in dict.fromkeys(shot_points(shot).values()):
            found[point].append(shot)
    return found


def _measured_alike(before: Mapping[str, list[Shot]], now: Mapping[str, list[Shot]], old: str, new: str) -> bool:
    """Whether all shots that named the old point name the new one."""
    shots = [with_names(shot, tuple(shot_points(shot)), old, new) for shot in before.get(old, ())]
    return bool(shots) and all(shot in now.get(new, ()) for shot in shots)


def _in_its_place(start: Job, side: Job, table: str, gone: list[str], came: list[str]) -> Iterator[Renamed]:
    """What stands now where another stood; of points only known ones have a place."""
    before, now = list(getattr(start, table)), list(getattr(side, table))
    for old in (name for name in gone if name in before):
        new = now[before.index(old)] if len(now) > before.index(old) else ""
        if new in came:
            yield Renamed(table, old, new)
        elif len(gone) == len(came) == 1 and came[0] in now:
            yield Renamed(table, old, came[0])


def _was_followed(start: Job, side: Job, one: Renamed) -> bool:
    """Whether something that names the old one in the version before stands in the side with the new name."""
    after = called(start, one)
    there = {entry.id: entry for entry in side.log}
    for was, entry in zip(start.log, after.log, strict=True):
        if was is not entry and was != entry and entry.id in there and unstruck(there[entry.id]) == unstruck(entry):
            return True
    for (key, tick), anew in zip(start.checks.items(), after.checks, strict=True):
        now = side.checks.get(anew)
        if key != anew and key not in side.checks and now is not None and (now.at, now.by, now.state) == (tick.at, tick.by, tick.state):
            return True
    return any(post != start.posts[name] and post == side.posts.get(name) for name, post in after.posts.items())
