"""Records that one side called otherwise: the other side's copy, and the one both came from, call them so too before they are joined."""

from typing import NamedTuple

from engine.job.edit.renames_found import Renamed, called, called_where_out, names_of, renames
from engine.job.errors import JobError
from engine.job.merge.asked import Conflict, Keep
from engine.job.model.job import Job
from engine.job.model.words.key_words import record_words

Renames = dict[tuple[str, str], Renamed]
"""By table and old name."""


class CalledAlike(NamedTuple):
    """The three copies with one name a record; sentences on what is called otherwise here now; what has to be asked; and by side which
    names it gave."""

    start: Job
    ours: Job
    theirs: Job
    says: tuple[str, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    named: tuple[frozenset[tuple[str, str]], frozenset[tuple[str, str]]] = (frozenset(), frozenset())


def called_alike(start: Job, ours: Job, theirs: Job, keep: Keep) -> CalledAlike:
    """The copies as if the names had been given before they went apart. Where both call one thing otherwise, or two things alike, the kept
    side's name stands, and it is asked; a name that something else has on the other side isn't given."""
    given = _by_old(renames(start, ours, theirs)), _by_old(renames(start, theirs, ours))
    if not any(given):
        return CalledAlike(start, ours, theirs)
    sides, conflicts = [ours, theirs], list[Conflict]()
    _told_apart(sides, given, keep, conflicts)
    says = []
    for key in sorted(given[0].keys() | given[1].keys()):
        one, other = (side.get(key) for side in given)
        stands = one or other
        if one and other and one != other:
            asked = Conflict(key, record_words(*key), f"it is called {one.new}", f"it is called {other.new}")
            conflicts.append(asked)
            stands = one if keep.of(asked) == "ours" else other
        assert stands is not None
        here = one or stands._replace(new=stands.old)
        try:
            copies = [called(start, stands), *(_called_so(side, was, stands) for side, was in zip(sides, (one, other), strict=True))]
        except JobError:
            sides = [_back(side, was) for side, was in zip(sides, (one, other), strict=True)]
            says += [f"{record_words(*key)} keeps its name: both sides call something {stands.new}."]
            continue
        says += (
            [Renamed(stands.table, here.new, stands.new).says] if here.new != stands.new and stands.old in names_of(start, key[0]) else []
        )
        start, sides = copies[0], copies[1:]
    named = tuple(frozenset((one.table, one.new) for one in side.values()) for side in given)
    return CalledAlike(start, sides[0], sides[1], tuple(says), tuple(conflicts), (named[0], named[1]))


def _by_old(found: tuple[Renamed, ...]) -> Renames:
    return {(one.table, one.old): one for one in found}


def _told_apart(sides: list[Job], given: tuple[Renames, Renames], keep: Keep, conflicts: list[Conflict]) -> None:
    """Of two things that the sides call by one new name only the kept side's is called so."""
    for one in list(given[0].values()):
        other = next((yours for yours in given[1].values() if (yours.table, yours.new) == (one.table, one.new)), one)
        if other.old == one.old:
            continue
        words = (f"{said[:1].lower()}{said[1:]} is called so" for said in (record_words(it.table, it.old) for it in (one, other)))
        asked = Conflict((one.table, one.new), f"The name {one.new}", *words)
        conflicts.append(asked)
        lost, of = (1, other) if keep.of(asked) == "ours" else (0, one)
        sides[lost] = _back(sides[lost], of)
        del given[lost][of.table, of.old]


def _called_so(side: Job, gave: Renamed | None, stands: Renamed) -> Job:
    """A side with the name that stands, whatever it gave itself; also where it took the record out. What it has of the new name and not of
    the old one is that record, written anew. Raises: JobError where it has both."""
    side = side if gave == stands else _back(side, gave)
    there = names_of(side, stands.table)
    return called(side, stands) if stands.old in there or stands.new in there else called_where_out(side, stands)


def _back(side: Job, given: Renamed | None) -> Job:
    """A side with the old name, where it gave another one and the old one is free."""
    try:
        return called(side, given.back) if given else side
    except JobError:
        return side
