"""Ground profile, cables over it, and the wire left for the apron."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.geometry.ground import (
    GroundError,
    Profile,
    apron_left_in,
    breaks_between,
    chord_ft,
    grade_deg,
    height_of_chord_ft,
    level_at_ft,
    levels_along_ft,
    levels_at_ft,
    slope_distance_ft,
    stretch_of,
)
from engine.calc.limits import OutOfRange

DIP = Profile((0, 30, 60, 100), (10, 10, 6, 9))
STATIONS = st.floats(-50, 150)
PROFILES = st.lists(st.integers(0, 100), min_size=1, max_size=8, unique=True).flatmap(
    lambda stations: st.lists(st.floats(-10, 10), min_size=len(stations), max_size=len(stations)).map(
        lambda levels: Profile(tuple(map(float, sorted(stations))), tuple(levels))
    )
)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("station_ft", "level_ft"), [(-5, 10), (0, 10), (15, 10), (30, 10), (45, 8), (60, 6), (80, 7.5), (100, 9), (120, 9)]
)
def test_level_between_and_beyond_the_shots(station_ft: float, level_ft: float) -> None:
    assert level_at_ft(DIP, station_ft) == level_ft


@settings(max_examples=100)
@given(PROFILES, st.lists(STATIONS, max_size=5))
def test_levels_of_many_stations_are_those_of_each(profile: Profile, stations: list[float]) -> None:
    singly = [level_at_ft(profile, station) for station in stations]
    assert levels_at_ft(profile, stations).tolist() == pytest.approx(singly, abs=1e-9)
    assert levels_along_ft(profile, sorted(stations)) == pytest.approx(
        [level_at_ft(profile, station) for station in sorted(stations)], abs=1e-9
    )


def test_levels_keep_the_shape() -> None:
    assert levels_at_ft(DIP, [[0, 45], [60, 80]]).tolist() == [[10, 8], [6, 7.5]]


@pytest.mark.closed_form
def test_lengths_over_the_dip() -> None:
    assert slope_distance_ft(DIP, 0, 100) == pytest.approx(30 + math.hypot(30, 4) + math.hypot(40, 3))
    assert slope_distance_ft(DIP, 100, 45) == pytest.approx(math.hypot(15, 2) + math.hypot(40, 3))
    assert chord_ft(DIP, 0, 100) == pytest.approx(math.hypot(100, 1))
    assert grade_deg(DIP, 30, 60) == pytest.approx(-math.degrees(math.atan(4 / 30)))
    assert grade_deg(DIP, 60, 30) == pytest.approx(math.degrees(math.atan(4 / 30)))


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("a_ft", "b_ft", "breaks"),
    [(0, 100, (30, 60)), (100, 0, (30, 60)), (30, 60, ()), (29, 31, (30,)), (-9, 120, (0, 30, 60, 100)), (5, 5, ())],
)
def test_breaks_strictly_between(a_ft: float, b_ft: float, breaks: tuple[float, ...]) -> None:
    assert breaks_between(DIP, a_ft, b_ft) == breaks


@settings(max_examples=100)
@given(PROFILES, STATIONS, STATIONS, st.floats(0, 1))
def test_a_stretch_has_the_very_levels_of_the_whole_and_no_shots_but_those_beside_it(
    profile: Profile, a: float, b: float, part: float
) -> None:
    low, high = sorted((a, b))
    stretch = stretch_of(profile, low, high)

    for station in (low, high, min(max(low + part * (high - low), low), high)):
        assert level_at_ft(stretch, station) == level_at_ft(profile, station)
    assert len(stretch.stations_ft) <= len(breaks_between(profile, low, high)) + 2


def test_a_stretch_that_counts_from_a_station_of_its_own_is_the_same_further_on() -> None:
    ground = Profile((10.0, 20.3, 31.7, 50.0), (1.0, 2.0, 0.5, 3.0))
    further = Profile(tuple(station + 133.3337 for station in ground.stations_ft), ground.levels_ft)

    assert stretch_of(ground, 22.0, 30.0, 25.0) == Profile((-4.7, 6.7), (2.0, 0.5))
    assert stretch_of(further, 22.0 + 133.3337, 30.0 + 133.3337, 25.0 + 133.3337) == Profile((-4.7, 6.7), (2.0, 0.5))


@settings(max_examples=100)
@given(PROFILES, STATIONS, STATIONS, STATIONS)
def test_along_the_ground_is_never_shorter_than_straight_and_adds_up(profile: Profile, a: float, b: float, c: float) -> None:
    low, middle, high = sorted((a, b, c))
    whole = slope_distance_ft(profile, low, high)
    assert whole >= chord_ft(profile, low, high) - 1e-9
    assert chord_ft(profile, low, high) >= high - low - 1e-9
    parts = slope_distance_ft(profile, low, middle) + slope_distance_ft(profile, middle, high)
    assert whole == pytest.approx(parts, abs=1e-9)


@pytest.mark.closed_form
def test_a_tight_cable_over_the_dip() -> None:
    """Eyes 2 ft over levels 10 and 9; the chord at station 60 is at 11.4, the ground at 6."""
    heights = height_of_chord_ft([0, 60, 100], [10, 6, 9], 12, 11)
    assert heights == pytest.approx([2, 5.4, 2])


@pytest.mark.closed_form
def test_sag_is_a_parabola_under_the_chord() -> None:
    heights = height_of_chord_ft([10, 15, 20, 25, 30], [0] * 5, 3, 3, sag_ft=0.4)
    assert heights == pytest.approx([3, 2.7, 2.6, 2.7, 3])


@pytest.mark.closed_form
def test_ground_above_the_cable_is_a_negative_height() -> None:
    assert height_of_chord_ft([0, 10, 20], [0, 3, 0], 2, 2)[1] == pytest.approx(-1)


@settings(max_examples=50)
@given(PROFILES, st.floats(0, 6), st.floats(0, 6), st.floats(0, 1), st.lists(st.floats(0, 25), min_size=1, max_size=5))
def test_reversing_the_bay_mirrors_the_heights(
    profile: Profile, height_a: float, height_b: float, sag: float, stations: list[float]
) -> None:
    rising = [0.0, *sorted(stations), 25.0]
    ground = levels_at_ft(profile, rising).tolist()
    eye_a, eye_b = ground[0] + height_a, ground[-1] + height_b
    there = height_of_chord_ft(rising, ground, eye_a, eye_b, sag)
    back = height_of_chord_ft([25 - station for station in reversed(rising)], ground[::-1], eye_b, eye_a, sag)
    assert back[::-1] == pytest.approx(there, abs=1e-6)


@pytest.mark.closed_form
@pytest.mark.parametrize(("height_in", "left_in"), [(24, 10), (34, 0), (37.5, -3.5), (0, 34)])
def test_apron_left_of_36_in_wire(height_in: float, left_in: float) -> None:
    assert apron_left_in(36, height_in, 2) == left_in


@pytest.mark.parametrize(
    ("stations", "levels"),
    [((), ()), ((0.0, 1.0), (5.0,)), ((0.0, 0.0), (1.0, 2.0)), ((1.0, 0.0), (1.0, 2.0)), ((0.0,), (math.nan,)), ((math.inf,), (0.0,))],
)
def test_refuses_a_profile_that_makes_no_sense(stations: tuple[float, ...], levels: tuple[float, ...]) -> None:
    with pytest.raises(GroundError):
        Profile(stations, levels)


def test_refuses_stations_that_make_no_sense() -> None:
    with pytest.raises(GroundError):
        stretch_of(DIP, math.nan, 1.0)
    for refused in (
        lambda: level_at_ft(DIP, math.nan),
        lambda: levels_at_ft(DIP, [1, math.inf]),
        lambda: breaks_between(DIP, 0, math.nan),
        lambda: grade_deg(DIP, 5, 5),
        lambda: levels_along_ft(DIP, [1, math.nan]),
        lambda: height_of_chord_ft([20, 0], [1, 1], 2, 2),
        lambda: height_of_chord_ft([0, 21, 20], [1, 1, 1], 2, 2),
        lambda: height_of_chord_ft([0, math.nan, 20], [1, 1, 1], 2, 2),
        lambda: height_of_chord_ft([0, 20], [1], 2, 2),
        lambda: height_of_chord_ft([0], [1], 2, 2),
    ):
        with pytest.raises(GroundError):
            refused()


def test_refuses_heights_and_widths_out_of_range() -> None:
    for refused in (
        lambda: height_of_chord_ft([0, 20], [1, 1], math.inf, 2),
        lambda: height_of_chord_ft([0, 20], [1, 1], 2, 2, sag_ft=-0.1),
        lambda: apron_left_in(0, 10, 0),
        lambda: apron_left_in(36, -1, 2),
        lambda: apron_left_in(36, 10, 37),
    ):
        with pytest.raises(OutOfRange):
            refused()
