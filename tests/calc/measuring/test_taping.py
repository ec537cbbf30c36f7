"""Taping reductions and pacing: laws, refusals and figures that no source prints. Worked examples stand in tests/published."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.limits import OutOfRange
from engine.calc.measuring.taping import (
    paced_ft,
    pull_correction_ft,
    sag_correction_ft,
    slope_angle_to_level_ft,
    slope_to_level_ft,
    step_from_course_ft,
    tape_length_corrected_ft,
    temperature_correction_ft,
)


@pytest.mark.pinned
def test_all_corrections_of_one_measurement_together() -> None:
    """Inputs of Mahun, Distances, E-4, whose printed answer was not seen; the answer here is this program's own."""
    read_ft = 436.48
    length = tape_length_corrected_ft(read_ft, 100.004, 100) - read_ft
    temperature = temperature_correction_ft(read_ft, 50, standard_F=70)
    pull = pull_correction_ft(read_ft, 15, 23, 0.004)
    sag = sum(sag_correction_ft(2.2 / 102, span_ft, 15) for span_ft in (100, 100, 36.48))
    assert (length, temperature, pull, sag) == pytest.approx((0.0175, -0.0567, -0.0301, -0.1765), abs=0.00006)
    assert read_ft + length + temperature + pull + sag == pytest.approx(436.234, abs=0.0006)


@pytest.mark.independent
@pytest.mark.parametrize("slackness", [0.05, 0.1, 0.25, 0.5])
def test_sag_stays_within_4_percent_of_the_catenary(slackness: float) -> None:
    """Catenary: end pull P, so H^2 = P^2 - (w l / 2)^2 and the chord is 2 H/w asinh(w l / 2H)."""
    span_ft, pull_lbf = 100.0, 12.0
    weight = slackness * pull_lbf / span_ft
    level_pull = math.sqrt(pull_lbf**2 - (weight * span_ft / 2) ** 2)
    chord_ft = 2 * level_pull / weight * math.asinh(weight * span_ft / 2 / level_pull)
    assert sag_correction_ft(weight, span_ft, pull_lbf) == pytest.approx(chord_ft - span_ft, rel=0.04)


@pytest.mark.closed_form
def test_sag_on_a_slope_shrinks_with_the_cosine_squared() -> None:
    flat, steep = sag_correction_ft(0.028, 100, 12), sag_correction_ft(0.028, 100, 12, slope_deg=60)
    assert steep == pytest.approx(flat / 4)


@settings(max_examples=50)
@given(st.floats(1, 500), st.floats(-80, 80))
def test_both_slope_reductions_agree(slope_ft: float, slope_deg: float) -> None:
    rise_ft = slope_ft * math.sin(math.radians(slope_deg))
    assert slope_to_level_ft(slope_ft, rise_ft) == pytest.approx(slope_angle_to_level_ft(slope_ft, slope_deg))


@pytest.mark.closed_form
@pytest.mark.parametrize(("paces", "step_in"), [(116, 33.9), (148, 26.6)])
def test_army_pace_counts_to_100_m(paces: float, step_in: float) -> None:
    step_ft = step_from_course_ft(100 / 0.3048, paces)
    assert step_ft == pytest.approx(100 / 0.3048 / paces)
    assert step_ft * 12 == pytest.approx(step_in, abs=0.05)


@pytest.mark.closed_form
def test_paced_length() -> None:
    assert paced_ft(84, step_from_course_ft(100, 40)) == 210
    assert paced_ft(0, 2.5) == 0


@pytest.mark.parametrize(
    ("function", "arguments"),
    [
        (slope_to_level_ft, (10, 10)),
        (slope_to_level_ft, (0, 0)),
        (slope_to_level_ft, (10, math.nan)),
        (slope_angle_to_level_ft, (10, 90)),
        (temperature_correction_ft, (100, 200)),
        (temperature_correction_ft, (100, math.nan)),
        (pull_correction_ft, (100, 0, 12, 0.015)),
        (sag_correction_ft, (0.1, 100, 12)),
        (sag_correction_ft, (0.028, 100, 12, -90)),
        (tape_length_corrected_ft, (100, 90, 100)),
        (step_from_course_ft, (100, 12)),
        (step_from_course_ft, (100, 0)),
        (paced_ft, (-1, 2.5)),
        (paced_ft, (10, 0.9)),
    ],
)
def test_refuses_what_its_formula_does_not_hold_for(function: object, arguments: tuple[float, ...]) -> None:
    assert callable(function)
    with pytest.raises(OutOfRange):
        function(*arguments)
