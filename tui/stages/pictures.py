"""Pictures of a walk: the plan, a line from the side, a gate. They pick from the walk what the picture widgets draw."""

from collections.abc import Iterator

from engine.calc.geometry.plane import Point
from engine.calc.lengths import format_ft_in
from engine.drawing.post_states import post_states
from engine.job.model.job import Job
from engine.stages.gate.stage import GateWork, Leaf
from engine.stages.layout.stage import Bay, KeepOut, Support
from engine.walk import Walk
from tui.widgets.picture import (
    POST_LETTERS,
    FenceRun,
    GateLeaf,
    GateMark,
    GatePicture,
    Ghost,
    HatchedArea,
    Label,
    PlanPicture,
    PostMark,
    TreeMark,
)
from tui.widgets.viewport import bounds_of

IN_PER_FT = 12.0
UTILITY_ROLES = {"communication": "comms", "irrigation": "reclaimed", "lighting": "electric", "septic": "sewer", "overhead": "electric"}


def plan(job: Job, walk: Walk, before: Walk | None = None) -> PlanPicture:
    """The site from above; with the walk before a change, old and new spots of every post that it moves, adds or leaves out."""
    supports = walk.layout.supports
    states = post_states(walk)
    fence = tuple(
        FenceRun((supports[bay.from_id].xy, supports[bay.to_id].xy), bay.id, walk.cables.loop_of.get(bay.id, ""))
        for bay in _open_bays(walk)
    )
    if not fence:
        fence = tuple(FenceRun(line.path, name) for name, line in walk.survey.lines.items())
    posts = tuple(PostMark(name, support.xy, _letter(support), states.get(name, "planned")) for name, support in supports.items())
    trees = tuple(
        TreeMark(name, walk.survey.points[tree.point].xy, tree.diameter_in / IN_PER_FT)
        for name, tree in job.trees.items()
        if tree.point in walk.survey.points
    )
    walls = tuple(path for structure in job.structures.values() if len(path := _path(walk, structure.points)) > 1)
    boundaries = tuple(path for boundary in job.boundaries.values() if len(path := _path(walk, boundary.points)) > 1)
    keep_outs = tuple(keep_out_shape(area) for area in walk.layout.keep_outs if area.id.source not in ("tree", "structure"))
    yards = tuple(
        Label(walk.survey.points[yard.inside].xy, yard.name or name, "yard")
        for name, yard in job.yards.items()
        if yard.inside in walk.survey.points
    )
    braces = tuple((leg.foot, supports[leg.support].xy) for pull in walk.bracing.pulls.values() for leg in pull.legs)
    ghosts = () if before is None else _ghosts(before, walk)
    gates = tuple(mark for work in walk.gate.gates.values() for mark in _gate_marks(work))
    fence_points = [point for run in fence for point in run.points]
    near = [*fence_points, *(point for wall in walls for point in wall), *(tree.pos for tree in trees)]
    far = near or [point.xy for point in walk.survey.points.values()] or [(0.0, 0.0)]
    return PlanPicture(bounds_of(far, least_ft=10.0), fence, posts, trees, keep_outs, walls, boundaries, gates, yards, braces, ghosts)


def elevation(job: Job, walk: Walk, gate: str) -> GatePicture | None:
    """A gate as seen along its line: leaves, face wires, hinges, the ground under it."""
    work = walk.gate.gates.get(gate)
    if work is None or not work.leaves:
        return None
    gap = job.rules.gate.bottom_gap_in / IN_PER_FT
    height = work.leaves[0].height_ft
    rise = work.ground_rise_ft
    leaves, wires, hinges, labels = [], [], [], []
    left = (work.opening_ft - sum(leaf.width_ft for leaf in work.leaves)) / 2
    hinge_left = job.gates[gate].hinge == "start"
    bottom = max(0.0, rise) + gap
    for number, leaf in enumerate(work.leaves):
        on_left = hinge_left if len(work.leaves) == 1 else number == 0
        leaves.append(GateLeaf(left, bottom, leaf.width_ft, leaf.height_ft, "left" if on_left else "right"))
        wires.append(_face_wire(leaf, left, bottom, on_left))
        inset = job.rules.gate.hinge_inset_in / IN_PER_FT
        x = left if on_left else left + leaf.width_ft
        hinges += [(x, bottom + inset), (x, bottom + leaf.height_ft - inset)]
        labels.append(Label((left + leaf.width_ft / 2, bottom + leaf.height_ft / 2), f"{format_ft_in(leaf.diagonal_ft)} corner to corner"))
        left += leaf.width_ft
    latches = ((wires[0][1][0], bottom + height / 2),)
    posts = (((0.0, 0.0), (0.0, bottom + height)), ((work.opening_ft, rise), (work.opening_ft, bottom + height)))
    labels.append(Label((work.opening_ft / 2, bottom + height + 0.4), f"opening {format_ft_in(work.opening_ft)}"))
    ground = ((0.0, 0.0), (work.opening_ft, rise))
    return GatePicture(tuple(leaves), ground, posts, tuple(wires), tuple(hinges), latches, tuple(labels), gate)


def _face_wire(leaf: Leaf, left: float, bottom: float, on_left: bool) -> tuple[Point, Point]:
    """From the top hinge corner to the bottom latch corner."""
    hinge_x, latch_x = (left, left + leaf.width_ft) if on_left else (left + leaf.width_ft, left)
    return (hinge_x, bottom + leaf.height_ft), (latch_x, bottom)


def _letter(support: Support) -> str:
    return POST_LETTERS[support.support if support.support != "driven" else support.kind]


def _open_bays(walk: Walk) -> Iterator[Bay]:
    return (bay for bay in walk.layout.bays.values() if bay.gate is None)


def _path(walk: Walk, names: tuple[str, ...]) -> tuple[Point, ...]:
    return tuple(walk.survey.points[name].xy for name in names if name in walk.survey.points)


def keep_out_shape(area: KeepOut) -> HatchedArea:
    """A keep-out as it is drawn: by the name of what it keeps clear, a utility in its own colour."""
    words = area.kind if area.id.source == "log" else ""
    return HatchedArea(area.id.record, area.polygon, UTILITY_ROLES.get(area.kind, area.kind), words)


def _ghosts(before: Walk, after: Walk) -> tuple[Ghost, ...]:
    """Old and new spot of each post that changes; a post added stands for one left out, else it has no old spot, or no new one."""
    old, new = before.layout.supports, after.layout.supports
    moved = [Ghost(name, old[name].xy, new[name].xy) for name in new if name in old and old[name].xy != new[name].xy]
    gone = [one for name, one in old.items() if name not in new]
    come = [one for name, one in new.items() if name not in old]
    paired = [Ghost(there.id, here.xy, there.xy) for here, there in zip(gone, come, strict=False)]
    alone = [Ghost(one.id, one.xy, one.xy) for one in (*gone[len(come) :], *come[len(gone) :])]
    return (*moved, *paired, *alone)


def _gate_marks(work: GateWork) -> Iterator[GateMark]:
    """Each leaf shut, and square open on the better side; the arc is the first leaf's, others stand open alike."""
    tip = next(swing.arc[-1] for swing in work.swings if swing.side == work.better)
    first = work.leaves[0].hinge
    for leaf in work.leaves:
        yield GateMark(work.gate, leaf.hinge, leaf.latch, (leaf.hinge[0] + tip[0] - first[0], leaf.hinge[1] + tip[1] - first[1]))
