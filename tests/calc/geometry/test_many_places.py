"""Many places at once: against the one-at-a-time routes of plane, and hand-worked corners."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.geometry.many_places import Side, deflections_deg, inside_ft, stations_offsets
from engine.calc.geometry.plane import PlaneError, deflection_deg, station_offset

PATH = [(0.0, 0.0), (0.0, 10.0), (10.0, 10.0)]
coordinate = st.integers(-300, 300).map(lambda tenths: tenths / 10)
spot = st.tuples(coordinate, coordinate)
spots = st.lists(spot, min_size=1, max_size=12)


@pytest.mark.closed_form
def test_places_beside_a_bent_path() -> None:
    stations, offsets = stations_offsets(PATH, [(2.0, 4.0), (-3.0, 10.0), (6.0, 12.0)])
    assert stations.tolist() == [4.0, 10.0, 16.0]
    assert offsets.tolist() == [2.0, -3.0, -2.0]


def test_no_places_give_no_stations() -> None:
    stations, offsets = stations_offsets(PATH, [])
    assert (len(stations), len(offsets)) == (0, 0)


@pytest.mark.independent
@settings(max_examples=60, deadline=None)
@given(spots)
def test_stations_are_those_of_the_single_route(places: list[tuple[float, float]]) -> None:
    stations, offsets = stations_offsets(PATH, places)
    for place, station, offset in zip(places, stations, offsets, strict=True):
        assert (station, offset) == pytest.approx(station_offset(PATH, place), abs=1e-9)


@pytest.mark.closed_form
def test_turns_right_left_and_straight() -> None:
    walk = [(0.0, 0.0), (0.0, 10.0), (10.0, 10.0), (20.0, 20.0), (30.0, 30.0)]
    assert deflections_deg(walk).tolist() == pytest.approx([90.0, -45.0, 0.0])


@pytest.mark.closed_form
def test_a_walk_straight_back_turns_180_and_a_place_on_its_neighbour_turns_0() -> None:
    assert deflections_deg([(0.0, 0.0), (0.0, 5.0), (0.0, 0.0)]).tolist() == [180.0]
    assert deflections_deg([(0.0, 0.0), (0.0, 5.0), (0.0, 5.02)], nearest_ft=0.05).tolist() == [0.0]


@pytest.mark.independent
@settings(max_examples=60, deadline=None)
@given(st.lists(spot, min_size=3, max_size=8, unique=True))
def test_turns_are_those_of_the_single_route(walk: list[tuple[float, float]]) -> None:
    turns = deflections_deg(walk)
    expected = [deflection_deg(*walk[n : n + 3]) for n in range(len(walk) - 2)]
    assert turns.tolist() == pytest.approx(expected, abs=1e-9)


def square() -> list[Side]:
    """A lot 100 by 100 walked clockwise from its south-west corner, inside to the right, each side a boundary of its own."""
    corners = [(0.0, 0.0), (0.0, 100.0), (100.0, 100.0), (100.0, 0.0), (0.0, 0.0)]
    return [Side(a, b, n, True, False, False) for n, (a, b) in enumerate(pairwise(corners))]


@pytest.mark.closed_form
def test_inside_of_each_boundary_of_a_square_lot() -> None:
    inside, side = inside_ft([(10.0, 30.0)], square())
    assert inside.tolist() == [[10.0, 70.0, 90.0, 30.0]]
    assert side.tolist() == [[0, 1, 2, 3]]


@pytest.mark.closed_form
def test_past_a_corner_that_sticks_out_is_outside_both_boundaries() -> None:
    inside, _ = inside_ft([(-3.0, 104.0)], square())
    assert inside[0, :2].tolist() == [-5.0, -5.0]


@pytest.mark.closed_form
def test_behind_a_corner_that_sticks_in_is_inside_both_boundaries() -> None:
    """An L-shaped lot: west of x 50 all, east of it only north of y 50; the place is off the corner, inside the lot."""
    sides = [Side((100.0, 50.0), (50.0, 50.0), 0, True, False, False), Side((50.0, 50.0), (50.0, 0.0), 1, True, False, False)]
    inside, _ = inside_ft([(47.0, 54.0)], sides)
    assert inside.tolist() == [[5.0, 5.0]]


@pytest.mark.closed_form
def test_a_free_end_goes_straight_on() -> None:
    free, shut = Side((0.0, 0.0), (0.0, 10.0), 0, True, True, True), Side((0.0, 0.0), (0.0, 10.0), 0, True, False, False)
    assert inside_ft([(-3.0, 14.0)], [free])[0].tolist() == [[-3.0]]
    assert inside_ft([(-3.0, 14.0)], [shut])[0].tolist() == [[-5.0]]


def test_a_place_on_the_boundary_is_0_inside() -> None:
    assert abs(inside_ft([(0.0, 5.0)], square())[0][0, 0]) == 0.0


@pytest.mark.independent
@settings(max_examples=60, deadline=None)
@given(spots)
def test_nearest_boundary_of_a_square_lot_tells_inside_like_plain_comparison(places: list[tuple[float, float]]) -> None:
    inside, _ = inside_ft(places, square())
    nearest = inside[np.arange(len(places)), np.abs(inside).argmin(axis=1)]
    for (east, north), away in zip(places, nearest, strict=True):
        if abs(away) > 1e-9:
            assert (away > 0) == (0 < east < 100 and 0 < north < 100)


def test_bad_figures_are_refused() -> None:
    with pytest.raises(PlaneError, match="two different points"):
        stations_offsets([(0.0, 0.0), (0.0, 0.0)], [(1.0, 1.0)])
    with pytest.raises(PlaneError, match="finite"):
        stations_offsets(PATH, [(float("nan"), 1.0)])
    with pytest.raises(PlaneError, match="three places"):
        deflections_deg([(0.0, 0.0), (0.0, 1.0)])
    with pytest.raises(PlaneError, match="at least one run"):
        inside_ft([(0.0, 0.0)], [])
