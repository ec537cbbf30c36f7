"""A gate seen from the yard along its line: posts, leaves, diagonals, tension wires, hinges, latch, sizes, and the ground below."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point
from engine.calc.lengths import format_ft_in
from engine.drawing.shapes import Area, Drawing, Mark, Shape, Stroke, Words
from engine.job.model.job import Job
from engine.stages.gate.stage import GateWork, Leaf
from engine.walk import Walk

IN_PER_FT = 12.0
ROD_FT, ROD_IN_FT = 2.0, 0.5
"""Length of a drop rod in the picture, and how far it goes into the ground."""
OVER_FT = 0.4
"""How far over the leaves the width of the opening is written."""


@dataclass(frozen=True)
class ShutLeaf:
    """A leaf where it hangs when it is shut, and whether its hinges are on its left."""

    leaf: Leaf
    left_ft: float
    bottom_ft: float
    hinged_left: bool

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Lower left, lower right, upper right, upper left."""
        right_ft, top_ft = self.left_ft + self.leaf.width_ft, self.bottom_ft + self.leaf.height_ft
        return (self.left_ft, self.bottom_ft), (right_ft, self.bottom_ft), (right_ft, top_ft), (self.left_ft, top_ft)


def hung_leaves(work: GateWork, hinge_first: bool, from_ft: float, level_ft: float) -> Iterator[ShutLeaf]:
    """The leaves shut, side by side between their gaps, each as high as it is built and with its top where it hangs. `from_ft` is where the
    opening starts, `level_ft` the ground there; `hinge_first` is whether the hinge post stands there."""
    top_ft = level_ft + work.post_heights_ft[0 if hinge_first else 1]
    for number, leaf in enumerate(work.leaves):
        from_ft += work.side_gap_in / IN_PER_FT
        yield ShutLeaf(leaf, from_ft, top_ft - leaf.height_ft, hinge_first if len(work.leaves) == 1 else number == 0)
        from_ft += leaf.width_ft


def gate_shapes(job: Job, walk: Walk, gate: str) -> Drawing | None:
    """One gate to true scale, or None where it can't be worked out; feet from the post nearer the line's start and above its ground."""
    work = walk.gate.gates.get(gate)
    if work is None:
        return None
    rise_ft, inset_ft = work.ground_rise_ft, job.rules.gate.hinge_inset_in / IN_PER_FT
    hung = [*hung_leaves(work, job.gates[gate].hinge == "start", 0.0, 0.0)]
    top_ft = hung[0].corners[2][1]
    shapes: list[Shape] = [Stroke("ground", ((0.0, 0.0), (work.opening_ft, rise_ft)))]
    shapes += [Stroke("pole", ((at_ft, low_ft), (at_ft, top_ft))) for at_ft, low_ft in ((0.0, 0.0), (work.opening_ft, rise_ft))]
    shapes += [shape for leaf in hung for shape in _leaf(leaf, inset_ft, gate)]
    latch = hung[0].corners[1 if hung[0].hinged_left else 0]
    shapes.append(Mark("latch", (latch[0], (latch[1] + top_ft) / 2)))
    shapes += _held(work, hung, inset_ft)
    shapes.append(Words("size", (work.opening_ft / 2, top_ft + OVER_FT), f"opening {format_ft_in(work.opening_ft)}", rank=1))
    drawing = Drawing(tuple(shapes))
    return replace(drawing, picks=tuple((gate, (*leaf.points, leaf.points[0])) for leaf in drawing.of(Area, "leaf")))


def _held(work: GateWork, hung: Sequence[ShutLeaf], inset_ft: float) -> Iterator[Shape]:
    """Of two leaves the drop rod of the one that stands, its ground sleeve, and on each leaf's free end what its hook takes hold of."""
    if not work.standing:
        return
    for number, leaf in enumerate(hung, 1):
        free = leaf.corners[1 if leaf.hinged_left else 0]
        yield Mark("hook", (free[0], free[1] + inset_ft), rank=number)
        if number == work.standing:
            ground_ft = work.ground_rise_ft * free[0] / work.opening_ft
            yield Stroke("drop rod", ((free[0], ground_ft - ROD_IN_FT), (free[0], ground_ft - ROD_IN_FT + ROD_FT)))
            yield Mark("ground sleeve", (free[0], ground_ft))


def _leaf(hung: ShutLeaf, inset_ft: float, gate: str) -> Iterator[Shape]:
    """The frame, both diagonals that are measured, the face wire from the top hinge corner to the bottom latch corner, and the hinges."""
    low_left, low_right, top_right, top_left = hung.corners
    yield Stroke("diagonal", (low_left, top_right))
    yield Stroke("diagonal", (low_right, top_left))
    yield Stroke("face wire", (top_left, low_right) if hung.hinged_left else (top_right, low_left))
    yield Area("leaf", hung.corners, gate)
    foot, top = (low_left, top_left) if hung.hinged_left else (low_right, top_right)
    yield Mark("hinge", (foot[0], foot[1] + inset_ft))
    yield Mark("hinge", (top[0], top[1] - inset_ft))
    middle = ((low_left[0] + low_right[0]) / 2, (low_left[1] + top_left[1]) / 2)
    yield Words("size", middle, f"{format_ft_in(hung.leaf.diagonal_ft)} corner to corner", rank=1)
    spot = (foot[0], foot[1] + 0.4 * hung.leaf.height_ft)
    yield Words("hinge side", spot, "hinge side", rank=2, along=(spot, (low_right[0] if hung.hinged_left else low_left[0], spot[1])))
