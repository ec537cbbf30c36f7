"""Pulls at a turn or an end, the brace that takes them, and what the cable does to an eye."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, cos, degrees, fsum, hypot, radians, sin

from engine.calc.limits import OutOfRange, require_positive, require_within


@dataclass(frozen=True)
class Brace:
    """An inclined brace: pushed along its length, lifting the post, pushing its foot level outward."""

    axial_lbf: float
    uplift_lbf: float
    thrust_lbf: float
    length_ft: float
    angle_deg: float


def turn_resultant_lbf(tension_lbf: float, deflection_deg: float) -> float:
    """Pull on a post where a line turns, toward the inside of the bend: 2 T sin(turn/2).

    The cable has the same tension on both sides.
    tension_lbf: all cables together, lb, 0 or more.  deflection_deg: turn of the line, 0 (straight) to 180 (doubled back).
    Returns: lb.
    Raises: OutOfRange.
    Source: derived: sum of two equal pulls.
    Valid for: cables that run through at one height and nearly level.
    Example: 250 lb round a square corner pulls 353.6 lb.
    """
    require_within(0, float("inf"), "a cable pulls", tension_lbf=tension_lbf)
    require_within(0, 180, "a line can't turn further than back on itself", deflection_deg=deflection_deg)
    return 2 * tension_lbf * sin(radians(deflection_deg) / 2)


def resultant_lbf(pulls: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Sum of level pulls on one post, and the way it points.

    pulls: shape (n, 2), each (azimuth_deg, lbf): direction the cable leaves the post, clockwise from north, and its pull, 0 or more.
    Returns: (lb, azimuth_deg from 0 up to 360); pulls that balance to a billionth give (0.0, 0.0), a nothing that points nowhere.
    Raises: OutOfRange for a pull below 0 or a number that isn't finite.
    Source: derived: sum of vectors.
    Valid for: nearly level cables.
    """
    for azimuth, pull in pulls:
        require_within(0, float("inf"), "a cable pulls", pull_lbf=pull)
        require_within(-720, 720, "a direction clockwise from north", azimuth_deg=azimuth)
    east = fsum(pull * sin(radians(azimuth)) for azimuth, pull in pulls)
    north = fsum(pull * cos(radians(azimuth)) for azimuth, pull in pulls)
    total = hypot(east, north)
    if total <= 1e-9 * fsum(pull for _, pull in pulls):
        return 0.0, 0.0
    azimuth = degrees(atan2(east, north)) % 360
    return total, azimuth if azimuth < 360 else 0.0


def brace_forces(
    pull_lbf: float, pull_height_ft: float, brace_height_ft: float, foot_distance_ft: float, foot_drop_ft: float = 0.0
) -> Brace:
    """What a brace carries that holds a post against a level pull, standing on the side the pull comes from.

    The post turns freely at the ground, the brace at both ends; the brace is pushed, lifts the post by `uplift_lbf` and presses
    its foot down by as much and outward by `thrust_lbf`. Several cables act as their sum at the height sum(T h)/sum(T).
    pull_lbf: lb, 0 or more.  pull_height_ft: above the post's ground, ft, above 0.  brace_height_ft: where it is banded, ft, above 0.
    foot_distance_ft: level, ft, above 0.  foot_drop_ft: foot lower (+) or higher (-) than the post's ground, ft, above -brace_height_ft.
    Returns: Brace: axial, uplift and thrust in lb, all 0 or more; length in ft; angle of the brace to the level in degrees.
    Raises: OutOfRange.
    Source: derived: moments about the post's foot give thrust = T h/a; axial = thrust/cos(angle), uplift = thrust tan(angle),
    tan(angle) = (a + drop)/b.
    Valid for: a stiff post. The lift must be held by the sleeve; ground is not checked here.
    Example: 250 lb at 5 ft, banded at 3.5 ft, foot 5 ft out: 435.9 lb along the brace at 35.0 degrees, lift 250 lb.
    """
    require_within(0, float("inf"), "a cable pulls", pull_lbf=pull_lbf)
    require_positive(pull_height_ft=pull_height_ft, brace_height_ft=brace_height_ft, foot_distance_ft=foot_distance_ft)
    require_within(-1e4, 1e4, "a level difference beside one post", foot_drop_ft=foot_drop_ft)
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
        angle_deg=degrees(atan2(climb_ft, foot_distance_ft)),
    )


def unbraced_moment_lbf_ft(pulls: Sequence[tuple[float, float]]) -> float:
    """Bending at the ground of a post that stands on its own: sum of pull times height.

    All pulls act in one direction.
    pulls: shape (n, 2), each (lbf, height_ft): level pull, 0 or more, and its height over the ground, ft, 0 or more.
    Returns: lb ft.
    Raises: OutOfRange for a pull or height below 0.
    Source: derived: moments about the ground.
    Valid for: a post held firmly at the ground; a loose sleeve moves the greatest bending a little lower.
    """
    for pull, height in pulls:
        require_within(0, float("inf"), "a cable pulls", pull_lbf=pull)
        require_within(0, float("inf"), "an eye stands over the ground", height_ft=height)
    return fsum(pull * height for pull, height in pulls)


def eye_vertical_lbf(tension_lbf: float, rise_before_ft: float, run_before_ft: float, rise_after_ft: float, run_after_ft: float) -> float:
    """Lift on an eye from the cable's change of slope: up (+) in a dip, down (-) on a crest.

    The cable has the same tension on both sides; its own weight is left out. Rises are those of the walk along the line.
    tension_lbf: lb, 0 or more.  rise_before_ft: from the eye before to this one, ft, negative downhill.
    run_before_ft: level distance between them, ft, above 0.  rise_after_ft, run_after_ft: the same from this eye to the next.
    Returns: lb.
    Raises: OutOfRange.
    Source: derived: sum of the vertical parts of both pulls.
    Valid for: any slope.
    Example: 100 lb, 1 ft down over 20 ft and 1 ft up over 20 ft: lifts 9.99 lb.
    """
    require_within(0, float("inf"), "a cable pulls", tension_lbf=tension_lbf)
    require_positive(run_before_ft=run_before_ft, run_after_ft=run_after_ft)
    require_within(-1e4, 1e4, "a level difference in one bay", rise_before_ft=rise_before_ft, rise_after_ft=rise_after_ft)
    before = rise_before_ft / hypot(rise_before_ft, run_before_ft)
    after = rise_after_ft / hypot(rise_after_ft, run_after_ft)
    return tension_lbf * (after - before)
