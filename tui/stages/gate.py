"""Gate figures: swing, gaps, what holds it, frame tubes; what to build it by stands in the sheet."""

from collections.abc import Iterator

from engine.calc.lengths import format_ft_in, format_in
from engine.job.model.fence import Gate
from engine.job.model.job import Job
from engine.stages.gate.frame_tubes import frame_tubes
from engine.stages.gate.stage import GateWork
from engine.walk import Walk
from tui.stages.figure_tables import table
from tui.widgets.figures import Figures

PURPOSE = "Build the frame square, hang it so it clears the ground and holds the smallest dog."


GROUND = "Between level shots the ground runs straight; where none was shot beside the line it counts as level square to it."


def figures(job: Job, walk: Walk) -> Iterator[Figures]:
    """How each gate hangs and swings, and what its frames are cut from."""
    for name, work in walk.gate.gates.items():
        hung = (*_swing_rows(work), *_gap_rows(work), *_hold_rows(job.gates[name], work), *_post_rows(work, walk))
        yield table(f"Gate {name}: hang and swing", "<what|size|<", ((name, *row) for row in hung), GROUND)
    tubes = frame_tubes(job, walk.gate)
    if tubes is not None:
        yield table(
            "Frame tubes",
            "<tube|<pieces|left",
            (("", f"{number}", ", ".join(tube.piece_ids), format_ft_in(tube.left)) for number, tube in enumerate(tubes.rolls, 1)),
            "No plan needs fewer." if tubes.proven else "The best plan found.",
        )


def _post_rows(work: GateWork, walk: Walk) -> Iterator[tuple[str, str, str]]:
    """What the leaves do to the posts they hang on."""
    for name in (work.hinge_post, work.latch_post):
        pull = walk.bracing.pulls.get(name)
        if pull is None or pull.leaf is None or pull.leaf.share is None:
            continue
        load = pull.leaf
        left = "braced" if pull.braces else "no brace"
        yield f"{name} bends", f"{100 * pull.leaf.share:.0f} %", f"of yield, {left}; {100 * (load.open_share or 0):.0f} % open with none"


def _swing_rows(work: GateWork) -> Iterator[tuple[str, str, str]]:
    for swing in work.swings:
        best = ", the better side" if swing.side == work.better else ""
        for number, leaf in enumerate(swing.leaves, 1):
            which = f", leaf {number}" if len(swing.leaves) > 1 else ""
            where = f"{'clears' if leaf.clear else 'drags'} at {leaf.at_deg:.0f}° {format_ft_in(leaf.at_ft)} out{best}"
            yield f"swing {swing.side}{which}", format_in(leaf.least_in), where
        yield f"ground {swing.side}", f"{100 * swing.known_share:.0f} %", "of the swing lies between level shots"


def _gap_rows(work: GateWork) -> Iterator[tuple[str, str, str]]:
    yield "ground under it", format_in(12 * work.ground_rise_ft), "rise along the line"
    digs = "; one digs" if work.digs else ""
    dog = "no dogs are written down" if work.dog_in is None else f"smallest dog: about {format_in(work.dog_in)} (judgement){digs}"
    yield "largest bottom gap", format_in(work.bottom_gap_most_in), dog


def _hold_rows(asked: Gate, work: GateWork) -> Iterator[tuple[str, str, str]]:
    one = len(work.leaves) == 1
    for post, height_ft in zip((work.hinge_post, work.latch_post), work.post_heights_ft, strict=True):
        yield f"{post} over its ground", format_ft_in(height_ft), "to the top of the leaf"
    yield "latch", "", f"on {work.latch_post}" if one else "where the leaves meet"
    if work.standing:
        yield "drop rod", f"leaf {work.standing}", "its ground sleeve under the leaf's free end; the other leaf opens first"
    posts = work.hinge_post if one else f"{work.hinge_post} and {work.latch_post}"
    yield "hold it open", format_ft_in(work.leaves[0].width_ft), f"{asked.opens} of {posts}: a hook on a stake"
