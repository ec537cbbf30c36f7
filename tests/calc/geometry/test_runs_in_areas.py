"""Parts of runs inside areas, against squares worked out by hand and against shapely run by run."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.geometry.runs_in_areas import parts_inside
from engine.calc.tolerances import EDGE_FT

SQUARES = shapely.STRtree(shapely.box([10, 14], [-1, 0], [12, 20], [1, 2]))
"""One over a run due east from 10 to 12 ft, one beside it from 14 ft on, whose lower edge lies on it."""


@pytest.mark.closed_form
def test_each_run_is_told_with_its_own_parts_from_its_own_start() -> None:
    starts, ends = np.array([(0.0, 0.0), (11.0, 0.0), (0.0, 5.0)]), np.array([(20.0, 0.0), (11.0, 9.0), (20.0, 5.0)])
    parts = [part for part in parts_inside(starts, ends, SQUARES) if part[3] == 0]
    assert sorted(parts) == [pytest.approx((0, 10.0, 12.0, 0)), pytest.approx((1, 0.0, 1.0, 0))]


@pytest.mark.closed_form
def test_a_run_away_from_all_areas_and_one_that_touches_a_corner_have_none() -> None:
    starts, ends = np.array([(0.0, 5.0), (8.0, 3.0)]), np.array([(20.0, 5.0), (14.0, -3.0)])
    assert parts_inside(starts[:1], ends[:1], SQUARES) == []
    assert parts_inside(np.array([(9.0, 2.0)]), np.array([(11.0, 0.0)]), SQUARES) != []
    assert parts_inside(np.array([(9.0, 0.0)]), np.array([(11.0, 2.0)]), SQUARES) == []


@pytest.mark.independent
@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(*[st.floats(-5, 25)] * 4), min_size=1, max_size=6))
def test_the_parts_of_each_run_are_as_long_as_shapely_says(corners: list[tuple[float, float, float, float]]) -> None:
    starts, ends = np.array([(a, b) for a, b, _, _ in corners]), np.array([(c, d) for _, _, c, d in corners])
    found = parts_inside(starts, ends, SQUARES)
    for n, (a, b, c, d) in enumerate(corners):
        for area, square in enumerate(SQUARES.geometries):
            told = sum(high - low for run, low, high, where in found if (run, where) == (n, area))
            inside = shapely.length(shapely.intersection(shapely.LineString([(a, b), (c, d)]), square))
            assert told == pytest.approx(inside if inside > EDGE_FT else 0.0, abs=2 * EDGE_FT)
