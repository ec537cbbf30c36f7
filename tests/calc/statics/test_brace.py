"""Pulls at turns and ends, braces and eyes."""

from math import atan2, cos, cosh, hypot, radians, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.limits import OutOfRange
from engine.calc.statics.brace import (
    bending_sum_lbf_ft,
    brace_forces,
    eye_pull,
    leaf_bending_lbf_ft,
    resultant_lbf,
)
from engine.calc.statics.gate_leaf import hinge_couple_lbf
from tests.calc.statics.catenary import catenary

azimuths = st.floats(0, 359.9)
pulls = st.floats(10, 500)
several = st.lists(st.tuples(azimuths, pulls), min_size=1, max_size=6)


@pytest.mark.closed_form
@given(pulls, st.floats(1, 179), azimuths)
@settings(max_examples=50)
def test_a_turn_is_the_sum_of_its_two_pulls(tension: float, turn: float, arriving: float) -> None:
    """2 T sin(turn/2): the cable leaves backward the way it came and forward after a turn to the right."""
    total, azimuth = resultant_lbf([((arriving + 180) % 360, tension), ((arriving + turn) % 360, tension)])
    assert total == pytest.approx(2 * tension * sin(radians(turn / 2)), rel=1e-9)
    inside = arriving + turn / 2 + 90
    assert cos(radians(azimuth - inside)) == pytest.approx(1, abs=1e-9)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("given_pulls", "expected"),
    [
        ([(0, 3), (90, 4)], (5, 53.1301)),
        ([(90, 250), (180, 250)], (353.5534, 135)),
        ([(270, 10)], (10, 270)),
        ([(0, 100), (120, 100), (240, 100)], (0, 0)),
        ([], (0, 0)),
    ],
)
def test_resultant(given_pulls: list[tuple[float, float]], expected: tuple[float, float]) -> None:
    assert resultant_lbf(given_pulls) == pytest.approx(expected, abs=5e-5)


@given(several)
@settings(max_examples=100)
def test_the_resultant_taken_back_leaves_nothing(given_pulls: list[tuple[float, float]]) -> None:
    total, azimuth = resultant_lbf(given_pulls)
    east = sum(pull * sin(radians(bearing)) for bearing, pull in given_pulls)
    north = sum(pull * cos(radians(bearing)) for bearing, pull in given_pulls)
    assert hypot(east - total * sin(radians(azimuth)), north - total * cos(radians(azimuth))) < 1e-5
    assert 0 <= azimuth < 360


@given(several, st.floats(0, 360))
@settings(max_examples=50)
def test_turning_every_pull_turns_the_resultant(given_pulls: list[tuple[float, float]], by: float) -> None:
    total, _ = resultant_lbf(given_pulls)
    turned, _ = resultant_lbf([(bearing + by, pull) for bearing, pull in given_pulls])
    assert turned == pytest.approx(total, abs=1e-5)


def test_a_hair_west_of_north_is_still_below_360() -> None:
    assert resultant_lbf([(-1e-17, 10)])[1] < 360


def test_a_cable_cannot_push() -> None:
    with pytest.raises(OutOfRange):
        resultant_lbf([(0, -1)])


@pytest.mark.closed_form
def test_brace_of_an_end_post() -> None:
    """Thrust T h/a = 250 x 5/3.5; angle atan(3.5/5)."""
    brace = brace_forces(250, 5, 3.5, 5)
    assert brace.thrust_lbf == pytest.approx(357.142857, rel=1e-8)
    assert brace.axial_lbf == pytest.approx(435.9, abs=0.05)
    assert brace.uplift_lbf == pytest.approx(250, rel=1e-12)
    assert brace.length_ft == pytest.approx(6.1033, abs=5e-5)


heights = st.floats(1, 8)
drops = st.floats(-0.9, 4)
bays = st.floats(3, 25)


