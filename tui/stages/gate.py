"""Gate figures: opening, frame, wires, swing."""

from collections.abc import Iterator

from engine.calc.lengths import format_ft_in, format_in
from engine.job.job import Job
from engine.stages.gate import GateWork
from engine.walk import Walk
from tui.stages.tables import table
from tui.widgets.figures import Figures

PURPOSE = "Build the frame square, hang it so it clears the ground and holds the smallest dog."


def figures(_job: Job, walk: Walk) -> Iterator[Figures]:
    """One table a gate."""
    for name, work in walk.gate.gates.items():
        yield table(f"Gate {name}", "<what|size|<", ((name, *row) for row in (*_rows(work), *_post_rows(work, walk))))


def _post_rows(work: GateWork, walk: Walk) -> Iterator[tuple[str, str, str]]:
    """What the leaves do to the posts they hang on."""
    for name in (work.hinge_post, work.latch_post):
        pull = walk.bracing.pulls.get(name)
        if pull is None or pull.leaf is None or pull.leaf.share is None:
            continue
        load = pull.leaf
        left = "its braces hold the cables" if pull.braces else "with the cables, no brace"
        yield f"{name} bends", f"{100 * pull.leaf.share:.0f} %", f"of yield, {left}; open without one {100 * (load.open_share or 0):.0f} %"


def _rows(work: GateWork) -> Iterator[tuple[str, str, str]]:
    yield "opening", format_ft_in(work.opening_ft), f"wanted {format_ft_in(work.opening_wanted_ft)}, {work.hinge_post} to {work.latch_post}"
    yield "clear width", format_in(work.clear_width_in), "with the leaf open"
    for number, leaf in enumerate(work.leaves, 1):
        which = f"leaf {number} " if len(work.leaves) > 1 else ""
        yield f"{which}uprights, cut 2", format_ft_in(leaf.stile_ft), ""
        yield f"{which}rails, cut 2", format_ft_in(leaf.rail_ft), ""
        yield f"{which}both diagonals", format_ft_in(leaf.diagonal_ft, 16), "equal when the frame is square"
        yield f"{which}face wire, cut 2", format_ft_in(leaf.wire_ft), f"{leaf.wire_from} to {leaf.wire_to}, one each face"
        yield (
            f"{which}hinges apart",
            format_ft_in(leaf.hinge_spacing_ft),
            f"pull {leaf.hinge_pull_lbf:.0f} lb each, leaf {leaf.weight_lb:.0f} lb (guidance)",
        )
    for swing in work.swings:
        best = ", the better way" if swing.side == work.better else ""
        state = "clears" if swing.clear else "drags"
        yield f"swing {swing.side}", format_in(swing.least_in), f"{state} at {swing.at_deg:.0f}° {format_ft_in(swing.at_ft)} out{best}"
    yield "ground under it", format_in(12 * work.ground_rise_ft), "rise along the line"
    yield "most bottom gap", format_in(work.bottom_gap_most_in), ""
    yield "wire, mesh", f"{format_ft_in(work.fabric_wire_ft)}, {format_ft_in(work.fabric_mesh_ft)}", ""
