"""Levels between spots: straight across Delaunay triangles, checked against another library's interpolation."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import LinearNDInterpolator
from scipy.spatial import Delaunay

from engine.calc.geometry.terrain import levels_between
from engine.calc.limits import OutOfRange

GRID = np.meshgrid(np.linspace(-2, 12, 29), np.linspace(-2, 12, 29))


@pytest.mark.closed_form
def test_a_plane_is_given_back_and_nothing_is_known_outside() -> None:
    """0.2 e - 0.1 n + 3 over a square."""
    spots = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0), (4.0, 5.0)]
    east, north = GRID
    levels, known = levels_between(spots, [0.2 * e - 0.1 * n + 3 for e, n in spots], east, north)
    inside = (east >= 0) & (east <= 10) & (north >= 0) & (north <= 10)
    assert (known == inside).all()
    assert levels[known] == pytest.approx((0.2 * east - 0.1 * north + 3)[known])
    assert (levels[~known] == 0).all()


@pytest.mark.independent
@pytest.mark.parametrize("seed", range(6))
def test_scattered_levels_agree_with_another_library(seed: int) -> None:
    rng = np.random.default_rng(seed)
    spots = [(float(e), float(n)) for e, n in rng.uniform(0, 10, (14, 2))]
    ground = [float(level) for level in rng.normal(0, 1, 14)]
    east, north = GRID
    levels, known = levels_between(spots, ground, east, north)
    theirs = LinearNDInterpolator(Delaunay(np.array(spots)), ground)(east, north)
    assert (known == np.isfinite(theirs)).mean() > 0.995  # the rim itself is a matter of rounding
    both = known & np.isfinite(theirs)
    assert levels[both] == pytest.approx(theirs[both], abs=1e-6)


@settings(max_examples=50)
@given(st.lists(st.tuples(st.integers(0, 20), st.integers(0, 20), st.floats(-5, 5)), min_size=3, max_size=12, unique_by=lambda s: s[:2]))
def test_no_level_is_beyond_the_lowest_and_the_highest_that_were_shot(rows: list[tuple[int, int, float]]) -> None:
    levels, known = levels_between([(float(e), float(n)) for e, n, _ in rows], [level for _, _, level in rows], *GRID)
    if known.any():
        assert levels[known].min() >= min(level for _, _, level in rows) - 1e-6
        assert levels[known].max() <= max(level for _, _, level in rows) + 1e-6


def test_spots_in_one_row_make_nothing_known() -> None:
    _, known = levels_between([(0.0, 0.0), (1.0, 0.0), (2.0, 0.0)], [0.0, 1.0, 2.0], *GRID)
    assert not known.any()


def test_a_level_that_is_no_number_is_refused() -> None:
    with pytest.raises(OutOfRange):
        levels_between([(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)], [0.0, float("nan"), 0.0], *GRID)
    with pytest.raises(OutOfRange):
        levels_between([(0.0, 0.0)], [], *GRID)


def test_spots_nearly_in_one_row_give_no_level_of_their_own() -> None:
    """A hundredth of a hair off the row: the sliver holds nothing, the triangle beside it does."""
    spots = [(0.0, 0.0), (5.0, 1e-9), (10.0, 0.0), (5.0, 5.0)]
    levels, known = levels_between(spots, [1.0, 1.0, 1.0, 1.0], *GRID)
    assert known.any()
    assert np.isfinite(levels).all()
    assert levels[known] == pytest.approx(np.ones(known.sum()))
