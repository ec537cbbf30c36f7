"""A gate leaf: its frame, the wire that keeps it square, the pull on its hinges, and its swing over the ground.

Out-of-square in degrees from a difference of diagonals is in `engine.calc.geometry.plane`.
"""

from collections.abc import Callable
from math import ceil, hypot
from typing import Literal

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point
from engine.calc.large_libraries import ArrayLike, Floats, np
from engine.calc.limits import MOST_RISE_FT, OutOfRange, require_positive, require_within

Side = Literal["left", "right"]

OPEN_DEG = 90.0
ANGLE_STEP_DEG = 2.0
RADIUS_STEP_FT = 0.25


@dataclass(frozen=True)
class FrameCuts:
    """Tube for one leaf: its two upright stiles and two level rails are each as long."""

    stile_ft: float
    rail_ft: float


@dataclass(frozen=True)
class SwingClearance:
    """A leaf swung open: its least clearance over the ground, and where."""

    least_in: float
    at_angle_deg: float
    at_radius_ft: float


def frame_cuts(width_ft: float, height_ft: float, tube_od_in: float, corner_takeoff_in: float) -> FrameCuts:
    """Lengths to cut for the frame of one leaf.

    The leaf is measured over the outside of its tubes; the four corners are alike.
    width_ft, height_ft: of the leaf, ft, above 0.  tube_od_in: in, above 0.
    corner_takeoff_in: from where two tubes' centre lines cross to a tube's cut end, in, 0 (mitred on the centre line) or more.
    Returns: FrameCuts, ft.
    Raises: OutOfRange, also when nothing is left to cut.
    Source: derived: outside less one tube is centre to centre; less a takeoff at each end.
    Valid for: frames whose corner fittings take the same off stile and rail.
    Example: 5 x 6 ft of 1.375 in tube, takeoff 1 in: stiles 5.719 ft, rails 4.719 ft.
    """
    require_positive(width_ft=width_ft, height_ft=height_ft, tube_od_in=tube_od_in)
    require_within(0, 24, "the fitting's reach along the tube", corner_takeoff_in=corner_takeoff_in)
    loss_ft = (tube_od_in + 2 * corner_takeoff_in) / 12
    for name, size in (("width_ft", width_ft), ("height_ft", height_ft)):
        if size <= loss_ft:
            raise OutOfRange(name, size, f"above {loss_ft:g}", "tubes and corners leave nothing to cut")
    return FrameCuts(stile_ft=height_ft - loss_ft, rail_ft=width_ft - loss_ft)


def brace_wire_ft(width_ft: float, height_ft: float, end_allowance_ft: float) -> float:
    """Length of one tension wire: the diagonal and what both ends and the turnbuckle take.

    width_ft, height_ft: between the wire's fixings, ft, above 0.  end_allowance_ft: all together, ft, 0 or more; a turnbuckle's
    body may be taken off it beforehand.
    Returns: ft.
    Raises: OutOfRange.
    Source: derived: Pythagoras.
    Valid for: a flat leaf.
    """
    require_positive(width_ft=width_ft, height_ft=height_ft)
    require_within(0, 20, "wire for ends and turnbuckle", end_allowance_ft=end_allowance_ft)
    return hypot(width_ft, height_ft) + end_allowance_ft


def brace_force_lbf(weight_lbf: float, width_ft: float, height_ft: float) -> float:
    """Pull in the tension wires of one leaf, all faces together: (W/2) sqrt(b^2 + h^2)/h.

    The weight is even over the leaf and the corners turn freely.
    weight_lbf: lb, 0 or more.  width_ft, height_ft: ft, above 0.
    Returns: lb; half of it in each wire where both faces have one.
    Raises: OutOfRange.
    Source: derived: balance at the bottom latch corner, which carries half the weight.
    Valid for: a still leaf; a child on the gate isn't in it.
    Example: 40 lb, 4 x 6 ft: 24.0 lb.
    """
    require_within(0, float("inf"), "a weight", weight_lbf=weight_lbf)
    require_positive(width_ft=width_ft, height_ft=height_ft)
    return weight_lbf / 2 * hypot(width_ft, height_ft) / height_ft


def hinge_spacing_ft(height_ft: float, inset_in: float = 12.0) -> float:
    """Distance between a leaf's hinges, each set in from its end by the same.

    height_ft: of the leaf, ft, above 0.  inset_in: from top and from bottom, in, 0 or more, less than half the height.
    Returns: ft.
    Raises: OutOfRange.
    Source: derived: subtraction; 12 in is common practice, no source.
    Valid for: two hinges.
    """
    require_positive(height_ft=height_ft)
    require_within(0, float("inf"), "a distance", inset_in=inset_in)
    spacing_ft = height_ft - inset_in / 6
    if spacing_ft <= 0:
        raise OutOfRange("inset_in", inset_in, f"below {height_ft * 6:g}", "the hinges would meet")
    return spacing_ft


