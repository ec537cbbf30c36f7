"""Depth of posts against a sideways pull."""

from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from engine.calc.limits import OutOfRange
from engine.calc.statics.embedment import (
    lateral_bearing_psf_per_ft,
    nonconstrained_depth_ft,
    pole_a_ft,
)

loads = st.floats(5, 100)
heights = st.floats(0.5, 6)
widths = st.floats(0.15, 1)
soils = st.floats(100, 400)


def eq_18_1_ft(a_ft: float, height_ft: float) -> float:
    """The depth as the code prints it for a given A."""
    return 0.5 * a_ft * (1 + sqrt(1 + 4.36 * height_ft / a_ft))


@pytest.mark.independent
@pytest.mark.parametrize(("width_in", "factor", "depth_ft"), [(1.900, 1, 4.95), (2.375, 1, 4.52), (1.900, 2, 3.73), (2.375, 2, 3.40)])
def test_depth_of_a_fence_post_against_repeated_trial(width_in: float, factor: float, depth_ft: float) -> None:
    """50 lb at 3 ft in sand, worked as one does by hand: guess, pressure, A, depth, and again."""
    trial = 3.0
    for _ in range(200):
        a_ft = 2.34 * 50 / (factor * 150 * trial / 3 * width_in / 12)
        trial = (trial + eq_18_1_ft(a_ft, 3)) / 2
    got = nonconstrained_depth_ft(50, 3, width_in / 12, 150, factor)
    assert got == pytest.approx(trial, rel=1e-9)
    assert got == pytest.approx(depth_ft, abs=0.006)


@given(loads, heights, widths, soils, st.sampled_from([1.0, 2.0]))
@settings(max_examples=100)
def test_the_depth_fulfils_the_formula_as_printed(load: float, height: float, width: float, soil: float, factor: float) -> None:
    got = nonconstrained_depth_ft(load, height, width, soil, factor)
    a_ft = pole_a_ft(load, factor * soil * got / 3, width)
    assert got == pytest.approx(eq_18_1_ft(a_ft, height), rel=1e-9)


@pytest.mark.independent
def test_depth_against_a_library_root() -> None:
    def spare(depth: float) -> float:
        return depth - eq_18_1_ft(pole_a_ft(80, 100 * depth / 3, 0.2), 4)

    assert nonconstrained_depth_ft(80, 4, 0.2, 100) == pytest.approx(brentq(spare, 0.5, 30, xtol=1e-12), rel=1e-9)


@given(loads, heights, widths, soils, st.floats(1.05, 2))
@settings(max_examples=100)
def test_more_load_more_height_or_less_post_goes_deeper(load: float, height: float, width: float, soil: float, more: float) -> None:
    depth = nonconstrained_depth_ft(load, height, width, soil)
    assert nonconstrained_depth_ft(load / more, height, width, soil) < depth
    assert nonconstrained_depth_ft(load, height / more, width, soil) < depth
    assert nonconstrained_depth_ft(load, height, width * more, soil) < depth
    assert nonconstrained_depth_ft(load, height, width, soil, factor=more) < depth


def test_a_depth_over_twelve_feet_is_refused() -> None:
    """12^3 = 0.702 P (12 + 6.54) at P = 132.8 lb."""
    assert nonconstrained_depth_ft(132.7, 6, 0.1, 100) == pytest.approx(12, abs=0.01)
    with pytest.raises(OutOfRange, match=r"up to 132.8: .* 12 ft"):
        nonconstrained_depth_ft(132.9, 6, 0.1, 100)


@pytest.mark.parametrize("change", [{"load_lbf": 0}, {"height_ft": 0}, {"width_ft": -1}, {"factor": 0.5}, {"factor": 2.1}])
def test_what_the_code_does_not_cover_is_refused(change: dict[str, float]) -> None:
    asked = {"load_lbf": 50, "height_ft": 3, "width_ft": 0.2, "bearing_psf_per_ft": 150} | change
    with pytest.raises(OutOfRange):
        nonconstrained_depth_ft(**asked)


def test_ground_that_the_table_does_not_hold_is_refused() -> None:
    with pytest.raises(ValueError, match="mud"):
        lateral_bearing_psf_per_ft("mud")
