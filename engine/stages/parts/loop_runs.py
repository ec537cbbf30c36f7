"""Runs of bays between gates, and the loops a run is best strung in."""

from collections.abc import Sequence

from engine.calc.loops import partition_run
from engine.job.rules import CableRules
from engine.stages.bracing import Bracing
from engine.stages.layout import Bay, Layout, LineLayout


def runs_of(layout: Layout, line: LineLayout) -> list[tuple[Bay, ...]]:
    """Longest chains of bays of a line that no gate interrupts.

    A closed line is walked from its first gate, so that the run past its first support stays whole. A bay without length is left out.
    Arguments: layout and one of its lines, lengths in ft.
    Returns: runs in order, each of one bay or more.
    Source: derived: reading of the layout; a cable never crosses a gate.
    Valid for: any line.
    """
    bays = [layout.bays[name] for name in line.bays]
    gates = [place for place, bay in enumerate(bays) if bay.gate is not None]
    if gates and bays[0].from_id == bays[-1].to_id:
        bays = bays[gates[0] :] + bays[: gates[0]]
    runs: list[list[Bay]] = [[]]
    for bay in bays:
        if bay.gate is not None:
            runs.append([])
        elif bay.plan_ft > 0:
            runs[-1].append(bay)
    return [tuple(run) for run in runs if run]


def loops_of(run: Sequence[Bay], layout: Layout, bracing: Bracing, rules: CableRules) -> list[tuple[Bay, ...]]:
    """A run shared out into loops: lengths within the limits first, then fewest loops, then breaks at supports that stand firm.

    Loops may meet at any support, for neighbours balance there; a corner, tree, structure or braced post is better.
    Arguments: run, bays in order; layout; bracing; rules, limits in ft. A loop's length is that of its bays on the slope.
    Returns: the bays of each loop, in order.
    Source: common practice, no source, for 40 to 60 ft loops; engine.calc.loops for the partition.
    Valid for: runs of one bay or more, each with a length.
    """
    joints = [bay.from_id for bay in run[1:]]
    loose = [0 if _firm(name, layout, bracing) else 1 for name in joints]
    lengths = [bay.slope_ft for bay in run]
    parts = partition_run(lengths, [True] * len(joints), rules.loop_min_ft, rules.loop_max_ft, loose)
    return [tuple(run[first : last + 1]) for first, last in parts]


def _firm(name: str, layout: Layout, bracing: Bracing) -> bool:
    support = layout.supports[name]
    return support.kind != "line" or support.support != "driven" or bracing.pulls[name].braces > 0
