"""Gate leaf: frame, wires, hinges and swing."""

from math import cos, exp, hypot, inf, nan, radians, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.limits import OutOfRange
from engine.calc.statics.gate_leaf import (
    brace_force_lbf,
    brace_wire_ft,
    frame_cuts,
    hinge_couple_lbf,
    hinge_spacing_ft,
    opening_ft,
    swing_clearance,
)

sizes = st.floats(2, 10)


@pytest.mark.closed_form
def test_frame_of_a_five_by_six_leaf() -> None:
    """72 - 1.375 - 2 = 68.625 in, 60 - 1.375 - 2 = 56.625 in."""
    cuts = frame_cuts(5, 6, 1.375, 1)
    assert (cuts.stile_ft * 12, cuts.rail_ft * 12) == pytest.approx((68.625, 56.625))


def test_a_frame_that_is_all_corners_is_refused() -> None:
    with pytest.raises(OutOfRange, match="leave nothing to cut"):
        frame_cuts(1, 6, 2, 5)


@pytest.mark.closed_form
@pytest.mark.parametrize(("width", "height", "diagonal_in"), [(4, 4, 67.88), (4, 6, 86.53), (3.5, 5, 73.24)])
def test_wire_is_the_diagonal_and_its_ends(width: float, height: float, diagonal_in: float) -> None:
    """sqrt(b^2 + h^2) and half a foot for the ends."""
    assert brace_wire_ft(width, height, 0.5) * 12 == pytest.approx(diagonal_in + 6, abs=0.006)


@pytest.mark.closed_form
@pytest.mark.parametrize(("width", "height", "force"), [(4, 4, 28.3), (4, 6, 24.0), (3.5, 5, 24.4)])
def test_pull_of_the_wires(width: float, height: float, force: float) -> None:
    """(W/2) sqrt(b^2 + h^2)/h at 40 lb."""
    assert brace_force_lbf(40, width, height) == pytest.approx(force, abs=0.06)


@given(st.floats(10, 100), sizes, sizes)
@settings(max_examples=50)
def test_the_wires_carry_half_the_leaf(weight: float, width: float, height: float) -> None:
    upward = brace_force_lbf(weight, width, height) * height / hypot(width, height)
    assert upward == pytest.approx(weight / 2, rel=1e-9)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("weight", "width", "spacing", "pull"),
    [(280, 1.00, 1.00, 140), (13 * 9.8, 1.30, 1.50, 55.2), (281, 1.08, 0.72, 210.75), (150, 0.81, 1.9, 31.97), (40, 4, 4, 20)],
)
def test_pull_at_the_top_hinge(weight: float, width: float, spacing: float, pull: float) -> None:
    """W b/(2 hh), in newtons and metres or pounds and feet."""
    assert hinge_couple_lbf(weight, width, spacing) == pytest.approx(pull, abs=0.06)


@pytest.mark.closed_form
def test_hinges_a_foot_from_both_ends() -> None:
    """6 - 2 x 1."""
    assert hinge_spacing_ft(6) == 4
    assert hinge_spacing_ft(6, 6) == 5


def test_hinges_that_meet_are_refused() -> None:
    with pytest.raises(OutOfRange, match="would meet"):
        hinge_spacing_ft(2, 12)


@pytest.mark.closed_form
@pytest.mark.parametrize(("leaves", "opening_in"), [(1, 62), (2, 122)])
def test_opening_is_the_leaves_and_two_inches(leaves: int, opening_in: float) -> None:
    """Common practice: 5 ft 2 in for a 5 ft leaf."""
    assert opening_ft(5, leaves) * 12 == pytest.approx(opening_in)


def test_a_gate_of_three_leaves_is_refused() -> None:
    with pytest.raises(OutOfRange):
        opening_ft(5, 3)


def _east_slope(east: np.ndarray, _north: np.ndarray) -> np.ndarray:
    return 100 + 0.05 * east


