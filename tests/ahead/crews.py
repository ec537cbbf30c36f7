"""A crew of our own invention whose pace is known: a job worked through piece by piece, with the breaks people take."""

from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta, timezone
from functools import cache
from random import Random

from engine.ahead.work_kinds import WorkKind, pieces_of
from engine.checklist import Item
from engine.findings import STAGES
from engine.job.edit.edits import sign
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.paper.as_built import build_record
from engine.walk import walk
from tests.demo import accepted

ZONE = timezone(timedelta(hours=-5))
MORNING = datetime(2026, 3, 2, 8, 0, tzinfo=ZONE)
LUNCH_AT, LUNCH_MIN, DAY_ENDS = 12, 45, 17
MINUTES: Mapping[str, float] = {
    "survey check": 4, "string line": 10, "post set out": 6, "bay taped": 3, "opening cleared": 5, "sleeve in clay": 24,
    "tree for cables": 12, "eyes in a wall": 8, "brace": 16, "post pinned": 9, "cable loop": 30,
    "loops read again": 40, "bay of wire and mesh": 36, "infill piece": 12, "bay of stakes": 14, "gate": 120,
    "closing check": 6,
}  # fmt: skip
"""Crew minutes of one piece at the usual pace, two people together."""
PEOPLE = 2


@cache
def asked() -> tuple[Item, ...]:
    """What the demo asks, in order."""
    checklists = walk(accepted()).checklists
    return tuple(line.item for stage in STAGES for line in checklists[stage].lines)


@cache
def demo_pieces() -> Mapping[ItemKey, tuple[WorkKind, str, int]]:
    """The pieces of the demo by their checks."""
    bays = {name: len(loop.supports) - 1 for name, loop in walk(accepted()).cables.loops.items()}
    return pieces_of([item.key for item in asked()], "clay", bays)


def worked(seed: int, pace: float = 1.0, uneven: float = 0.2, lunch_min: float = LUNCH_MIN) -> Job:
    """The demo with everything ticked by one of two people at a pace; every piece takes up to a share more or less than usual."""
    ticks = dict(_ticks(Random(seed), pace, uneven, lunch_min))
    job = accepted()
    who = job.job.model_copy(update={"crew": ("Mo Teal", "Ash"), "number": f"{seed}"})
    return job.model_copy(update={"job": who, "checks": ticks})


def signed(job: Job) -> Job:
    """A job signed off after its last tick, by a client of its own."""
    at = max(tick.at for tick in job.checks.values()) + timedelta(minutes=5)
    reasons = {"unticked": "none"}
    client = f"client {job.job.number}"
    return sign(job, build_record(job, walk(job), at, "Mo Teal", client, reasons), at, "Mo Teal", client)


def _ticks(rng: Random, pace: float, uneven: float, lunch_min: float) -> Iterator[tuple[ItemKey, Tick]]:
    pieces = demo_pieces()
    checks: dict[tuple[WorkKind, str, int], list[Item]] = {}
    for item in asked():
        checks.setdefault(pieces[item.key], []).append(item)
    now = MORNING
    yield asked()[0].key, _tick(asked()[0], now)
    for piece, items in checks.items():
        minutes = MINUTES[piece[0].name] * piece[2] / PEOPLE * pace * rng.uniform(1 - uneven, 1 + uneven)
        for item in items:
            before, now = now, now + timedelta(minutes=minutes / len(items))
            if before.hour < LUNCH_AT <= now.hour:
                now += timedelta(minutes=lunch_min)
            if now.hour >= DAY_ENDS:
                now = (now + timedelta(days=1)).replace(hour=8, minute=0, second=0, microsecond=0)
            yield item.key, _tick(item, now.replace(microsecond=0))


def _tick(item: Item, at: datetime) -> Tick:
    reading = {}
    if item.reading is not None:
        wanted = next((value for value in (item.reading.wanted, item.reading.low, item.reading.high) if value is not None), 1.0)
        reading = {f"reading_{item.reading.unit}": max(0.0, wanted)}
    return Tick.model_validate({"at": at, "by": "Mo Teal", "of": item.of, **reading})
