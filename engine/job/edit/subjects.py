"""Whose name a checklist item's key says, by what is asked: so that a new name is followed in it, and what goes with a record is known."""

from collections.abc import Iterator, Mapping

from engine.job.model.cross_checks import shot_points
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.shots import LegShot, OffsetShot, Shot, TieShot

_OF_TABLE = {
    ("survey", "boundary_found"): ("boundaries",), ("survey", "levels_shot"): ("lines",), ("layout", "string"): ("lines",),
    ("layout", "clear"): ("gates",), ("fabric", "under_closed"): ("decks", "surfaces"), ("punch", "walked"): ("yards",),
}  # fmt: skip
_MEASURED = ("survey", "measured_twice")
LEGS = "legs"
"""Subject of all that was measured by legs."""
_SAID = {"job": "the whole job", LEGS: "the legs"}


def subject_tables(key: ItemKey) -> tuple[str, ...]:
    """The tables of which the subject of an item is one record; none where it is a post, a bay, a loop, points or the whole job."""
    if key.stage == "gate":
        return ("gates",)
    return _OF_TABLE.get((key.stage, key.what), ())


def said_subject(key: ItemKey) -> str:
    """What an item is about, as a crew says it."""
    return key.about if subject_tables(key) else _SAID.get(key.about, key.about)


def points_from(shot: Shot) -> str:
    """The subject of the item that asks whether what such a shot measured was measured twice; empty where none asks."""
    match shot:
        case TieShot(from_a=one, from_b=other) | OffsetShot(base_from=one, base_to=other):
            return "-".join(sorted((one, other)))
        case LegShot():
            return LEGS
        case _:
            return ""


def records_of(job: Job, key: ItemKey) -> Iterator[tuple[str, str]]:
    """Table and name of what an item stands on: it is asked for as long as one of them is there."""
    tables = subject_tables(key)
    if tables:
        yield from ((table, key.subject) for table in tables if key.subject in getattr(job, table))
    elif (key.stage, key.what) == _MEASURED:
        yield from (("shots", name) for name, shot in job.shots.items() if points_from(shot) == key.subject)


def pairs_renamed(job: Job, old: str, new: str) -> dict[str, str]:
    """Subjects that join two points of which one is called otherwise, with what they are then."""
    found = {}
    for shot in job.shots.values():
        if isinstance(shot, TieShot | OffsetShot) and old in (ends := tuple(shot_points(shot).values())[1:]):
            found[points_from(shot)] = "-".join(sorted(new if end == old else end for end in ends))
    return found


def subject_renamed(key: ItemKey, table: str, old: str, new: str, pairs: Mapping[str, str]) -> ItemKey:
    """An item's key with a record of a table under its new name; `pairs` are subjects of two points with what they are then."""
    if table == "points":
        pair = pairs.get(key.subject) if (key.stage, key.what) == _MEASURED else None
        return key._replace(subject=pair) if pair else key
    return key._replace(subject=new) if key.subject == old and table in subject_tables(key) else key
