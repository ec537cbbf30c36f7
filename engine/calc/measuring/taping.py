"""Taped and paced lengths brought to level, true feet. A correction is added when measuring, taken off when laying out."""

from __future__ import annotations

import math

from engine.calc.limits import OutOfRange, require_positive, require_within

TAPE_STANDARD_F = 68.0
STEEL_EXPANSION_PER_F = 0.0000065
STEEL_MODULUS_PSI = 29e6


_STEP_WHY = "a person's step, or two steps counted as one"


def slope_to_level_ft(slope_ft: float, rise_ft: float) -> float:
    """Level length of a slope measurement, from the difference of level: sqrt(s^2 - v^2).

    slope_ft: along the slope, over 0. rise_ft: up or down between the ends, less than slope_ft either way.
    Returns feet.
    Raises OutOfRange outside those.
    Source: lecture slides "Taping Corrections" (slideplayer 13085605).
    Valid for: any straight slope short of upright.
    """
    require_positive(slope_ft=slope_ft)
    if not abs(rise_ft) < slope_ft:
        raise OutOfRange("rise_ft", rise_ft, f"under {slope_ft:g} either way", "a slope can't rise more than its own length")
    return math.sqrt((slope_ft - rise_ft) * (slope_ft + rise_ft))


def step_from_course_ft(course_ft: float, paces: float) -> float:
    """Length of one pace, from a taped course walked and counted.

    A pace is every step, or every second step where the crew counts so: use the same count for `paced_ft`.

    course_ft: taped, over 0. paces: mean count over the walks, over 0.
    Returns feet, 1 to 7.
    Raises OutOfRange outside those.
    Source: common practice, no source for the bounds; US Army SMCT task 071-329-1006 (calibrate on ground like the job).
    Valid for: the person who walked it, on ground like the course.
    """
    require_positive(course_ft=course_ft, paces=paces)
    step_ft = course_ft / paces
    require_within(1, 7, _STEP_WHY, step_ft=step_ft)
    return step_ft


def paced_ft(paces: float, step_ft: float) -> float:
    """Length walked: paces x step.

    paces: 0 or more. step_ft: 1 to 7, from `step_from_course_ft`.
    Returns feet along the ground.
    Raises OutOfRange outside those.
    Source: common practice, no source (a normal step is about 2 1/2 ft).
    Valid for: a first look; a few percent at best.
    """
    require_within(0, math.inf, "a count of paces", paces=paces)
    require_within(1, 7, _STEP_WHY, step_ft=step_ft)
    return paces * step_ft
