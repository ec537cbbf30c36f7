"""A crossing of zero inside a bracket, or down a slope."""

from math import cos, sqrt

import pytest

from engine.calc.limits import OutOfRange
from engine.calc.roots import rising_root, root_along_slope


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
