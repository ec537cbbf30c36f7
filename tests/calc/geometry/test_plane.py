"""Points, courses, two tapes and squares on the plane."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from engine.calc.geometry.plane import (
    PlaneError,
    Point,
    TapesDontMeet,
    apex_angle_deg,
    area_ft2,
    azimuth_deg,
    deflection_deg,
    distance_ft,
    latitude_departure,
    offset_point,
    square_diagonal_ft,
    travel,
    two_tape_point,
)
from engine.calc.limits import OutOfRange

FEET = st.floats(-1000, 1000)
POINTS = st.tuples(FEET, FEET)
AZIMUTHS = st.floats(0, 359.999)
A: Point = (10.0, 20.0)


@pytest.mark.closed_form
@pytest.mark.parametrize(("b", "azimuth"), [((10, 30), 0), ((20, 30), 45), ((20, 20), 90), ((10, 10), 180), ((0, 20), 270), ((0, 30), 315)])
def test_azimuth_runs_clockwise_from_north(b: Point, azimuth: float) -> None:
    assert azimuth_deg(A, b) == pytest.approx(azimuth, abs=1e-12)


def test_an_azimuth_a_hair_west_of_north_stays_under_360() -> None:
    assert azimuth_deg((0, 0), (-1e-18, 1)) == 0


@pytest.mark.closed_form
def test_distance_and_course() -> None:
    assert distance_ft((1, 1), (4, 5)) == 5
    assert latitude_departure(10, 120) == pytest.approx((-5, 10 * math.sqrt(3) / 2))
    assert travel(A, 90, 7) == pytest.approx((17, 20))
    assert travel(A, 90, -7) == pytest.approx((3, 20))


@pytest.mark.closed_form
@pytest.mark.parametrize(("c", "turn"), [((0, 20), 0), ((5, 15), 45), ((10, 10), 90), ((-10, 10), -90), ((0, 5), 180), ((-5, 5), -135)])
def test_deflection_is_plus_to_the_right(c: Point, turn: float) -> None:
    assert deflection_deg((0, 0), (0, 10), c) == pytest.approx(turn, abs=1e-12)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("outline", "area"),
    [
        ([(0, 0), (40, 0), (40, 30), (0, 30)], 1200),
        ([(0, 0), (0, 30), (40, 30), (40, 0)], 1200),
        ([(0, 0), (4, 0), (0, 3)], 6),
        ([(0, 0), (10, 0), (10, 10), (5, 5), (0, 10)], 75),
        ([(0, 0), (1, 1), (2, 2)], 0),
    ],
)
def test_area(outline: list[Point], area: float) -> None:
    assert area_ft2(outline) == pytest.approx(area)


@settings(max_examples=50)
@given(st.lists(POINTS, min_size=3, max_size=8), POINTS, AZIMUTHS)
def test_area_stays_when_the_outline_is_moved_and_turned(outline: list[Point], shift: Point, turn: float) -> None:
    moved = [travel(shift, azimuth_deg((0, 0), p) + turn, distance_ft((0, 0), p)) if p != (0, 0) else shift for p in outline]
    assert area_ft2(moved) == pytest.approx(area_ft2(outline), abs=1e-6)


@pytest.mark.closed_form
def test_two_tapes_on_a_3_4_5() -> None:
    assert two_tape_point((0, 0), (3, 0), 4, 5, "left") == pytest.approx((0, 4))
    assert two_tape_point((0, 0), (3, 0), 4, 5, "right") == pytest.approx((0, -4))
    assert two_tape_point((3, 0), (0, 0), 5, 4, "right") == pytest.approx((0, 4))


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("tapes", "east_ft", "north_ft", "apex"),
    [((9, 12), 1 / 16, math.sqrt(81 - 1 / 256), 41.8), ((11, 7), 8.5, math.sqrt(121 - 72.25), 46.5)],
)
def test_yard_corners_off_an_8_ft_base(tapes: tuple[float, float], east_ft: float, north_ft: float, apex: float) -> None:
    assert two_tape_point((0, 0), (8, 0), *tapes, "left") == pytest.approx((east_ft, north_ft))
    assert apex_angle_deg(*tapes, 8) == pytest.approx(apex, abs=0.05)


def test_tapes_that_just_touch_meet_on_the_base() -> None:
    assert two_tape_point((0, 0), (0.3, 0), 0.1, 0.2, "left") == pytest.approx((0.1, 0), abs=1e-7)
    assert apex_angle_deg(0.1, 0.2, 0.3) == pytest.approx(180, abs=1e-5)


def test_tapes_that_fall_short_say_by_how_much() -> None:
    with pytest.raises(TapesDontMeet, match="together they are 1' 6\" short of the base") as refusal:
        two_tape_point((0, 0), (20, 0), 10, 8.5, "left")
    assert refusal.value.gap_ft == pytest.approx(1.5)


@pytest.mark.parametrize(("tapes", "which"), [((30, 8), "first"), ((8, 30), "second")])
def test_a_tape_that_reaches_past_the_other_says_by_how_much(tapes: tuple[float, float], which: str) -> None:
    with pytest.raises(TapesDontMeet, match=f"the {which} reaches 2' 0\" past the other") as refusal:
        two_tape_point((0, 0), (20, 0), *tapes, "left")
    assert refusal.value.gap_ft == pytest.approx(2)
    with pytest.raises(TapesDontMeet):
        apex_angle_deg(*tapes, 20)


@settings(max_examples=100)
@given(POINTS, POINTS, POINTS)
def test_two_tapes_find_the_point_they_were_pulled_to(a: Point, b: Point, p: Point) -> None:
    tapes = distance_ft(a, p), distance_ft(b, p)
    right = (p[0] - a[0]) * (b[1] - a[1]) - (p[1] - a[1]) * (b[0] - a[0])
    assume(min(*tapes, distance_ft(a, b)) > 1)
    assume(5 < apex_angle_deg(*tapes, distance_ft(a, b)) < 175)
    assert two_tape_point(a, b, *tapes, "right" if right > 0 else "left") == pytest.approx(p, abs=1e-6)


@pytest.mark.closed_form
def test_offset_is_plus_to_the_right_of_the_base() -> None:
    assert offset_point((0, 0), (0, 10), 4, 3) == (3, 4)
    assert offset_point((0, 0), (0, 10), 14, -3) == (-3, 14)
    assert offset_point((0, 0), (10, 0), -4, 3) == (-4, -3)


@pytest.mark.closed_form
def test_diagonals_of_rectangles() -> None:
    assert [square_diagonal_ft(*sides) for sides in ((3, 4), (6, 8), (9, 12))] == [5, 10, 15]
    assert square_diagonal_ft(20, 30) == pytest.approx(math.sqrt(1300))


def test_refuses_points_without_a_line() -> None:
    for refused in (
        lambda: azimuth_deg(A, A),
        lambda: offset_point(A, A, 1, 1),
        lambda: two_tape_point(A, A, 1, 1, "left"),
        lambda: distance_ft(A, (math.nan, 0)),
        lambda: travel(A, math.inf, 1),
        lambda: area_ft2([A, (0, 0)]),
    ):
        with pytest.raises(PlaneError):
            refused()


def test_refuses_tapes_of_no_length() -> None:
    with pytest.raises(OutOfRange, match="tape_b_ft"):
        two_tape_point((0, 0), (1, 0), 1, 0, "left")
    with pytest.raises(OutOfRange, match="base_ft"):
        apex_angle_deg(1, 1, 0)
