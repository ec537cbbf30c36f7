"""Taped and paced lengths brought to level, true feet. A correction is added when measuring, taken off when laying out."""

from __future__ import annotations

import math

from engine.calc.limits import OutOfRange, require_positive, require_within


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


def paced_ft(paces: float, step_ft: float) -> float:
    """Length walked: paces x step.

    paces: 0 or more. step_ft: 1 to 7, a taped course over the count of its paces; a pace may be two steps if both are counted so.
    Returns feet along the ground.
    Raises OutOfRange outside those.
    Source: common practice, no source (a normal step is about 2 1/2 ft).
    Valid for: a first look; a few percent at best.
    """
    require_within(0, math.inf, "a count of paces", paces=paces)
    require_within(1, 7, "a person's step, or two steps counted as one", step_ft=step_ft)
    return paces * step_ft
