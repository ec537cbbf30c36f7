"""Stock that is used up and in no fence any more, each under the row that it was of: sleeves left in the ground, cable cut at a new way."""

from collections import Counter
from collections.abc import Iterator
from math import ceil

from engine.job.model.job import Job
from engine.job.model.log_entries import RerouteEntry, reroutes
from engine.stages.cables.stage import Cables
from engine.stages.counted_work import CountedWork
from engine.stages.posts.stage import Posts


def sleeves_given_up(job: Job, posts: Posts, done: CountedWork) -> Counter[str]:
    """How many sleeves of each row stay in the ground without a post; of the fence's row where nobody said of which."""
    return Counter(sleeve.row or job.fence.sleeve for sleeve in posts.old_sleeves if sleeve.stays and done.since(sleeve.driven_at))


def cable_cut_up_ft(job: Job, done: CountedWork) -> dict[str, float]:
    """How much cable of each row was cut at new ways, ft."""
    cut_ft: dict[str, float] = {}
    for entry in _cut_at(job, done):
        row = _cable_of(entry) or job.fence.cable
        cut_ft[row] = cut_ft.get(row, 0.0) + entry.cable_cut_ft
    return cut_ft


def locks_cut_off(job: Job, done: CountedWork) -> int:
    """How many loops were cut, each with its lock."""
    return sum(len(entry.loops) for entry in _cut_at(job, done))


def spools(cables: Cables, cut_ft: float) -> int:
    """Spools of the plan, and those that cable cut at a new way takes over what the plan leaves on them."""
    rolls = cables.spools.rolls
    over_ft = cut_ft - sum(roll.left for roll in rolls)
    longest_ft = max((roll.capacity for roll in rolls), default=0.0)
    return len(rolls) + (ceil(over_ft / longest_ft) if over_ft > 0 and longest_ft else 0)


def _cut_at(job: Job, done: CountedWork) -> Iterator[RerouteEntry]:
    return (entry for entry in reroutes(job.log) if done.cut_new(entry))


def _cable_of(entry: RerouteEntry) -> str:
    """The row of the loops that a new way cut, as their ticks say."""
    ticks = entry.before.checks.items() if entry.before is not None else ()
    return next((row for key, tick in ticks if key.what == "cut_length" for row in tick.of.stock), "")
