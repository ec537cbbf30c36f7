"""Two leaves: one stands by a drop rod in its ground sleeve while the other opens, and a hook holds each open."""

from collections.abc import Iterator
from typing import NamedTuple

from engine.checklist import Item
from engine.findings import Finding, FindingOf, Level
from engine.job.model.item_key import ItemKey
from engine.job.model.stock_row import StockKind
from engine.job.model.tick_facts import TickFacts
from engine.stages.gate.gate_work import GateWork
from engine.stages.layout.stage import Layout
from engine.stages.posts.adjoining import keep_outs_at

_finding = FindingOf("gate")

GROUND_SLEEVE, DROP_ROD, HELD_OPEN = "ground_sleeve", "drop_rod", "held_open"
"""What is asked of two leaves alone, as their keys end."""


class PairPart(NamedTuple):
    """What a gate of two leaves takes besides: its kind and unit, how many, and what is ticked once they are used."""

    kind: StockKind
    unit: str
    each: int
    what: str


PAIR_PARTS = (
    PairPart("drop rod", "rods", 1, DROP_ROD),
    PairPart("ground sleeve", "sleeves", 1, GROUND_SLEEVE),
    PairPart("gate hook", "hooks", 2, HELD_OPEN),
)


def pair_items(work: GateWork, hung: TickFacts) -> Iterator[Item]:
    """Sleeve, rod and hooks of two leaves. Source: common practice, no source."""
    if not work.standing:
        return
    stands = f"leaf {work.standing}"
    by_rod = hung._replace(words=(stands,))
    for what, says, of in (
        (GROUND_SLEEVE, f"drop rod's ground sleeve flush under the free end of {stands}, so that a mower passes", by_rod),
        (DROP_ROD, f"drop rod in its sleeve holds {stands} when it is pushed and pulled", by_rod),
        (HELD_OPEN, f"a hook holds each leaf open, {work.better}", hung._replace(words=(work.better,))),
    ):
        yield Item(ItemKey("gate", work.gate, what), f"{work.gate}: {says}", None, of)


def rod_findings(work: GateWork, layout: Layout) -> Iterator[Finding]:
    """A ground sleeve where nothing may be driven."""
    if work.rod_spot is None:
        return
    (area,) = keep_outs_at((work.rod_spot,), layout.keep_outs)
    if area is None:
        return
    says = f"The drop rod's ground sleeve of gate {work.gate}, under leaf {work.standing}, would stand in {area.why}."
    level: Level = "stop" if area.id.buried else "fix"
    do = "Dig it in by hand once the line is seen" if area.id.buried else "Drill a hole for the rod where the ground is hard"
    yield _finding("drop_rod_blocked", level, (work.gate,), says, f"{do}, or hinge the gate at its other end.")
