"""What copies measured apart under one name that was counted up for each: all stand, each thing under a name of its own.

A thing is known by what was measured, not by its name. Of several of one name each takes, in the order of what was measured, its own name
or the first after it that is free: so names are the same in whatever order any number of copies meet.
"""

import re
from collections.abc import Iterator
from typing import NamedTuple

from engine.calc.phrases import listed, plural
from engine.job.edit.entering import RECORD_TABLES
from engine.job.edit.next_record import free_name, next_name, shot_name
from engine.job.edit.renames_found import Renamed, names_of, renamed, steps_of
from engine.job.edit.same_things import (
    POINTS,
    SHOTS,
    Names,
    alike,
    by_number,
    measuring,
    moved,
    points_of,
    same_thing,
    things_of,
    without_names,
)
from engine.job.errors import JobError
from engine.job.merge.told_apart import BOTH_ADDED
from engine.job.model.job import Job
from engine.job.model.words.key_words import record_words

FOUND = (SHOTS, "structures", "trees", "obstacles", "utilities", "boundaries", "decks")
"""Tables of what is found in a yard and measured, where two of one name are two things; what is decided is one thing, and is asked."""
TABLES = tuple(dict.fromkeys((POINTS, "structures", "trees", "lines", *FOUND, *(table for table in RECORD_TABLES if table != "stock"))))
"""What others name stands before them: a shot along a line that each copy calls otherwise is one shot once the line is one."""
BOTH_HAVE = "Each side has a name of its own for "
Thing = tuple[str, str, str]
"""What one thing is called in the version before, in ours and in theirs; nothing where it isn't there."""


class Apart(NamedTuple):
    """The three copies with a name for each thing, and sentences on what got another one."""

    start: Job
    ours: Job
    theirs: Job
    says: tuple[str, ...] = ()


def records_apart(start: Job | None, ours: Job, theirs: Job) -> Apart:
    """The copies with all that was written down since under one name told apart, and what both say alike under one name. Where no version
    is known that both came from, two of one name may be one thing that was put right: they keep it, and it is asked."""
    copies = start or Job(), ours, theirs
    given: tuple[list[Renamed], list[Renamed]] = ([], [])
    says, anew, homes = list[str](), (Names(), Names(), Names()), [Names(), Names(), Names()]
    for table in TABLES:
        things = _things(table, copies, anew) if start else _things_of_two(table, copies, anew)
        names = _names_for(table, copies, things, homes, settled_first=start is None)
        by_copy = [{thing[n]: name for thing, name in names.items() if thing[n] not in ("", name)} for n in range(3)]
        try:
            called = [renamed(copy, table, each) for copy, each in zip(copies, by_copy, strict=True)]
        except JobError:
            continue
        for thing, name in names.items():
            if thing[0]:
                says += [Renamed(table, thing[1], name).says] if thing[1] not in ("", name) else []
            elif thing[1] not in ("", name):
                given[0].append(Renamed(table, thing[1], name))
            elif not thing[1] and thing[2] != name:
                given[1].append(Renamed(table, thing[2], name))
        if table == POINTS:
            anew = by_copy[0], by_copy[1], by_copy[2]
            homes = [_after_their_points(*pair) for pair in zip(copies, called, strict=True)]
        copies = called[0], called[1], called[2]
    how = BOTH_ADDED if start else BOTH_HAVE
    return Apart(*copies, (*says, *_says(how, given[0], "yours"), *_says(how, given[1], "theirs")))


def taken_over(before: Job, now: Job) -> tuple[Renamed, ...]:
    """What is called otherwise now because something else has its name, one new name after the other."""
    found, anew = list[Renamed](), set[str]()
    for table in TABLES:
        names = moved(table, before, now, anew)
        steps = steps_of(before, table, names)
        try:
            before = renamed(before, table, names)
        except JobError:
            continue
        found += steps
        anew |= set(names.values()) if table == POINTS else set()
    return tuple(found)


# Which are two -------------------------------------------------------------------------------------------------------


def _things(table: str, copies: tuple[Job, Job, Job], anew: tuple[Names, Names, Names]) -> list[Thing]:
    """What has come since in either copy, of what is decided only what both decided alike under two names; and what stood before and is
    called otherwise in one of them though its old name is there."""
    start, ours, theirs = copies
    gone = _moved(table, copies, anew)
    was = names_of(start, table)
    mine, yours = (_kept(was, names, names_of(side, table)) for names, side in zip(gone, (ours, theirs), strict=True))
    things = [(name, mine.get(name, ""), yours.get(name, "")) for name in was if name in gone[0] or name in gone[1]]
    known = {name for copy in copies for name in copy.points} if table == POINTS else set()
    here, there = (
        [name for name in things_of(side, table) if name not in {*at.values(), *known} and (table == SHOTS or next_name(name, ()))]
        for side, at in ((ours, mine), (theirs, yours))
    )
    pairs = alike(table, ours, theirs, here, there)
    if table not in (POINTS, *FOUND):
        return things + [("", name, other) for name, other in pairs.items() if name != other]
    things += [("", name, pairs.get(name, "")) for name in here]
    return things + [("", "", name) for name in there if name not in pairs.values()]


