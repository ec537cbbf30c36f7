"""How a traverse closes: by hand, and its laws. Worked examples stand in tests/published."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.measuring.traverse import Course, TraverseError, traverse

COURSES = st.lists(st.builds(Course, st.floats(1, 300), st.floats(0, 359.9)), min_size=2, max_size=8)


@pytest.mark.closed_form
def test_a_square_that_closes_misses_by_nothing() -> None:
    square = [Course(50, azimuth) for azimuth in (0, 90, 180, 270)]
    assert (traverse((5, 7), square).precision, traverse((5, 7), square).total_ft) == (None, 200)


@pytest.mark.closed_form
def test_a_link_between_two_known_points() -> None:
    """100 ft north and 300 ft east against an end 0.4 ft short in east: 400 ft miss by 0.4."""
    link = traverse((0, 0), [Course(100, 0), Course(300, 90)], end=(299.6, 100))
    assert link.closure_departure_ft == pytest.approx(0.4)
    assert link.closure_latitude_ft == pytest.approx(0, abs=1e-9)
    assert link.precision == pytest.approx(1000)


@pytest.mark.closed_form
def test_a_poor_compass_loop_shows_its_ratio() -> None:
    loop = [Course(80.40, 76), Course(46.30, 144), Course(72.80, 241), Course(68.00, 322)]
    east = sum(course.length_ft * math.sin(math.radians(course.azimuth_deg)) for course in loop)
    north = sum(course.length_ft * math.cos(math.radians(course.azimuth_deg)) for course in loop)
    assert traverse((0, 0), loop).precision == pytest.approx(267.5 / math.hypot(east, north))
    assert traverse((0, 0), loop).precision == pytest.approx(635, abs=1)


@settings(max_examples=50)
@given(COURSES, st.floats(0, 359))
def test_turning_the_whole_loop_leaves_its_misclosure(courses: list[Course], turn: float) -> None:
    turned = [Course(course.length_ft, course.azimuth_deg + turn) for course in courses]
    assert traverse((0, 0), turned).misclosure_ft == pytest.approx(traverse((0, 0), courses).misclosure_ft, abs=1e-8)


@pytest.mark.parametrize("length_ft", [0.0, -5.0, math.nan, math.inf])
def test_refuses_a_course_of_no_length(length_ft: float) -> None:
    with pytest.raises(TraverseError, match="Course 2"):
        traverse((0, 0), [Course(5, 0), Course(length_ft, 90)])


def test_refuses_no_courses() -> None:
    with pytest.raises(TraverseError, match="at least one"):
        traverse((0, 0), [])
