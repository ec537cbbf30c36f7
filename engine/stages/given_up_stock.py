"""Stock that is used up and in no fence any more, each under the row that it was of: sleeves left in the ground, cable cut at a new way."""

from collections.abc import Iterator, Mapping
from math import ceil

from engine.job.model.job import Job
from engine.job.model.log_entries import RerouteEntry, reroutes
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import first_of
from engine.stages.cables.stage import Cables
from engine.stages.counted_work import CountedWork
from engine.stages.posts.stage import Posts


def given_up(job: Job, stock: Mapping[str, StockRow], posts: Posts, done: CountedWork) -> Iterator[tuple[str | None, float]]:
    """Sleeves that stay in the ground without a post, and cable that was cut at new ways, ft, with its locks: rows, and how much of each.
    Where nobody said of which row, of the fence's."""
    for sleeve in posts.old_sleeves:
        if sleeve.stays and done.since(sleeve.driven_at):
            yield sleeve.row or job.fence.sleeve, 1
    for entry in reroutes(job.log):
        if done.cut_new(entry):
            yield _cable_of(entry) or job.fence.cable, entry.cable_cut_ft
            yield first_of(stock, "lock"), len(entry.loops)


def spools(cables: Cables, cut_ft: float) -> int:
    """Spools of the plan, and those that cable cut at a new way takes over what the plan leaves on them."""
    rolls = cables.spools.rolls
    over_ft = cut_ft - sum(roll.left for roll in rolls)
    longest_ft = max((roll.capacity for roll in rolls), default=0.0)
    return len(rolls) + (ceil(over_ft / longest_ft) if over_ft > 0 and longest_ft else 0)


def _cable_of(entry: RerouteEntry) -> str:
    """The row of the loops that a new way cut, as their ticks say."""
    ticks = entry.before.checks.items() if entry.before is not None else ()
    return next((row for key, tick in ticks if key.what == "cut_length" for row in tick.of.stock), "")
