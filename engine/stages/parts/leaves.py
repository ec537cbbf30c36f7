"""One gate's leaves: frame, wires and pull of each, and the swing of all over the ground of the line."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely
from shapely.ops import substring

from engine.calc.gate import (
    SwingClearance,
    brace_corners,
    brace_force_lbf,
    brace_wire_ft,
    frame_cuts,
    hinge_couple_lbf,
    hinge_spacing_ft,
    swing_clearance,
)
from engine.calc.ground import breaks_between, level_at_ft, levels_at_ft
from engine.calc.plane import Point, azimuth_deg, offset_point, square_diagonal_ft, travel
from engine.job.base import Side
from engine.job.fence import Gate
from engine.job.rules import GateRules
from engine.stages.layout import Bay, Support
from engine.stages.survey import LineSurvey

WIRE_ENDS_FT = 1.0
"""What both ends and the turnbuckle of a face wire take: common practice, no source."""
CLEAR_IN = 0.5
"""A leaf that passes this far over the ground swings clear: common practice, no source."""
ARC_STEP_DEG = 15
SIDES: tuple[Side, Side] = ("left", "right")

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Swing:
    """A leaf swung from shut to square open on one side: its least clearance over the ground (in), where, and the arc for a picture.

    `side` is seen walking along the line. Of two leaves the worse is told; the arc is the tip of the first leaf's, every 15 degrees.
    """

    side: Side
    least_in: float
    at_deg: float
    at_ft: float
    clear: bool
    arc: tuple[Point, ...]


@dataclass(frozen=True)
class Leaf:
    """One leaf of a gate: hinge and latch supports' places, frame cuts, diagonals and face wire.

    `latch` is the free end of the shut leaf. `wire_from` and `wire_to` are corners: one wire on each face runs between them. The diagonal
    is over the outside of the frame. Pull and force are guidance; `brace_force_lbf` is that of both wires together.
    """

    hinge: Point
    latch: Point
    width_ft: float
    height_ft: float
    stile_ft: float
    rail_ft: float
    diagonal_ft: float
    wire_ft: float
    wire_from: str
    wire_to: str
    weight_lb: float
    hinge_spacing_ft: float
    hinge_pull_lbf: float
    brace_force_lbf: float


@dataclass(frozen=True)
class Opening:
    """A gate's opening: its two posts in line order, the ground along it, and the level bottom edge of the shut leaf."""

    start: Support
    end: Support
    line: LineSurvey
    start_ft: float
    end_ft: float
    start_level_ft: float
    end_level_ft: float
    highest_ft: float
    lowest_ft: float


def opening_of(bay: Bay, start: Support, end: Support, line: LineSurvey) -> Opening:
    """The ground in a gate's opening, at both posts and every break between them.

    Arguments: bay, the opening, stations in ft; its supports; its line.
    Returns: Opening, levels in ft.
    Source: derived: see engine.calc.ground.
    Valid for: any opening.
    """
    stations = (bay.start_ft, *breaks_between(line.profile, bay.start_ft, bay.end_ft), bay.end_ft)
    levels = [level_at_ft(line.profile, station) for station in stations]
    return Opening(start, end, line, bay.start_ft, bay.end_ft, levels[0], levels[-1], max(levels), min(levels))


def leaves_of(gate: Gate, rules: GateRules, opening: Opening, fence_height_ft: float, tube_in: float, weight_lb: float) -> tuple[Leaf, ...]:
    """The leaves of a gate: one on its hinge post, or two, the first on the post nearer the line's start.

    A leaf is as high as the fence less the bottom gap.
    Arguments: gate; rules; opening; fence_height_ft, ft; tube_in, outside diameter of the frame tube, in, above 0;
    weight_lb, of one leaf, lb.
    Returns: leaves; ft and lb, forces are guidance.
    Raises: OutOfRange where such a leaf can't be made.
    Source: see engine.calc.gate and engine.calc.plane.
    Valid for: square leaves, evenly covered, on two hinges.
    """
    return tuple(
        _leaf(gate.leaf_width_ft, rules, hinge, toward, fence_height_ft - rules.bottom_gap_in / 12, tube_in, weight_lb)
        for hinge, toward in hung_on(gate, opening)
    )


