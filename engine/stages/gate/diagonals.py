"""The two diagonals of a gate's leaf: what is asked of each, and what they tell beside each other."""

from collections.abc import Iterator, Mapping, Sequence

from engine.calc.lengths import format_ft_in, format_in
from engine.checklist import Item, Stood, TicksOf, WantedReading, standing_tick
from engine.findings import Finding, FindingOf
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.tick_facts import Size, TickFacts
from engine.stages.gate.gate_leaves import Leaf

_finding = FindingOf("gate")

DIAGONALS_READ = tuple(TicksOf(f"diagonal_{which}{leaf}") for which in "ab" for leaf in ("", "1", "2"))
"""Of one leaf they have no number."""


def diagonal_items(gate: str, leaves: Sequence[Leaf], tolerance_in: float, tube: str) -> Iterator[Item]:
    """Both diagonals of every leaf, each with the length that it has in a square frame of that tube."""
    for number, leaf in enumerate(leaves, 1):
        which = f"leaf {number}, " if len(leaves) > 1 else ""
        first, other = _keys(gate, number, len(leaves))
        square = _alike(leaf.diagonal_ft, tolerance_in)
        yield Item(first, f"{gate}: {which}first diagonal, corner to corner", square, _frame(leaf, tube))
        yield Item(other, f"{gate}: {which}other diagonal, within {format_in(tolerance_in)} of the first", square, _frame(leaf, tube))


def out_of_square(job: Job, gate: str, leaves: Sequence[Leaf], stood: Stood) -> Iterator[Finding]:
    """Leaves whose two diagonals were read further apart than the rule, to the mark of a tape: equal ones mean a square frame.

    Source: common practice, no source.
    """
    tolerance_in = job.rules.gate.diagonal_tolerance_in
    for number, leaf in enumerate(leaves, 1):
        first, other = (_read_ft(job.checks, key, _frame(leaf, job.fence.gate_tube), stood) for key in _keys(gate, number, len(leaves)))
        if first is None or other is None or _alike(first, tolerance_in).passes(other):
            continue
        which = f", leaf {number}," if len(leaves) > 1 else ""
        read = f"{format_ft_in(first)} and {format_ft_in(other)}"
        says = f"Gate {gate}{which} is out of square: its diagonals read {read}, and the rule is within {format_in(tolerance_in)}."
        subjects = (gate, f"leaf {number}") if len(leaves) > 1 else (gate,)
        do = f"Rack the frame along its longer diagonal until both are within {format_in(tolerance_in)}, then read both again."
        yield _finding("gate_out_of_square", "fix", subjects, says, do)


def _keys(gate: str, number: int, leaves: int) -> tuple[ItemKey, ItemKey]:
    after = f"{number}" if leaves > 1 else ""
    return ItemKey("gate", gate, f"diagonal_a{after}"), ItemKey("gate", gate, f"diagonal_b{after}")


def _frame(leaf: Leaf, tube: str) -> TickFacts:
    return TickFacts(sizes=(Size("wide", leaf.width_ft), Size("high", leaf.height_ft)), stock=(tube,))


def _alike(length_ft: float, tolerance_in: float) -> WantedReading:
    return WantedReading("ft", length_ft, length_ft - tolerance_in / 12, length_ft + tolerance_in / 12)


def _read_ft(checks: Mapping[ItemKey, Tick], key: ItemKey, of: TickFacts, stood: Stood) -> float | None:
    """A diagonal as it was read, ft; a file written by hand may give it in inches."""
    tick = standing_tick(checks, key, of, stood)
    if tick is None or tick.state != "done":
        return None
    return tick.reading_ft if tick.reading_in is None else tick.reading_in / 12