@given(pulls, heights, heights, st.floats(1, 10), drops)
@settings(max_examples=100)
def test_forces_at_the_band_sum_to_zero(pull: float, height: float, band: float, foot: float, drop: float) -> None:
    brace = brace_forces(pull, height, band, foot, drop)
    angle = atan2(band + drop, foot)
    assert brace.axial_lbf * cos(angle) == pytest.approx(brace.thrust_lbf, rel=1e-9)
    assert brace.axial_lbf * sin(angle) == pytest.approx(brace.uplift_lbf, rel=1e-9)
    assert brace.length_ft * cos(angle) == pytest.approx(foot, rel=1e-9)


@given(pulls, heights, heights, st.floats(1, 10), drops)
@settings(max_examples=100)
def test_post_and_brace_together_do_not_turn(pull: float, height: float, band: float, foot: float, drop: float) -> None:
    """Moments about the post's foot: the pull, against the ground's push on the brace foot at (foot, -drop)."""
    brace = brace_forces(pull, height, band, foot, drop)
    moment = pull * height - brace.uplift_lbf * foot + brace.thrust_lbf * drop
    assert moment == pytest.approx(0, abs=1e-8 * pull * height * (1 + foot + abs(drop)))


@given(heights, heights, st.floats(1, 9), st.floats(0.1, 3))
@settings(max_examples=50)
def test_a_foot_farther_out_is_pushed_less(height: float, band: float, foot: float, more: float) -> None:
    near, far = brace_forces(100, height, band, foot), brace_forces(100, height, band, foot + more)
    assert far.axial_lbf < near.axial_lbf
    assert far.uplift_lbf < near.uplift_lbf


def test_a_foot_above_the_band_is_refused() -> None:
    with pytest.raises(OutOfRange, match="higher than the band"):
        brace_forces(250, 5, 3.5, 5, -3.5)


@given(st.lists(st.tuples(pulls, heights), min_size=1, max_size=4))
@settings(max_examples=50)
def test_several_pulls_bend_as_their_sum_at_its_height(given_pulls: list[tuple[float, float]]) -> None:
    total = sum(pull for pull, _ in given_pulls)
    moment = sum(pull * height for pull, height in given_pulls)
    brace = brace_forces(total, moment / total, 5, 5)
    assert brace.thrust_lbf * 5 == pytest.approx(moment, rel=1e-12)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("before", "after", "expected"),
    [((-3, 4), (3, 4), 120), ((3, 4), (-3, 4), -120), ((0, 20), (0, 20), 0), ((1, 20), (1, 20), 0), ((-5, 12), (0, 7), 38.4615)],
)
def test_lift_of_an_eye(before: tuple[float, float], after: tuple[float, float], expected: float) -> None:
    """100 lb: 3-4-5 slopes down and up lift 100 (3/5 + 3/5); before is walked toward the eye, so its rise is seen from the eye negative."""
    (rise, run), (rise2, run2) = before, after
    pull = eye_pull(100, [(270, run, -rise), (90, run2, rise2)])
    assert pull.lift_lbf == pytest.approx(expected, abs=5e-5)


@pytest.mark.closed_form
def test_an_eye_on_a_straight_line_feels_nothing_level_or_on_a_slope() -> None:
    """Two pulls that are opposite in space sum to nothing at all."""
    for rise in (0.0, 2.5, -7.0):
        pull = eye_pull(50, [(200, 18, rise), (20, 18, -rise)])
        assert (pull.lift_lbf, pull.level_lbf) == (0.0, 0.0)


@pytest.mark.closed_form
def test_an_end_on_a_slope_is_pulled_along_the_slope() -> None:
    """3-4-5: 50 lb is 40 lb level and 30 lb up."""
    pull = eye_pull(50, [(90, 4, 3)])
    assert (pull.level_lbf, pull.east_lbf, pull.lift_lbf) == (pytest.approx(40), pytest.approx(40), pytest.approx(30))


spokes = st.lists(st.tuples(azimuths, bays, st.floats(-5, 5)), min_size=1, max_size=4)