def hung_on(gate: Gate, opening: Opening) -> tuple[tuple[Support, Support], ...]:
    """Hinge post of each leaf and the post it shuts toward.

    Arguments: gate; opening.
    Source: derived: the gate's own fields.
    Valid for: one leaf or two.
    """
    ahead, back = (opening.start, opening.end), (opening.end, opening.start)
    return (ahead, back) if gate.leaves == 2 else (ahead if gate.hinge == "start" else back,)


def _leaf(width_ft: float, rules: GateRules, hinge: Support, toward: Support, height_ft: float, tube_in: float, weight_lb: float) -> Leaf:
    cuts = frame_cuts(width_ft, height_ft, tube_in, rules.corner_takeoff_in)
    corners = brace_corners("left")
    spacing_ft = hinge_spacing_ft(height_ft, rules.hinge_inset_in)
    return Leaf(
        hinge=hinge.xy,
        latch=offset_point(hinge.xy, toward.xy, width_ft, 0.0),
        width_ft=width_ft,
        height_ft=height_ft,
        stile_ft=cuts.stile_ft,
        rail_ft=cuts.rail_ft,
        diagonal_ft=square_diagonal_ft(width_ft, height_ft),
        wire_ft=brace_wire_ft(width_ft, height_ft, WIRE_ENDS_FT),
        wire_from=corners.top,
        wire_to=corners.bottom,
        weight_lb=weight_lb,
        hinge_spacing_ft=spacing_ft,
        hinge_pull_lbf=hinge_couple_lbf(weight_lb, width_ft, spacing_ft),
        brace_force_lbf=brace_force_lbf(weight_lb, width_ft, height_ft),
    )


def swings_of(gate: Gate, rules: GateRules, opening: Opening, leaves: Sequence[Leaf]) -> tuple[Swing, ...]:
    """The leaves swung to the left and to the right of the line, from shut to square open.

    The bottom edge is level, a bottom gap over the highest ground of the opening. Off the line the ground counts as that of the line's
    nearest point, of the stretch within two leaf widths of the opening.
    Arguments: gate; rules; opening; leaves as `leaves_of` gives them.
    Returns: both swings, left first; in, degrees from shut, ft from the hinge.
    Raises: OutOfRange where the edge would be over 5 ft up.
    Source: see engine.calc.gate.
    Valid for: ground that is level square to the line.
    """
    return tuple(_swing(side, gate, rules, opening, leaves) for side in SIDES)


def _swing(side: Side, gate: Gate, rules: GateRules, opening: Opening, leaves: Sequence[Leaf]) -> Swing:
    near_ft = max(0.0, opening.start_ft - 2 * gate.leaf_width_ft)
    path = substring(shapely.LineString(opening.line.path), near_ft, opening.end_ft + 2 * gate.leaf_width_ft)

    def ground(east: Floats, north: Floats) -> Floats:
        return levels_at_ft(opening.line.profile, near_ft + shapely.line_locate_point(path, shapely.points(east, north)))

    bottom_ft = opening.highest_ft + rules.bottom_gap_in / 12
    swung: list[SwingClearance] = []
    for (hinge, _), leaf in zip(hung_on(gate, opening), leaves, strict=True):
        level_ft = opening.start_level_ft if hinge is opening.start else opening.end_level_ft
        shut_deg = azimuth_deg(leaf.hinge, leaf.latch)
        turns = _as_seen(side, ahead=hinge is opening.start)
        swung.append(swing_clearance(leaf.hinge, shut_deg, leaf.width_ft, bottom_ft - level_ft, turns, ground, level_ft))
    worst = min(swung, key=lambda swing: swing.least_in)
    return Swing(
        side=side,
        least_in=worst.least_in,
        at_deg=worst.at_angle_deg,
        at_ft=worst.at_radius_ft,
        clear=worst.least_in >= CLEAR_IN,
        arc=_arc(leaves[0], _as_seen(side, ahead=hung_on(gate, opening)[0][0] is opening.start)),
    )


def _as_seen(side: Side, *, ahead: bool) -> Side:
    """A side of the line as one at the hinge sees it who looks along the shut leaf, which runs ahead along the line or back."""
    return side if ahead else SIDES[1 - SIDES.index(side)]


def _arc(leaf: Leaf, turns: Side) -> tuple[Point, ...]:
    shut_deg = azimuth_deg(leaf.hinge, leaf.latch)
    sign = 1 if turns == "right" else -1
    return tuple(travel(leaf.hinge, shut_deg + sign * angle, leaf.width_ft) for angle in range(0, 91, ARC_STEP_DEG))
