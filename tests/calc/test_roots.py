"""A crossing of zero inside a bracket, or down a slope."""

from math import cbrt, cos, sqrt

import pytest

from engine.calc.limits import OutOfRange
from engine.calc.roots import near_root, rising_root, root_along_slope


@pytest.mark.closed_form
def test_root_of_two() -> None:
    assert rising_root(lambda x: x * x - 2, 0, 2) == pytest.approx(sqrt(2), rel=1e-15)


@pytest.mark.closed_form
def test_where_x_meets_its_cosine() -> None:
    asked: list[float] = []

    def apart(x: float) -> float:
        asked.append(x)
        return x - cos(x)

    root = rising_root(apart, 0, 1)
    assert root == pytest.approx(cos(root), rel=1e-15)
    assert len(asked) < 22


@pytest.mark.closed_form
def test_a_root_at_the_low_end_is_that_end() -> None:
    assert rising_root(lambda x: x, 0, 1) == 0


@pytest.mark.closed_form
def test_a_root_at_the_high_end_is_found() -> None:
    assert rising_root(lambda x: x - 1, 0, 1) == 1


@pytest.mark.parametrize(("low", "high"), [(2, 3), (-3, -2)])
def test_a_bracket_without_a_crossing_is_refused(low: float, high: float) -> None:
    with pytest.raises(OutOfRange):
        rising_root(lambda x: x, low, high)


def test_a_falling_crossing_is_refused() -> None:
    with pytest.raises(OutOfRange):
        rising_root(lambda x: -x, -1, 1)


@pytest.mark.closed_form
@pytest.mark.parametrize("start", [2.0, 1e6])
def test_root_of_two_along_its_slope(start: float) -> None:
    assert root_along_slope(lambda x: (x * x - 2, 2 * x), start) == pytest.approx(sqrt(2), rel=1e-15)


@pytest.mark.closed_form
def test_a_curve_that_bends_down_is_walked_from_below() -> None:
    assert root_along_slope(lambda x: (sqrt(x) - 3, 0.5 / sqrt(x)), 1.0) == pytest.approx(9, rel=1e-15)


@pytest.mark.closed_form
def test_a_walk_that_starts_at_the_crossing_stays() -> None:
    assert root_along_slope(lambda x: (x * x - 4, 2 * x), 2.0) == 2


@pytest.mark.closed_form
@pytest.mark.parametrize("high", [1.5, 300.0])
def test_a_root_that_need_not_be_exact_is_asked_for_seldom(high: float) -> None:
    asked = []

    def cube(x: float) -> tuple[float, float]:
        asked.append(x)
        return x**3 - 2, 3 * x * x

    assert near_root(cube, 0, high, 0.05) == pytest.approx(2 ** (1 / 3), abs=0.05)
    assert len(asked) < 20


@pytest.mark.closed_form
def test_a_tangent_that_leads_out_of_the_bracket_is_not_followed() -> None:
    """The cube root is flat far out and steep at its crossing: its tangents lead to the wrong side."""
    assert near_root(lambda x: (cbrt(x - 1), 1 / (3 * max(cbrt(x - 1) ** 2, 1e-12))), -7, 28, 1e-6) == pytest.approx(1, abs=1e-5)
