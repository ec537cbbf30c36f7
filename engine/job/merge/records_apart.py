"""What two copies measured apart under one name that was counted up for both: both stand, one of them under another name."""

import re
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from engine.calc.phrases import listed, plural
from engine.job.edit.names_followed import with_names
from engine.job.edit.next_record import next_name, shot_name
from engine.job.edit.renames_found import Renamed, called, names_of
from engine.job.errors import JobError
from engine.job.merge.told_apart import BOTH_ADDED
from engine.job.model.cross_checks import point_names, shot_points
from engine.job.model.job import Job
from engine.job.model.shots import Shot
from engine.job.model.words.key_words import record_words

POINTS, SHOTS = "points", "shots"
FOUND = (SHOTS, "structures", "trees", "obstacles", "utilities", "boundaries", "decks")
"""Tables of what is found in a yard and measured, where two of one name are two things; what is decided is one thing, and is asked."""
Record = tuple[str, str]


class Apart(NamedTuple):
    """The three copies with a name for each thing, and sentences on what got another one."""

    start: Job
    ours: Job
    theirs: Job
    says: tuple[str, ...] = ()


def records_apart(start: Job, ours: Job, theirs: Job) -> Apart:
    """The copies with all that both wrote down since under one name told apart. What one side has under another name already gets that, of
    the rest one side's, the same whichever is named first, gets a free one; what both say alike is one."""
    start, ours, theirs = _as_taken_over(start, ours, theirs)
    start, theirs, ours = _as_taken_over(start, theirs, ours)
    sides, given = [ours, theirs], (list[Renamed](), list[Renamed]())
    said = [[_said(side, *record) for record in _met(start, *sides)] for side in sides]
    later, kept = (0 if said[0] > said[1] else 1), set[Record]()
    while record := next((record for record in _met(start, *sides) if record not in kept), None):
        names = [_name_there(sides[n], sides[1 - n], *record) for n in (0, 1)]
        free = not any(names)
        if free:
            names[later] = _free_name((start, *sides), sides[later], *record)
        anew = [_called(sides[n], Renamed(*record, names[n])) if names[n] else None for n in (0, 1)]
        kept |= {record} if anew == [None, None] else set()
        for n, side in enumerate(anew):
            if side is not None:
                sides[n] = side
                given[n].extend([Renamed(*record, names[n])] if free or n == 0 else [])
    return Apart(start, sides[0], sides[1], (*_says(given[0], "yours"), *_says(given[1], "theirs")))


def taken_over(before: Job, now: Job) -> tuple[Renamed, ...]:
    """What is called otherwise now because something else that was measured has its name."""
    found, tried = list[Renamed](), set[Renamed]()
    while one := next((one for one in _names_now(before, now) if one not in tried), None):
        tried.add(one)
        if (anew := _called(before, one)) is not None:
            before = anew
            found.append(one)
    return tuple(found)


def _as_taken_over(start: Job, side: Job, other: Job) -> tuple[Job, Job, Job]:
    """The version before and the other side with the names that a side gave what had to make room."""
    for one in taken_over(start, side):
        if (one.table, one.old) not in _met(Job(), side, other):
            continue
        before, there = _called(start, one), _called(other, one)
        if before is not None and there is not None:
            start, other = before, there
    return start, side, other


def _names_now(before: Job, now: Job) -> Iterator[Renamed]:
    for record in _met(Job(), before, now):
        if new := _name_there(before, now, *record):
            yield Renamed(*record, new)


def _called(job: Job, one: Renamed) -> Job | None:
    """The job with this name; None where it can't be given."""
    try:
        return called(job, one)
    except JobError:
        return None


# Which are two -------------------------------------------------------------------------------------------------------


def _met(start: Job, one: Job, other: Job) -> Iterator[Record]:
    """What both have under one name, the version before hasn't, and each says otherwise; points by the shots that measure them."""
    measured = (point_names(one) & point_names(other)) - point_names(start) - one.points.keys() - other.points.keys()
    for name in _by_number(measured):
        mine, yours = _measuring(one, name), _measuring(other, name)
        if next_name(name, ()) and not any(shot in yours for shot in mine):
            yield POINTS, name
    for table in FOUND:
        rows, there = getattr(one, table), getattr(other, table)
        for name in _by_number(rows.keys() & there.keys() - getattr(start, table).keys()):
            if rows[name] != there[name] and (table == SHOTS or next_name(name, ())):
                yield table, name


def _by_number(names: Iterable[str]) -> list[str]:
    return sorted(names, key=lambda name: (int((re.findall(r"\d{1,9}$", name) or ["0"])[0]), name))


def _measuring(job: Job, point: str) -> list[Shot]:
    """The shots to a point that isn't known."""
    return [shot for shot in job.shots.values() if _measures(job, shot) == point]


def _measures(job: Job, shot: Shot) -> str:
    if shot.method == "tie" or shot.method == "offset":
        return shot.point
    if shot.method == "level":
        return ""
    return shot.from_point if shot.to_point in job.points else shot.to_point


def _said(side: Job, table: str, name: str) -> list[str]:
    rows = _measuring(side, name) if table == POINTS else [getattr(side, table)[name]]
    return sorted(row.model_dump_json() for row in rows)


# What they are called ------------------------------------------------------------------------------------------------


def _name_there(here: Job, there: Job, table: str, name: str) -> str:
    """What the same thing is called in the other copy by a name that this one hasn't; nothing where it isn't there."""
    if table != POINTS:
        rows, others = getattr(here, table), getattr(there, table)
        return next((new for new in others if new not in rows and others[new] == rows[name]), "")
    shots = _measuring(here, name)
    for new in _by_number(point_names(there) - point_names(here)):
        measured = _measuring(there, new)
        if all(with_names(shot, tuple(shot_points(shot)), name, new) in measured for shot in shots):
            return new
    return ""


def _free_name(copies: Iterable[Job], side: Job, table: str, name: str) -> str:
    """The next name that no copy has; of a shot the one after what it measures."""
    if table == SHOTS:
        taken = {name: shot for job in copies for name, shot in job.shots.items()}
        return shot_name(side.model_copy(update={SHOTS: taken}), side.shots[name].model_dump())
    return next_name(name, {held for job in copies for held in names_of(job, table)})


def _says(given: list[Renamed], whose: str) -> Iterator[str]:
    if given:
        were = [f"{words[:1].lower()}{words[1:]}" for words in (record_words(one.table, one.old) for one in given)]
        be = plural(len(given), "is", "are")
        yield f"{BOTH_ADDED}{listed(were)}: {whose} {be} called {listed([one.new for one in given])} now."
