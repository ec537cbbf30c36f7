"""Stakes that were set otherwise than they are planned today: where they meet what is asked all the same they stay where they stand."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from engine.calc.phrases import counted
from engine.calc.remember import remembered_of, remembered_rows
from engine.checklist import Item, counts
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.tick_facts import SPOT, STAKE, TickFacts
from engine.stages.fabric.bay_ground import BayGround
from engine.stages.sorted_ticks import sorted_ticks
from engine.stages.staking.bay_stakes import BayStakes, Given, do_as_well, limits_of
from engine.stages.staking.no_stakes import Parts

FLUSH, FASTENED = "flush", "fastened"
Ticked = Mapping[str, Tick]
"""Ticks of what is done, by bay."""


@remembered_of
def ticked(checks: Mapping[ItemKey, Tick]) -> tuple[Ticked, Ticked]:
    """What is done of stakes, and of spots."""
    ticks = sorted_ticks(checks)
    stakes, spots = ({bay: tick for bay, tick in ticks.of("staking", what).items() if tick.state == "done"} for what in (FLUSH, FASTENED))
    return stakes, spots


def as_planned(items: Sequence[Item], driven: Tick | None, fastened: Tick | None) -> bool:
    """Whether what is done of a bay was made for the very facts of today; stakes are asked first."""
    return (driven is None or driven.of == items[0].of) and (fastened is None or fastened.of in [item.of for item in items])


@remembered_rows
def as_set(
    ground: BayGround,
    given: Given,
    others: Parts,
    zones: Parts,
    today: tuple[BayStakes, Tick | None, Tick | None],
    items: tuple[Item, ...],
) -> BayStakes:
    """The stakes and spots of a bay where its ticks have them, as far as they meet what is asked today; else where they are planned."""
    planned, driven, fastened = today
    asked, start_ft = [item.of for item in items], ground.start_ft
    stakes = _standing_ft(driven, asked, (STAKE, "stake"), start_ft) or planned.stations_ft
    spots = _standing_ft(fastened, asked, (SPOT, "spot"), start_ft) or planned.fastened_ft
    if (stakes, spots) == (planned.stations_ft, planned.fastened_ft):
        return planned
    limits = limits_of(ground, given, others, zones)
    ways = (stakes, spots if fastened else ()), (stakes, planned.fastened_ft), (planned.stations_ft, spots)
    met = next((way for way in ways if do_as_well(limits, planned, *way)), None)
    return planned if met is None else replace(planned, stations_ft=met[0], fastened_ft=met[1])


def _standing_ft(tick: Tick | None, asked: Sequence[TickFacts], called: tuple[str, str], start_ft: float) -> tuple[float, ...]:
    """Where a tick says that stakes or spots are, where that is elsewhere than planned and all else is as it was."""
    if tick is None or any(counts(tick, of, {}) for of in asked):
        return ()
    ends, one = called
    along = tuple(size for size in tick.of.sizes if size.name.endswith(ends))
    held = tuple(size for size in asked[0].sizes if not size.name.endswith((STAKE, SPOT)))
    of = asked[0]._replace(sizes=(*held, *along), words=(counted(len(along), one),))
    return tuple(start_ft + size.value for size in along) if along and counts(tick, of, {}) else ()
