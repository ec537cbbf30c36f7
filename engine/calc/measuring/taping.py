"""Taped and paced lengths brought to level, true feet. A correction is added when measuring, taken off when laying out."""

from __future__ import annotations

import math

from engine.calc.limits import OutOfRange, require_positive, require_within

TAPE_STANDARD_F = 68.0
STEEL_EXPANSION_PER_F = 0.0000065
STEEL_MODULUS_PSI = 29e6

_SLACKEST = 0.5
"""Tape weight over pull above which the sag formula strays over 4 % from the catenary."""

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


def slope_angle_to_level_ft(slope_ft: float, slope_deg: float) -> float:
    """Level length of a slope measurement, from the slope angle: s cos(angle).

    slope_ft: along the slope, over 0. slope_deg: up or down from level, under 90 either way.
    Returns feet.
    Raises OutOfRange outside those.
    Source: lecture slides "Taping Corrections" (slideplayer 13085605).
    Valid for: any straight slope short of upright.
    """
    require_positive(slope_ft=slope_ft)
    _require_slope(slope_deg)
    return slope_ft * math.cos(math.radians(slope_deg))


def temperature_correction_ft(
    length_ft: float, tape_F: float, standard_F: float = TAPE_STANDARD_F, expansion_per_F: float = STEEL_EXPANSION_PER_F
) -> float:
    """Correction for a tape warmer or colder than its standard: k L (T - T0).

    + when the tape is warm (it has grown and reads short).

    length_ft: as read, over 0. tape_F, standard_F: -60 to 180 degrees Fahrenheit. expansion_per_F: over 0; default steel.
    Returns feet to add.
    Raises OutOfRange outside those.
    Source: lecture slides "Taping Corrections" (slideplayer 13085605), k = 0.0000065 per °F.
    Valid for: steel tapes in the open; temperature of the tape, not of the air.
    """
    require_positive(length_ft=length_ft, expansion_per_F=expansion_per_F)
    require_within(-60, 180, "a tape is no colder or hotter in the open", tape_F=tape_F, standard_F=standard_F)
    return expansion_per_F * length_ft * (tape_F - standard_F)


def pull_correction_ft(
    length_ft: float, pull_lbf: float, standard_pull_lbf: float, area_in2: float, modulus_psi: float = STEEL_MODULUS_PSI
) -> float:
    """Correction for a tape pulled harder or less than its standard: L (P - P0) / (A E).

    + when pulled harder (it has stretched and reads short).

    length_ft: as read, over 0. pull_lbf, standard_pull_lbf: over 0. area_in2: tape's cross-section, over 0.
    modulus_psi: over 0; default steel.
    Returns feet to add.
    Raises OutOfRange outside those.
    Source: lecture slides "Taping Corrections" (slideplayer 13085605).
    Valid for: elastic stretch, a tape supported along its length.
    """
    require_positive(
        length_ft=length_ft,
        pull_lbf=pull_lbf,
        standard_pull_lbf=standard_pull_lbf,
        area_in2=area_in2,
        modulus_psi=modulus_psi,
    )
    return length_ft * (pull_lbf - standard_pull_lbf) / (area_in2 * modulus_psi)


def sag_correction_ft(weight_lbf_per_ft: float, span_ft: float, pull_lbf: float, slope_deg: float = 0.0) -> float:
    """Correction for one unsupported span of tape that hangs in a curve: -w^2 l^3 cos^2(slope) / (24 P^2).

    Never positive: a hanging tape reads long. Add one correction for each span.

    weight_lbf_per_ft: of the tape, over 0. span_ft: between supports, over 0. pull_lbf: over 0.
    slope_deg: of the span, under 90 either way.
    Returns feet to add, 0 or less.
    Raises OutOfRange outside those, or when the span weighs over half the pull.
    Source: lecture slides "Taping Corrections" (slideplayer 13085605); Jerry Mahun, Open Access Surveying Library,
        "Distances", ch. E.
    Valid for: span weight up to half the pull, where it stays within 4 % of the catenary's correction.
    """
    require_positive(weight_lbf_per_ft=weight_lbf_per_ft, span_ft=span_ft, pull_lbf=pull_lbf)
    _require_slope(slope_deg)
    slackness = weight_lbf_per_ft * span_ft / pull_lbf
    if slackness > _SLACKEST:
        raise OutOfRange("span weight over pull", slackness, f"{_SLACKEST} or less", "a slacker tape can't be corrected")
    return -(slackness**2) * span_ft / 24 * math.cos(math.radians(slope_deg)) ** 2


def tape_length_corrected_ft(measured_ft: float, actual_ft: float, nominal_ft: float) -> float:
    """True length measured with a tape that is long or short: measured x actual / nominal.

    measured_ft: as read, over 0. actual_ft: what the tape really is. nominal_ft: what it says; within 5 % of each other.
    Returns feet.
    Raises OutOfRange outside those.
    Source: lecture slides "Taping Corrections" (slideplayer 13085605).
    Valid for: a tape wrong evenly along its length.
    """
    require_positive(measured_ft=measured_ft, actual_ft=actual_ft, nominal_ft=nominal_ft)
    ratio = actual_ft / nominal_ft
    require_within(0.95, 1.05, "a tape over 5 % out is broken, not long or short", actual_over_nominal=ratio)
    return measured_ft * ratio


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


def _require_slope(slope_deg: float) -> None:
    if not abs(slope_deg) < 90:
        raise OutOfRange("slope_deg", slope_deg, "under 90 either way", "an upright tape has no level length")
