"""One gate's opening and leaves: frame, wires and pull of each."""

from bisect import bisect_left, bisect_right

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import Profile, breaks_between, levels_along_ft, stretch_of
from engine.calc.geometry.plane import Point, offset_point, square_diagonal_ft
from engine.calc.statics.gate_leaf import (
    brace_force_lbf,
    brace_wire_ft,
    frame_cuts,
    hinge_couple_lbf,
    hinge_spacing_ft,
)
from engine.calc.tolerances import EDGE_FT, ROUNDING_PLACES
from engine.job.model.fence import Gate
from engine.job.model.rules import GateRules
from engine.stages.layout.stage import Bay
from engine.stages.posts.standing_supports import Stand
from engine.stages.survey.stage import LineSurvey
from engine.stages.survey.survey_facts import line_stations_ft

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
class NearLine:
    """The line round an opening, as far as the ground of its leaves is looked at, from `near_ft` to `far_ft`: path, ground, and levels shot
    beside it. All stations count from the opening's first post, `path_ft` that of the path's first point too: wherever on its line a gate
    comes to lie, here is the same. `shot` is whether a level was shot along the line at all."""

    path: tuple[Point, ...]
    path_ft: float
    profile: Profile
    beside: tuple[tuple[float, float, float], ...]
    near_ft: float
    far_ft: float
    shot: bool


@dataclass(frozen=True)
class Opening:
    """A gate's opening: its two posts in line order, the line round it, how long it is along that, and the ground in it. `on_soil` is
    whether some of that ground can be dug."""

    start: Stand
    end: Stand
    line: NearLine
    long_ft: float
    start_level_ft: float
    end_level_ft: float
    highest_ft: float
    lowest_ft: float
    on_soil: bool


def opening_of(gate: Gate, bay: Bay, start: Stand, end: Stand, line: LineSurvey) -> Opening:
    """The ground in a gate's opening, at both posts and every break between them."""
    near, long_ft = _near(line, bay, NEAR_WIDTHS * gate.leaf_width_ft), round(bay.end_ft - bay.start_ft, ROUNDING_PLACES)
    levels = levels_along_ft(near.profile, (0.0, *breaks_between(near.profile, 0.0, long_ft), long_ft))
    on_soil = not any(floor.from_ft <= bay.start_ft + EDGE_FT and bay.end_ft - EDGE_FT <= floor.to_ft for floor in line.floors)
    return Opening(start, end, near, long_ft, levels[0], levels[-1], max(levels), min(levels), on_soil)


def _near(line: LineSurvey, bay: Bay, aside_ft: float) -> NearLine:
    """A line from so far before an opening to as far past it."""
    zero_ft, turns_ft = bay.start_ft, line_stations_ft(line.path)
    near_ft, past_ft = max(0.0, zero_ft - aside_ft), bay.end_ft + aside_ft
    far_ft = min(past_ft, line.length_ft)
    first, last = max(bisect_right(turns_ft, near_ft) - 1, 0), bisect_left(turns_ft, far_ft) + 1

    def from_here(station_ft: float) -> float:
        return round(station_ft - zero_ft, ROUNDING_PLACES)

    beside = tuple([(from_here(at), off, level) for at, off, level in line.beside if near_ft <= at <= past_ft])
    ground = stretch_of(line.profile, near_ft, far_ft, zero_ft)
    ends = from_here(near_ft), from_here(far_ft)
    return NearLine(line.path[first:last], from_here(turns_ft[first]), ground, beside, *ends, line.level_shots > 0)


def leaves_of(gate: Gate, rules: GateRules, opening: Opening, fence_height_ft: float, tube_in: float, weight_lb: float) -> tuple[Leaf, ...]:
    """The leaves of a gate: one on its hinge post, or two, the first on the post nearer the line's start.

    A leaf is as high as the fence less the bottom gap.

    Raises: OutOfRange where such a leaf can't be made.
    """
    return tuple(
        _leaf(gate.leaf_width_ft, rules, hinge, toward, fence_height_ft - rules.bottom_gap_in / 12, tube_in, weight_lb)
        for hinge, toward in hung_on(gate, opening)
    )


def hung_on(gate: Gate, opening: Opening) -> tuple[tuple[Stand, Stand], ...]:
    """Hinge post of each leaf and the post it shuts toward."""
    ahead, back = (opening.start, opening.end), (opening.end, opening.start)
    return (ahead, back) if gate.leaves == 2 else (ahead if gate.hinge == "start" else back,)


def _leaf(width_ft: float, rules: GateRules, hinge: Stand, toward: Stand, height_ft: float, tube_in: float, weight_lb: float) -> Leaf:
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
