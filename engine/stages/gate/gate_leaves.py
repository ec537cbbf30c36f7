"""One gate's opening and leaves: frame, wires and pull of each."""

from bisect import bisect_right

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import Profile, breaks_between, level_at_ft
from engine.calc.geometry.plane import Point, offset_point, square_diagonal_ft, vertex_stations_ft
from engine.calc.statics.gate_leaf import (
    brace_force_lbf,
    brace_wire_ft,
    frame_cuts,
    hinge_couple_lbf,
    hinge_spacing_ft,
)
from engine.calc.tolerances import EDGE_FT
from engine.job.model.fence import Gate
from engine.job.model.rules import GateRules
from engine.stages.layout.stage import Bay, Support
from engine.stages.survey.stage import LineSurvey

WIRE_ENDS_FT = 1.0
"""What both ends and the turnbuckle of a face wire take: common practice, no source."""
NEAR_WIDTHS = 2
"""How many leaf widths past an opening the ground under its leaves is looked at."""
WIRE_FROM, WIRE_TO = "top hinge corner", "bottom latch corner"
"""A hung leaf drops at its latch side, so this diagonal grows longer and a wire on it is pulled tight; on the other it would go slack."""


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
    """A gate's opening: its two posts in line order, the line as far as the leaves' ground, the ground along it, and the level bottom edge
    of the shut leaf. `on_soil` is whether some of that ground can be dug."""

    start: Support
    end: Support
    line: LineSurvey
    start_ft: float
    end_ft: float
    start_level_ft: float
    end_level_ft: float
    highest_ft: float
    lowest_ft: float
    on_soil: bool


def opening_of(gate: Gate, bay: Bay, start: Support, end: Support, line: LineSurvey) -> Opening:
    """The ground in a gate's opening, at both posts and every break between them."""
    stations = (bay.start_ft, *breaks_between(line.profile, bay.start_ft, bay.end_ft), bay.end_ft)
    levels = [level_at_ft(line.profile, station) for station in stations]
    on_soil = not any(floor.from_ft <= bay.start_ft + EDGE_FT and bay.end_ft - EDGE_FT <= floor.to_ft for floor in line.floors)
    here = _up_to(line, bay.end_ft + NEAR_WIDTHS * gate.leaf_width_ft)
    return Opening(start, end, here, bay.start_ft, bay.end_ft, levels[0], levels[-1], max(levels), min(levels), on_soil)


def _up_to(line: LineSurvey, far_ft: float) -> LineSurvey:
    """A line's path and ground up to a station and a bit further, so that what is past it changes no gate before it."""
    turns, shots = (bisect_right(stations, far_ft) + 1 for stations in (vertex_stations_ft(line.path), line.profile.stations_ft))
    ground = Profile(line.profile.stations_ft[:shots], line.profile.levels_ft[:shots])
    beside = tuple(shot for shot in line.beside if shot[0] <= far_ft)
    return LineSurvey(line.name, (), line.path[:turns], min(far_ft, line.length_ft), ground, min(line.level_shots, 1), (), beside)


def leaves_of(gate: Gate, rules: GateRules, opening: Opening, fence_height_ft: float, tube_in: float, weight_lb: float) -> tuple[Leaf, ...]:
    """The leaves of a gate: one on its hinge post, or two, the first on the post nearer the line's start.

    A leaf is as high as the fence less the bottom gap.

    Raises: OutOfRange where such a leaf can't be made.
    """
    return tuple(
        _leaf(gate.leaf_width_ft, rules, hinge, toward, fence_height_ft - rules.bottom_gap_in / 12, tube_in, weight_lb)
        for hinge, toward in hung_on(gate, opening)
    )


def hung_on(gate: Gate, opening: Opening) -> tuple[tuple[Support, Support], ...]:
    """Hinge post of each leaf and the post it shuts toward."""
    ahead, back = (opening.start, opening.end), (opening.end, opening.start)
    return (ahead, back) if gate.leaves == 2 else (ahead if gate.hinge == "start" else back,)


def _leaf(width_ft: float, rules: GateRules, hinge: Support, toward: Support, height_ft: float, tube_in: float, weight_lb: float) -> Leaf:
    cuts = frame_cuts(width_ft, height_ft, tube_in, rules.corner_takeoff_in)
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
        wire_from=WIRE_FROM,
        wire_to=WIRE_TO,
        weight_lb=weight_lb,
        hinge_spacing_ft=spacing_ft,
        hinge_pull_lbf=hinge_couple_lbf(weight_lb, width_ft, spacing_ft),
        brace_force_lbf=brace_force_lbf(weight_lb, width_ft, height_ft),
    )