@pytest.mark.independent
@given(pulls, spokes)
@settings(max_examples=100)
def test_an_eye_is_pulled_by_the_sum_of_its_unit_vectors(tension: float, arms: list[tuple[float, float, float]]) -> None:
    """numpy: unit vectors in space, summed."""
    found = eye_pull(tension, arms)
    ways = np.array([[run * sin(radians(to)), run * cos(radians(to)), rise] for to, run, rise in arms])
    east, north, up = (tension * ways / np.linalg.norm(ways, axis=1)[:, None]).sum(axis=0)
    assert found.level_lbf == pytest.approx(hypot(east, north), abs=1e-6)
    assert found.lift_lbf == pytest.approx(up, abs=1e-6)
    assert found.east_lbf == pytest.approx(east, abs=1e-6)


@pytest.mark.independent
@pytest.mark.parametrize(("rise", "rise2"), [(2.0, 3.0), (0.0, 0.0), (1.5, -1.5), (-2.0, -1.0)])
def test_lift_of_an_eye_by_the_end_slopes_of_catenaries(rise: float, rise2: float) -> None:
    """Slope of each catenary found by brute-force differences at its end; less what is left out, half the cable's weight a bay.

    The two cables have one tension at the eye, as a rope over a pulley has.
    """
    run, run2, weight, tension = 18.0, 22.0, 0.016, 50.0
    up = 0.0
    for span, climb in ((run, rise), (run2, rise2)):
        up += _end_pull_up(span, climb, weight, tension)
    left_out = weight / 2 * (hypot(run, rise) + hypot(run2, rise2))
    assert eye_pull(tension, [(270, run, rise), (90, run2, rise2)]).lift_lbf == pytest.approx(up + left_out, abs=0.05)


def _end_pull_up(span: float, climb: float, weight: float, tension: float) -> float:
    """Upward part of the pull at the near end of a catenary whose pull there is `tension`, by bisection on its level part."""
    low, high = 0.5 * tension, tension
    for _ in range(80):
        level = (low + high) / 2
        shape = catenary(span, climb, weight, level)
        low, high = (level, high) if shape.near_tension_lbf < tension else (low, level)
    scale, step = level / weight, 1e-4
    start, end = (scale * cosh((x - shape.low_point_ft) / scale) for x in (0.0, step))
    slope = (end - start) / step
    return level * slope


def test_an_eye_needs_a_bay_with_a_length() -> None:
    with pytest.raises(OutOfRange):
        eye_pull(100, [(0, 0, 0)])
    with pytest.raises(OutOfRange):
        eye_pull(-1, [])


@pytest.mark.closed_form
def test_a_leaf_bends_its_post_by_half_its_width() -> None:
    """40 lb x 5/2 ft; 300 and 400 lb ft square to each other make 500."""
    assert leaf_bending_lbf_ft(40, 5) == 100
    assert bending_sum_lbf_ft([(0, 300), (90, 400)]) == pytest.approx(500)


@pytest.mark.independent
@given(st.floats(10, 90), st.floats(3, 10), st.floats(2, 5), azimuths, azimuths, pulls)
@settings(max_examples=100)
def test_a_hinge_post_by_moments_in_space(weight: float, width: float, apart: float, leaf: float, cable: float, pull: float) -> None:
    """numpy cross products of the two hinge forces and both cables about the post's foot."""
    couple = hinge_couple_lbf(weight, width, apart)
    toward = np.array([sin(radians(leaf)), cos(radians(leaf)), 0.0])
    along = np.array([sin(radians(cable)), cos(radians(cable)), 0.0])
    forces = [(1.2 + apart, couple * toward), (1.2, -couple * toward), (3.0, pull * along), (5.9, pull * along)]
    moment = sum(np.cross([0.0, 0.0, height], force) for height, force in forces)
    cables = pull * 3.0 + pull * 5.9
    found = bending_sum_lbf_ft([(leaf, leaf_bending_lbf_ft(weight, width)), (cable, cables)])
    assert found == pytest.approx(float(np.linalg.norm(moment)), rel=1e-6, abs=1e-3)
