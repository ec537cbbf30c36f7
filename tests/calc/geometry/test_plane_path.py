"""Stations and offsets along a path of straight runs."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString
from shapely import Point as Dot

from engine.calc.geometry.plane import (
    PlaneError,
    Point,
    distance_ft,
    offset_point,
    station_offset,
    vertex_stations_ft,
)

PATH: list[Point] = [(0, 0), (0, 30), (40, 30)]
COORDINATES = st.integers(-50, 50).map(float)
PATHS = st.lists(st.tuples(COORDINATES, COORDINATES), min_size=2, max_size=6, unique=True)


@pytest.mark.closed_form
def test_stations_of_an_l_shaped_line() -> None:
    assert vertex_stations_ft(PATH) == (0, 30, 70)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("p", "station_ft", "offset_ft"),
    [
        ((2, 10), 10, 2),
        ((-2, 10), 10, -2),
        ((20, 33), 50, -3),
        ((20, 27), 50, 3),
        ((0, 12), 12, 0),
        ((-3, 34), 30, -5),
        ((3, -4), 0, 5),
        ((44, 33), 70, -5),
    ],
)
def test_station_and_offset(p: Point, station_ft: float, offset_ft: float) -> None:
    assert station_offset(PATH, p) == pytest.approx((station_ft, offset_ft))


@pytest.mark.closed_form
@pytest.mark.parametrize("p", [(-1, 31), (2, 31)])
def test_outside_a_hairpin_the_side_is_the_outer_one(p: Point) -> None:
    """The walk turns sharply right: beyond its tip is left, though one run or the other has the point on its right."""
    hairpin: list[Point] = [(0, 0), (0, 30), (1, 0)]
    assert station_offset(hairpin, p) == pytest.approx((30, -math.dist(p, (0, 30))))


@pytest.mark.parametrize("path", [[], [(0.0, 0.0)], [(0.0, 0.0), (0.0, 0.0)], [(0.0, 0.0), (math.nan, 1.0)]])
def test_refuses_a_path_that_goes_nowhere(path: list[Point]) -> None:
    with pytest.raises(PlaneError):
        vertex_stations_ft(path)[-1]
    with pytest.raises(PlaneError):
        station_offset(path, (1.0, 1.0))


@pytest.mark.independent
@settings(max_examples=100)
@given(PATHS, st.tuples(COORDINATES, COORDINATES))
def test_agrees_with_shapely(path: list[Point], p: Point) -> None:
    line = LineString(path)
    station_ft, offset_ft = station_offset(path, p)
    assert vertex_stations_ft(path)[-1] == pytest.approx(line.length)
    assert abs(offset_ft) == pytest.approx(line.distance(Dot(p)), abs=1e-9)
    nearest = line.interpolate(station_ft)
    assert distance_ft((nearest.x, nearest.y), p) == pytest.approx(abs(offset_ft), abs=1e-6)


@settings(max_examples=100)
@given(st.floats(0, 1), st.floats(-5, 5))
def test_a_point_set_off_a_straight_line_reads_back(part: float, offset_ft: float) -> None:
    a, b = (3.0, -2.0), (33.0, 38.0)
    p = offset_point(a, b, 50 * part, offset_ft)
    assert station_offset([a, b], p) == pytest.approx((50 * part, offset_ft), abs=1e-9)