def hinge_couple_lbf(weight_lbf: float, width_ft: float, hinge_spacing_ft: float) -> float:
    """Level pull at the top hinge, and push at the bottom one: W b/(2 hh).

    The weight is even over the leaf. The gate post feels the same two forces.
    weight_lbf: lb, 0 or more.  width_ft: ft, above 0.  hinge_spacing_ft: ft, above 0.
    Returns: lb.
    Raises: OutOfRange.
    Source: derived: moments about a hinge; H. D. Young & R. A. Freedman, University Physics, the farmyard gate problem.
    Valid for: a still leaf on two hinges.
    Example: 40 lb, 4 ft wide, hinges 4 ft apart: 20 lb.
    """
    require_within(0, float("inf"), "a weight", weight_lbf=weight_lbf)
    require_positive(width_ft=width_ft, hinge_spacing_ft=hinge_spacing_ft)
    return weight_lbf * width_ft / (2 * hinge_spacing_ft)


def opening_ft(leaf_width_ft: float, leaves: int, gap_in: float = 2.0) -> float:
    """Clear distance between gate posts.

    leaf_width_ft: of one leaf, ft, above 0.  leaves: 1 or 2.  gap_in: all gaps of the opening together, in, 0 to 24.
    Returns: ft.
    Raises: OutOfRange.
    Source: common practice, no source: gate posts stand one leaf width plus 2 in apart.
    Valid for: leaves of one width.
    Example: a 5 ft leaf needs 5 ft 2 in.
    """
    require_positive(leaf_width_ft=leaf_width_ft)
    require_within(1, 2, "a gate has one leaf or two", leaves=leaves)
    require_within(0, 24, "a gap a dog can't walk through", gap_in=gap_in)
    return leaf_width_ft * leaves + gap_in / 12


def swing_clearance(
    hinge: Point,
    closed_azimuth_deg: float,
    leaf_width_ft: float,
    bottom_height_ft: float,
    opens: Side,
    ground: Callable[[Floats, Floats], ArrayLike],
    hinge_ground_ft: float | None = None,
) -> SwingClearance:
    """Clearance of a leaf's level bottom edge over the ground from shut to square open, every 2 degrees and 3 in.

    The hinges are plumb, so the edge keeps its level. Left and right are those of a person at the hinge who looks along the shut leaf.
    hinge: (east_ft, north_ft).  closed_azimuth_deg: from hinge to latch when shut, clockwise from north.
    leaf_width_ft: above 0 to 30.  bottom_height_ft: bottom edge over the ground at the hinge, ft, 0 to 5.
    opens: "left" (azimuth falls) or "right" (azimuth grows).
    ground: level in ft for arrays of east and north in ft, both shape (angles, radii); may return one number for flat ground.
    hinge_ground_ft: level at the hinge, ft; asked of `ground` when left out.
    Returns: SwingClearance: in, degrees from shut, ft from the hinge; below 0 the leaf strikes.
    Raises: OutOfRange, also when the ground gives a level that isn't finite; ValueError for another side.
    Source: derived: geometry of the swept edge.
    Valid for: ground that doesn't change much within 3 in; a thin edge, fabric hanging below it not counted.
    """
    require_within(0, 30, "wider than any yard gate", leaf_width_ft=leaf_width_ft)
    require_positive(leaf_width_ft=leaf_width_ft)
    require_within(0, 5, "higher than any gate hangs", bottom_height_ft=bottom_height_ft)
    require_within(-720, 720, "a direction clockwise from north", closed_azimuth_deg=closed_azimuth_deg)
    if opens not in ("left", "right"):
        raise ValueError(f"a leaf opens left or right, not {opens!r}")
    angles = np.linspace(0.0, OPEN_DEG, ceil(OPEN_DEG / ANGLE_STEP_DEG) + 1)
    radii = np.linspace(0.0, leaf_width_ft, ceil(leaf_width_ft / RADIUS_STEP_FT) + 1)
    turned = np.radians(closed_azimuth_deg + (angles if opens == "right" else -angles))
    level = _levels_ft(ground, hinge[0] + np.outer(np.sin(turned), radii), hinge[1] + np.outer(np.cos(turned), radii))
    base_ft = float(level[0, 0]) if hinge_ground_ft is None else hinge_ground_ft
    require_within(-MOST_RISE_FT, MOST_RISE_FT, "a level", hinge_ground_ft=base_ft)
    gap_in = (base_ft + bottom_height_ft - level) * 12
    row, column = np.unravel_index(int(np.argmin(gap_in)), gap_in.shape)
    return SwingClearance(float(gap_in[row, column]), float(angles[row]), float(radii[column]))


def _levels_ft(ground: Callable[[Floats, Floats], ArrayLike], east: Floats, north: Floats) -> Floats:
    level = np.broadcast_to(np.asarray(ground(east, north), dtype=np.float64), east.shape)
    bad = level[~np.isfinite(level)]
    if bad.size:
        raise OutOfRange("ground level", float(bad[0]), "a finite number", "the ground is not known under the whole swing")
    return level
