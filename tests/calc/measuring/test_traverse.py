"""Compass rule: closure, shares and laws. Worked examples stand in tests/published."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.measuring.traverse import Course, TraverseError, compass_rule

COURSES = st.lists(st.builds(Course, st.floats(1, 300), st.floats(0, 359.9)), min_size=2, max_size=8)


@pytest.mark.closed_form
def test_a_square_that_closes_needs_no_correction() -> None:
    square = [Course(50, azimuth) for azimuth in (0, 90, 180, 270)]
    traverse = compass_rule((5, 7), square)
    assert traverse.precision is None
    assert [course.length_ft for course in traverse.courses] == pytest.approx([50] * 4)
    assert traverse.points[2] == pytest.approx((55, 57))


@pytest.mark.closed_form
def test_a_link_between_two_known_points() -> None:
    """100 ft north and 300 ft east against an end 0.4 ft short in east: shares of 0.1 and 0.3 ft."""
    traverse = compass_rule((0, 0), [Course(100, 0), Course(300, 90)], end=(299.6, 100))
    assert traverse.closure_departure_ft == pytest.approx(0.4)
    assert traverse.closure_latitude_ft == pytest.approx(0, abs=1e-9)
    assert traverse.precision == pytest.approx(1000)
    assert traverse.departures_ft == pytest.approx([-0.1, 299.7])
    assert traverse.points[-1] == pytest.approx((299.6, 100))


@pytest.mark.closed_form
def test_a_poor_compass_loop_shows_its_ratio() -> None:
    loop = [Course(80.40, 76), Course(46.30, 144), Course(72.80, 241), Course(68.00, 322)]
    east = sum(course.length_ft * math.sin(math.radians(course.azimuth_deg)) for course in loop)
    north = sum(course.length_ft * math.cos(math.radians(course.azimuth_deg)) for course in loop)
    assert compass_rule((0, 0), loop).precision == pytest.approx(267.5 / math.hypot(east, north))
    assert compass_rule((0, 0), loop).precision == pytest.approx(635, abs=1)


@settings(max_examples=50)
@given(COURSES, st.tuples(st.floats(-500, 500), st.floats(-500, 500)))
def test_an_adjusted_loop_closes_and_its_courses_lead_round_it(courses: list[Course], start: tuple[float, float]) -> None:
    traverse = compass_rule(start, courses)
    assert traverse.points[0] == start
    assert traverse.points[-1] == pytest.approx(start, abs=1e-8)
    east = sum(course.length_ft * math.sin(math.radians(course.azimuth_deg)) for course in traverse.courses)
    assert east == pytest.approx(0, abs=1e-8)


@settings(max_examples=50)
@given(COURSES, st.floats(0, 359))
def test_turning_the_whole_loop_leaves_its_misclosure(courses: list[Course], turn: float) -> None:
    turned = [Course(course.length_ft, course.azimuth_deg + turn) for course in courses]
    assert compass_rule((0, 0), turned).misclosure_ft == pytest.approx(compass_rule((0, 0), courses).misclosure_ft, abs=1e-8)


@pytest.mark.parametrize("length_ft", [0.0, -5.0, math.nan, math.inf])
def test_refuses_a_course_of_no_length(length_ft: float) -> None:
    with pytest.raises(TraverseError, match="Course 2"):
        compass_rule((0, 0), [Course(5, 0), Course(length_ft, 90)])


def test_refuses_no_courses() -> None:
    with pytest.raises(TraverseError, match="at least one"):
        compass_rule((0, 0), [])
