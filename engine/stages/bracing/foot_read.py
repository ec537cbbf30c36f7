"""How far out a brace foot was read: what is done at it is done for a foot that stands there."""

from collections.abc import Mapping

from engine.checklist import IN_PER_FT, Item, StoodAt, standing_tick
from engine.job.model.checks import Tick
from engine.job.model.tick_facts import Size, TickFacts

Places = tuple[StoodAt, ...] | None
"""Where a support stood; None where its ticks say by themselves where that was."""


def standing(tick: Tick | None, item: Item, stood: Places) -> Tick | None:
    """A tick of an item, where it counts."""
    there = {item.subject: stood} if stood else {}
    return None if tick is None else standing_tick({item.key: tick}, item.key, item.of, there)


def read_out_ft(tick: Tick | None, foot: Item, stood: Places) -> float | None:
    """How far from its post a foot was read, ft; None where no reading of it counts."""
    counted = standing(tick, foot, stood)
    if counted is None or counted.reading is None:
        return None
    read_ft = counted.reading_ft if counted.reading_ft is not None else counted.reading / IN_PER_FT
    return round(read_ft, 3) + 0.0


def read_at(of: TickFacts, out_ft: float | None) -> TickFacts:
    """Facts of what is done at one foot, with where it was read."""
    return of if out_ft is None else of._replace(sizes=(*of.sizes, Size("foot read out", out_ft)))


def all_read_at(of: TickFacts, out_ft: Mapping[str, float | None]) -> TickFacts:
    """The same of what is done at all feet of a post, by the letters of its braces."""
    read = (Size(f"foot {letter} read out", ft) for letter, ft in out_ft.items() if ft is not None)
    return of._replace(sizes=(*of.sizes, *read))
