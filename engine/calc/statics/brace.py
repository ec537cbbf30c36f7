"""Pulls at a turn or an end, the brace that takes them, and what the cable does to an eye."""

from collections.abc import Sequence
from math import atan2, cos, degrees, fsum, hypot, inf, radians, sin
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.limits import MOST_RISE_FT, OutOfRange, require_positive, require_within

BALANCED = 1e-9
"""Pulls that leave no more than this share of them balance: what is left points nowhere."""


@dataclass(frozen=True)
class Brace:
    """An inclined brace: pushed along its length, lifting the post, pushing its foot level outward."""

    axial_lbf: float
    uplift_lbf: float
    thrust_lbf: float
    length_ft: float


class EyePull(NamedTuple):
    """What one cable does to an eye: its parts east and north, and the lift, up (+) or down (-)."""

    east_lbf: float
    north_lbf: float
    lift_lbf: float

    @property
    def level_lbf(self) -> float:
        """The pull in plan."""
        return hypot(self.east_lbf, self.north_lbf)


def resultant_lbf(pulls: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Sum of level pulls on one post, and the way it points.

    pulls: shape (n, 2), each (azimuth_deg, lbf): direction the cable leaves the post, clockwise from north, and its pull, 0 or more.
    Returns: (lb, azimuth_deg from 0 up to 360); pulls that balance to a billionth give (0.0, 0.0), a nothing that points nowhere.
    Raises: OutOfRange for a pull below 0 or a number that isn't finite.
    Source: derived: sum of vectors.
    Valid for: nearly level cables.
    """
    for azimuth, pull in pulls:
        require_within(0, inf, "a cable pulls", pull_lbf=pull)
        require_within(-720, 720, "a direction clockwise from north", azimuth_deg=azimuth)
    east = fsum(pull * sin(radians(azimuth)) for azimuth, pull in pulls)
    north = fsum(pull * cos(radians(azimuth)) for azimuth, pull in pulls)
    total = hypot(east, north)
    if total <= BALANCED * fsum(pull for _, pull in pulls):
        return 0.0, 0.0
    return total, _azimuth_deg(east, north)


def _azimuth_deg(east: float, north: float) -> float:
    azimuth = degrees(atan2(east, north)) % 360
    return azimuth if azimuth < 360 else 0.0


def brace_forces(
    pull_lbf: float, pull_height_ft: float, brace_height_ft: float, foot_distance_ft: float, foot_drop_ft: float = 0.0
) -> Brace:
    """What a brace carries that holds a post against a level pull, standing on the side the pull comes from.

    The post turns freely at the ground, the brace at both ends; the brace is pushed, lifts the post by `uplift_lbf` and presses
    its foot down by as much and outward by `thrust_lbf`. Several cables act as their sum at the height sum(T h)/sum(T).
    pull_lbf: lb, 0 or more.  pull_height_ft: above the post's ground, ft, above 0.  brace_height_ft: where it is banded, ft, above 0.
    foot_distance_ft: level, ft, above 0.  foot_drop_ft: foot lower (+) or higher (-) than the post's ground, ft, above -brace_height_ft.
    Returns: Brace: axial, uplift and thrust in lb, all 0 or more; length in ft.
    Raises: OutOfRange.
    Source: derived: moments about the post's foot give thrust = T h/a; axial = thrust/cos(angle), uplift = thrust tan(angle),
    tan(angle) = (a + drop)/b.
    Valid for: a stiff post. The lift must be held by the sleeve; ground is not checked here.
    Example: 250 lb at 5 ft, banded at 3.5 ft, foot 5 ft out: 435.9 lb along the brace at 35.0 degrees, lift 250 lb.
    """
    require_within(0, float("inf"), "a cable pulls", pull_lbf=pull_lbf)
    require_positive(pull_height_ft=pull_height_ft, brace_height_ft=brace_height_ft, foot_distance_ft=foot_distance_ft)
    require_within(-MOST_RISE_FT, MOST_RISE_FT, "a level difference beside one post", foot_drop_ft=foot_drop_ft)
    climb_ft = brace_height_ft + foot_drop_ft
    if climb_ft <= 0:
        raise OutOfRange("foot_drop_ft", foot_drop_ft, f"above {-brace_height_ft:g}", "the foot is higher than the band on the post")
    length_ft = hypot(foot_distance_ft, climb_ft)
    thrust = pull_lbf * pull_height_ft / brace_height_ft
    return Brace(
        axial_lbf=thrust * length_ft / foot_distance_ft,
        uplift_lbf=thrust * climb_ft / foot_distance_ft,
        thrust_lbf=thrust,
        length_ft=length_ft,
    )


def eye_pull(tension_lbf: float, arms: Sequence[tuple[float, float, float]]) -> EyePull:
    """What one cable does to an eye: its pull in plan, and its lift in profile, up (+) in a dip, down (-) on a crest.

    The cable has the same tension in every bay that meets at the eye and runs straight; its own weight, which presses the eye down by
    half of it in each bay, is left out, and the uprights of a loop pull its two eyes together and leave their post alone.
    tension_lbf: lb, 0 or more.  arms: shape (n, 3), each (azimuth_deg, run_ft, rise_ft): the way from this eye to the next, clockwise
    from north, level distance above 0, and that eye over this one, either sign.
    Returns: EyePull: lb.
    Raises: OutOfRange.
    Source: derived: sum of the pulls as vectors of three parts.
    Valid for: any slope of a tight cable.
    Example: 100 lb in a dip, 1 ft up over 20 ft both ways: no pull in plan, lifts 9.99 lb.
    """
    require_within(0, inf, "a cable pulls", tension_lbf=tension_lbf)
    east = north = lift = every = 0.0
    for azimuth, run, rise in arms:
        if not (0 < run < inf and -MOST_RISE_FT <= rise <= MOST_RISE_FT and -720 <= azimuth <= 720):  # a walk asks hundreds of times
            require_positive(run_ft=run)
            require_within(-MOST_RISE_FT, MOST_RISE_FT, "a level difference in one bay", rise_ft=rise)
            require_within(-720, 720, "a direction clockwise from north", azimuth_deg=azimuth)
        slope, angle = hypot(run, rise), radians(azimuth)
        level = tension_lbf * run / slope
        east, north, every = east + level * sin(angle), north + level * cos(angle), every + level
        lift += tension_lbf * rise / slope
    return EyePull(east, north, lift) if hypot(east, north) > BALANCED * every else EyePull(0.0, 0.0, lift)


def leaf_bending_lbf_ft(weight_lbf: float, width_ft: float) -> float:
    """Bending that a hung leaf makes in its hinge post, from the lower hinge down to the ground: W b/2.

    The hinges pull the post toward the leaf at the top and push it away at the bottom, a couple; the weight is even over the leaf.
    weight_lbf: lb, 0 or more.  width_ft: from the post's middle to the leaf's free edge, ft, above 0.
    Returns: lb ft, bending the post toward the leaf, whichever way that stands.
    Raises: OutOfRange.
    Source: derived: hinge couple times hinge spacing; see engine.calc.statics.gate_leaf.hinge_couple_lbf.
    Valid for: a still leaf that nobody stands on.
    Example: 40 lb, 5 ft: 100 lb ft.
    """
    require_within(0, float("inf"), "a weight", weight_lbf=weight_lbf)
    require_positive(width_ft=width_ft)
    return weight_lbf * width_ft / 2


def bending_sum_lbf_ft(bendings: Sequence[tuple[float, float]]) -> float:
    """Bending at the ground of a post that is bent several ways at once.

    A round post bends alike every way, so that bendings add like pulls in plan.
    bendings: shape (n, 2), each (azimuth_deg, lbf_ft): the way the post is bent, clockwise from north, and how much, lb ft, 0 or more.
    Returns: lb ft.
    Raises: OutOfRange.
    Source: derived: sum of vectors.
    Valid for: round posts below yield.
    Example: 300 lb ft to the north and 400 lb ft to the east: 500 lb ft.
    """
    return resultant_lbf(bendings)[0]