@pytest.mark.closed_form
def test_a_leaf_opening_uphill_touches_at_its_end() -> None:
    """3 in over the hinge less 5 ft x 0.6 in/ft of rise: 0 at the tip, square open."""
    got = swing_clearance((0, 0), 0, 5, 0.25, "right", _east_slope)
    assert got.least_in == pytest.approx(0, abs=1e-9)
    assert (got.at_angle_deg, got.at_radius_ft) == (90, 5)


@pytest.mark.closed_form
def test_a_leaf_opening_downhill_is_lowest_at_its_hinge() -> None:
    got = swing_clearance((0, 0), 0, 5, 0.25, "left", _east_slope)
    assert got.least_in == pytest.approx(3)
    assert got.at_radius_ft == 0


@pytest.mark.closed_form
def test_the_level_at_the_hinge_may_be_given() -> None:
    """Hinge ground 1/4 ft under the level around it: the edge hangs at that level."""
    got = swing_clearance((0, 0), 0, 5, 0.25, "right", lambda _east, _north: 100.0, hinge_ground_ft=99.75)
    assert got.least_in == pytest.approx(0, abs=1e-9)


def _bump_ft(east: float, north: float) -> float:
    return 0.4 * exp(-((east - 2.6) ** 2 + (north - 2.9) ** 2) / 0.5) + 0.02 * north


@pytest.mark.independent
@pytest.mark.parametrize("opens", ["left", "right"])
def test_swing_against_a_plain_walk_over_the_arc(opens: str) -> None:
    hinge, width, height, closed = (1.0, 0.5), 4.6, 0.3, 20.0
    sign = 1 if opens == "right" else -1
    edge = _bump_ft(*hinge) + height
    least = inf
    for angle in range(0, 91):
        azimuth = radians(closed + sign * angle)
        for step in range(0, 101):
            radius = width * step / 100
            ground = _bump_ft(hinge[0] + radius * sin(azimuth), hinge[1] + radius * cos(azimuth))
            least = min(least, (edge - ground) * 12)
    got = swing_clearance(hinge, closed, width, height, opens, np.vectorize(_bump_ft))
    assert least <= got.least_in + 1e-9
    assert got.least_in == pytest.approx(least, abs=0.1)


@given(st.floats(-0.1, 0.1), st.floats(-0.1, 0.1), st.floats(2, 8), st.floats(0, 359))
@settings(max_examples=50)
def test_opening_the_other_way_over_mirrored_ground_is_the_same(east: float, north: float, width: float, closed: float) -> None:
    there = swing_clearance((0, 0), closed, width, 0.2, "right", lambda e, n: east * e + north * n)
    mirrored = swing_clearance((0, 0), -closed, width, 0.2, "left", lambda e, n: -east * e + north * n)
    assert there.least_in == pytest.approx(mirrored.least_in, abs=1e-9)


@given(st.floats(0, 2), st.floats(0.01, 1))
@settings(max_examples=30)
def test_hanging_higher_clears_by_as_much(height: float, more: float) -> None:
    low = swing_clearance((0, 0), 30, 5, height, "right", _east_slope)
    high = swing_clearance((0, 0), 30, 5, height + more, "right", _east_slope)
    assert high.least_in - low.least_in == pytest.approx(12 * more, abs=1e-9)


def test_ground_that_is_not_known_is_refused() -> None:
    with pytest.raises(OutOfRange, match="not known under the whole swing"):
        swing_clearance((0, 0), 0, 5, 0.25, "right", lambda e, _n: np.where(e > 4, nan, 0.0))


@pytest.mark.parametrize("change", [{"leaf_width_ft": 0}, {"leaf_width_ft": 31}, {"bottom_height_ft": -0.1}])
def test_a_swing_that_cannot_be_is_refused(change: dict[str, float]) -> None:
    asked = {"hinge": (0, 0), "closed_azimuth_deg": 0, "leaf_width_ft": 5, "bottom_height_ft": 0.2, "opens": "left"} | change
    with pytest.raises(OutOfRange):
        swing_clearance(**asked, ground=lambda _e, _n: 0.0)


def test_a_leaf_that_opens_upward_is_refused() -> None:
    with pytest.raises(ValueError, match="'up'"):
        swing_clearance((0, 0), 0, 5, 0.25, "up", _east_slope)
