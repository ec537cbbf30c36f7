"""Taping reductions and pacing: laws, refusals and figures that no source prints. Worked examples stand in tests/published."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.limits import OutOfRange
from engine.calc.measuring.taping import (
    paced_ft,
    slope_to_level_ft,
)


@pytest.mark.closed_form
@settings(max_examples=50)
@given(st.floats(1, 500), st.floats(-80, 80))
def test_a_slope_is_as_long_as_its_angle_says(slope_ft: float, slope_deg: float) -> None:
    rise_ft = slope_ft * math.sin(math.radians(slope_deg))
    assert slope_to_level_ft(slope_ft, rise_ft) == pytest.approx(slope_ft * math.cos(math.radians(slope_deg)))


@pytest.mark.closed_form
def test_paced_length() -> None:
    assert paced_ft(84, 2.5) == 210
    assert paced_ft(0, 2.5) == 0


@pytest.mark.parametrize(
    ("function", "arguments"),
    [
        (slope_to_level_ft, (10, 10)),
        (slope_to_level_ft, (0, 0)),
        (slope_to_level_ft, (10, math.nan)),
        (paced_ft, (-1, 2.5)),
        (paced_ft, (10, 0.9)),
    ],
)
def test_refuses_what_its_formula_does_not_hold_for(function: object, arguments: tuple[float, ...]) -> None:
    assert callable(function)
    with pytest.raises(OutOfRange):
        function(*arguments)