def _kept(was: list[str], gone: Names, now: list[str]) -> Names:
    """What stood before and does still, with its name now."""
    return {name: new for name in was if (new := gone.get(name, name)) in now}


def _moved(table: str, copies: tuple[Job, Job, Job], anew: tuple[Names, Names, Names]) -> tuple[Names, Names]:
    """What each side calls otherwise, but for what the other one has under both names, or has put right as this one did."""
    start, ours, theirs = copies
    points = {name for names in anew for name in names.values()}
    found = moved(table, start, ours, points), moved(table, start, theirs, points)

    def is_another(n: int, old: str, new: str) -> bool:
        has_both = same_thing(table, ours, theirs, new) and same_thing(table, start, copies[2 - n], old)
        return has_both or (old not in found[1 - n] and same_thing(table, ours, theirs, old))

    mine, yours = ({old: new for old, new in names.items() if not is_another(n, old, new)} for n, names in enumerate(found))
    return mine, yours


def _things_of_two(table: str, copies: tuple[Job, Job, Job], anew: tuple[Names, Names, Names]) -> list[Thing]:
    """All that two copies have, where something is called otherwise in one of them."""
    _, ours, theirs = copies
    has = [things_of(side, table) for side in (ours, theirs)]
    mine, yours = ([name for name in names if not same_thing(table, ours, theirs, name)] for names in has)
    pairs = alike(table, ours, theirs, mine, yours, {name for names in anew for name in names.values()})
    if all(old == new for old, new in pairs.items()):
        return []
    met = set(pairs.values())
    things: list[Thing] = [("", name, pairs.get(name, name if name in has[1] and name not in met else "")) for name in has[0]]
    done = {thing[2] for thing in things}
    return things + [("", "", name) for name in has[1] if name not in done]


# What they are called ------------------------------------------------------------------------------------------------


def _names_for(
    table: str, copies: tuple[Job, Job, Job], things: list[Thing], homes: list[Names], *, settled_first: bool
) -> dict[Thing, str]:
    """A name for each thing: in the order of what was measured the first of its own that is free, or the first free one after it."""
    several = [{thing[n] for thing in things} for n in range(3)]
    taken = {name for copy, some in zip(copies, several, strict=True) for name in names_of(copy, table) if name not in some}
    names: dict[Thing, str] = {}
    for thing in sorted(things, key=lambda thing: (settled_first * _unsettled(thing), _said(table, copies, thing, several), thing)):
        homes_of = [home.get(name, name) for home, name in zip(homes, thing, strict=True)]
        own = sorted({name for name in homes_of[1:] if name} - {homes_of[0]}, key=by_number)
        names[thing] = next((name for name in own if name not in taken), "") or _next_free(table, copies, thing, max(thing[1:]), taken)
        taken.add(names[thing])
    return names


def _unsettled(thing: Thing) -> int:
    """How little two copies agree on a name."""
    return 0 if thing[1] == thing[2] else 1 if "" in thing[1:] else 2


def _said(table: str, copies: tuple[Job, Job, Job], thing: Thing, several: list[set[str]]) -> tuple[list[tuple[int, str]], str]:
    """What was measured of a thing, but for the names that were counted up; of a record the points that it stands at first."""
    there = [(copy, name, names) for copy, name, names in zip(copies, thing, several, strict=True) if name]
    if table == POINTS:
        return [], min(without_names(shot, names) for copy, name, names in there for shot in measuring(copy, name))
    rows = [getattr(copy, table)[name] for copy, name, _ in there]
    return min(([by_number(point) for point in points_of(row)], row.model_dump_json()) for row in rows)


def _next_free(table: str, copies: tuple[Job, Job, Job], thing: Thing, name: str, taken: set[str]) -> str:
    """The first free name after one; of a shot the one after what it measures."""
    if table == SHOTS:
        shot = next(copy.shots[called] for copy, called in zip(copies, thing, strict=True) if called)
        return shot_name(copies[0].model_copy(update={SHOTS: dict.fromkeys(taken)}), shot.model_dump())
    return next_name(name, taken) or free_name(name, taken)


def _after_their_points(before: Job, after: Job) -> Names:
    """What shots would be called that have their names from points which are called otherwise now."""
    found = {}
    bare = before.model_copy(update={SHOTS: {}})
    for name, shot in before.shots.items():
        was, new = (shot_name(bare, one.model_dump()) for one in (shot, after.shots[name]))
        if was != new and (end := re.fullmatch(rf"{re.escape(was)}((?:-\d+)?)", name)):
            found[name] = f"{new}{end[1]}"
    return found


def _says(how: str, given: list[Renamed], whose: str) -> Iterator[str]:
    if given:
        were = [f"{words[:1].lower()}{words[1:]}" for words in (record_words(one.table, one.old) for one in given)]
        be = plural(len(given), "is", "are")
        yield f"{how}{listed(were)}: {whose} {be} called {listed([one.new for one in given])} now."
