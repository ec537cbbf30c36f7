"""A run past a trunk: the least move aside of its end, against shapely's distance and against every step tried."""

from math import hypot

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.geometry.past_a_trunk import apart_ft, least_aside_ft
from engine.calc.geometry.plane import Point
from engine.calc.limits import OutOfRange

EAST: Point = (1.0, 0.0)


@pytest.mark.closed_form
def test_a_trunk_in_the_middle_of_a_bay_is_cleared_by_the_tangent() -> None:
    """A bay of 20 ft due north, the middle 10 ft along, 1 ft wanted: sin a = 1/10, so the end goes 20 tan a = 2.0101 ft aside."""
    left, right = least_aside_ft((0, 0), (0, 20), EAST, (0, 10), 1.0)
    assert (left, right) == pytest.approx((20 * 0.1 / (1 - 0.01) ** 0.5,) * 2)
    left, right = least_aside_ft((0, 0), (0, 20), EAST, (0.5, 10), 1.0)
    assert left is not None
    assert right is not None
    assert left < 1.1 < 3 < right
    assert least_aside_ft((0, 0), (0, 20), EAST, (0.5, 0.5), 1.0) == (None, None)
    assert least_aside_ft((0, 0), (0, 20), EAST, (2.0, 10), 1.0) == (0.0, 0.0)


@pytest.mark.independent
@settings(max_examples=100, deadline=None)
@given(st.floats(-3, 3), st.floats(2, 24), st.floats(0.1, 2.0), st.floats(-0.3, 0.3))
def test_the_end_goes_just_as_far_as_shapely_says_it_has_to(aside: float, along: float, clear: float, lean: float) -> None:
    """At the move told the run is that far off; at every smaller move that way, in steps of 1/100, it is nearer."""
    end, middle = (lean, 20.0), (aside, along)

    def away(shift: float) -> float:
        return float(shapely.distance(shapely.LineString([(0, 0), (end[0] + shift, end[1])]), shapely.Point(middle)))

    for sign, way in zip((-1, 1), least_aside_ft((0, 0), end, EAST, middle, clear), strict=True):
        if way is None:
            assert hypot(aside, along) < clear or all(away(sign * step / 10) < clear for step in range(400))
        else:
            assert away(sign * way) >= clear - 1e-6
            assert all(away(sign * way * step / 100) < clear + 1e-6 for step in range(100 if way else 0))


@pytest.mark.independent
@given(
    st.lists(st.tuples(st.floats(-20, 20), st.floats(-20, 20)), min_size=1, max_size=5), st.tuples(st.floats(-20, 20), st.floats(-20, 20))
)
def test_how_far_off_runs_pass_is_what_shapely_says(ends: list[Point], middle: Point) -> None:
    wanted = [shapely.distance(shapely.LineString([(1.0, 2.0), end]), shapely.Point(middle)) for end in ends]
    assert apart_ft((1.0, 2.0), ends, middle) == pytest.approx(wanted, abs=1e-6)


def test_a_distance_of_nothing_is_refused() -> None:
    with pytest.raises(OutOfRange):
        least_aside_ft((0, 0), (0, 20), EAST, (0, 10), 0.0)
