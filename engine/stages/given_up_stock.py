"""Stock that is used up and in no fence any more, each under the row that it was of: sleeves left in the ground, cable of loops that run
so no more."""

from collections.abc import Iterator, Mapping
from math import ceil

from engine.job.model.checks import Tick
from engine.job.model.job import Job
from engine.job.model.log_entries import RerouteEntry, reroutes
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import first_of
from engine.stages.cables.stage import Cables
from engine.stages.counted_work import CountedWork
from engine.stages.posts.sleeves.old_sleeves import in_ground
from engine.stages.posts.stage import Posts


def given_up(job: Job, stock: Mapping[str, StockRow], posts: Posts, done: CountedWork) -> Iterator[tuple[str | None, float]]:
    """Sleeves that stay in the ground without a post, and cable of loops that aren't strung so any more or that new ways cut, ft, with its
    locks: rows, and how much of each. Where nobody said of which row, of the fence's."""
    for sleeve in posts.old_sleeves:
        if sleeve.stays and done.since(sleeve.driven_at):
            yield sleeve.row or job.fence.sleeve, 1
    for key, tick in done.past("cables"):
        if key.what == "cut_length":
            yield _row_of(tick, job.fence.cable), tick.reading_ft or 0.0
        elif key.what == "closed":
            yield first_of(stock, "lock"), 1
    for entry in reroutes(job.log):
        if done.cut_new(entry):
            yield from _cable_cut(entry, job.fence.cable)
            yield first_of(stock, "lock"), len(entry.loops)


def not_out_yet(job: Job, posts: Posts, done: CountedWork) -> Iterator[tuple[str, float]]:
    """Sleeves that are to come out and go in again, as long as nobody says that they are out: used, and needed no more for it."""
    for sleeve in in_ground(posts.old_sleeves, done.checklists["posts"].by_key):
        if not sleeve.stays and done.since(sleeve.driven_at):
            yield sleeve.row or job.fence.sleeve, 1


def spools(cables: Cables, cut_ft: float) -> int:
    """Spools of the plan, and those that cable which was given up takes over what the plan leaves on them."""
    rolls = cables.spools.rolls
    over_ft = cut_ft - sum(roll.left for roll in rolls)
    longest_ft = max((roll.capacity for roll in rolls), default=0.0)
    return len(rolls) + (ceil(over_ft / longest_ft) if over_ft > 0 and longest_ft else 0)


def _cable_cut(entry: RerouteEntry, row: str) -> Iterator[tuple[str, float]]:
    """The cable of the loops that a new way cut, as their ticks say: what they don't say is of this row, as long as it was worked out."""
    ticks = entry.before.checks.items() if entry.before is not None else ()
    cut = {key.subject: tick for key, tick in ticks if key.what == "cut_length" and tick.state == "done" and tick.reading_ft is not None}
    yield from ((_row_of(tick, row), tick.reading_ft or 0.0) for tick in cut.values())
    if not cut.keys() >= {*entry.loops}:
        yield row, max(0.0, entry.cable_cut_ft - sum(cut[loop].reading_ft or 0.0 for loop in entry.loops if loop in cut))


def _row_of(tick: Tick, row: str) -> str:
    return tick.of.stock[0] if tick.of.stock else row
