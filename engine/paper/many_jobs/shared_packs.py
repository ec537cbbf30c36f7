"""One thing that several jobs need, in packs for all of them together: what they can share and what they can't."""

from collections.abc import Sequence
from dataclasses import replace
from math import ceil, fsum

from engine.calc.cutting.cut_plan import Stock, plan_cuts
from engine.calc.tolerances import ROUNDING_COUNT, ROUNDING_FT
from engine.stages.takeoff import TakeoffRow

NEXT_TO_NOTHING = 0.01
"""A job that has used all but so much of a length has cut it all: its readings differ from its plan by inches."""


def together(rows: Sequence[TakeoffRow]) -> TakeoffRow:
    """The rows of one thing in several jobs as one: what is needed, spare, came and is used is added up, packs are worked out anew.

    Loose pieces are added and rounded up to packs once: what one job leaves in a box the next one takes on. Rolls, spools and lengths are
    cut by piece, so a length of feet added up says nothing of how many it takes: every job keeps its own cut plan, roll for roll, as its
    sheets print it, and what one of its rolls leaves goes on to the next job only where it holds all that one roll of that job is cut into.
    So no job's plan changes, and the total is never more than the plans one by one. Spare pieces are every job's own.
    What is loaded is known where any job counted; `short` is left to `packs_to_load`.

    rows: one or more, of one pack size. Returns: TakeoffRow; `offcuts` are what is left of the rolls at the end, ft, longest first.
    Source: common practice, no source (one truck goes from job to job); rolls by `plan_cuts`.
    """
    packs, offcuts = _rolls(rows) if rows[0].unit == "ft" else (_packs(rows), ())
    counted = [row.loaded for row in rows if row.loaded is not None]
    prices = {row.price for row in rows}
    return replace(
        rows[0],
        needed=fsum(row.needed for row in rows),
        spare=fsum(row.spare for row in rows),
        packs=packs,
        loaded=sum(counted) if counted else None,
        delivered=sum(row.delivered for row in rows),
        loose=fsum(row.loose for row in rows),
        short=0,
        used=fsum(row.used for row in rows),
        price=prices.pop() if len(prices) == 1 else None,
        offcuts=offcuts,
    )


def packs_to_load(rows: Sequence[TakeoffRow]) -> int:
    """Packs of all those together that aren't on the truck yet: what is loaded, delivered or built in already is taken off.

    Where nobody counted, nothing is taken off but what is used of what is needed; rolls of a job that has used all it needs are left out.
    rows: as in `together`. Returns: 0 or more, never above the packs together.
    Source: common practice, no source.
    """
    per_pack = rows[0].per_pack
    if rows[0].unit != "ft":
        left = fsum(wanted - max(row.came or 0.0, min(row.used, wanted)) for row in rows for wanted in [row.needed + row.spare])
        return max(0, ceil(left / per_pack - ROUNDING_COUNT))
    open_rows = [row for row in rows if row.used < row.needed * (1 - NEXT_TO_NOTHING)]
    there = sum((row.loaded or 0) + row.delivered + int(row.loose // per_pack) for row in open_rows)
    return min(max(0, _rolls(open_rows)[0] - there), _rolls(rows)[0]) if open_rows else 0


def _packs(rows: Sequence[TakeoffRow]) -> int:
    return min(ceil(fsum(row.needed + row.spare for row in rows) / rows[0].per_pack - ROUNDING_COUNT), sum(row.packs for row in rows))


def _rolls(rows: Sequence[TakeoffRow]) -> tuple[int, tuple[float, ...]]:
    """Rolls for all cut plans together, and what they leave."""
    by_plan, roll_ft = sum(row.packs for row in rows), rows[0].per_pack
    cut_fts = {f"{at} {roll}": cut for at, row in enumerate(rows) for roll, cut in enumerate(cut_of_rolls(row))}
    plan = plan_cuts(cut_fts, Stock(rows[0].stock, roll_ft))
    if len(rows) == 1 or len(plan.rolls) >= by_plan:
        left = (offcut for row in rows for offcut in row.offcuts)
        return by_plan, tuple(sorted(left, reverse=True))
    return len(plan.rolls), tuple(sorted((roll.left for roll in plan.rolls if roll.left > 0), reverse=True))


def cut_of_rolls(row: TakeoffRow) -> tuple[float, ...]:
    """How much of each of a row's rolls its cut plan takes, ft. Where the row doesn't say what its rolls leave, or needs more than they are
    cut into (cable cut off at a new way), each counts as whole."""
    whole, roll_ft = [row.per_pack] * row.packs, row.per_pack
    cut = [*whole[len(row.offcuts) :], *(roll_ft - left for left in row.offcuts)]
    if len(row.offcuts) <= row.packs and abs(fsum(cut) - row.needed) <= ROUNDING_FT * (row.packs + 1):
        return tuple(length for length in cut if length > ROUNDING_FT)
    return (row.needed,) if row.packs == 1 and row.needed <= roll_ft else tuple(whole)
