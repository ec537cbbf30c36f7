"""Slim tubes in the ground under a level load."""

from math import radians, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from engine.calc.limits import OutOfRange
from engine.calc.statics.embedment import SoilClass
from engine.calc.statics.short_pile import (
    SoilStrength,
    cohesionless_pile_lbf,
    cohesive_pile_lbf,
    passive_share,
    short_pile_depth_ft,
    short_pile_lbf,
    soil_strength,
)

widths = st.floats(0.05, 1)
depths = st.floats(0.3, 6)
heights = st.floats(0, 8)
shears = st.floats(100, 4000)
frictions = st.floats(20, 45)
more = st.floats(1.05, 2)


@pytest.mark.independent
@pytest.mark.parametrize(("shear_psf", "sleeve_lbf", "foot_lbf"), [(500, 205, 38), (1000, 411, 76)])
def test_a_sleeve_and_a_brace_foot_against_a_reckoning_apart_from_this_one(shear_psf: float, sleeve_lbf: float, foot_lbf: float) -> None:
    """1.9 in, 30 in deep, load at 3 ft; 1 3/8 in, 6 in deep, load at the ground, which was reckoned roughly."""
    assert cohesive_pile_lbf(1.9 / 12, 2.5, 3, shear_psf) == pytest.approx(sleeve_lbf, abs=0.5)
    assert cohesive_pile_lbf(1.375 / 12, 0.5, 0, shear_psf) == pytest.approx(foot_lbf, rel=0.03)


@pytest.mark.independent
@given(widths, depths, heights, shears)
@settings(max_examples=100)
def test_clay_in_balance(width: float, depth: float, height: float, shear: float) -> None:
    """The pressures of the picture, integrated: level forces balance, and so do moments about the ground line."""
    held = depth - 1.5 * width
    load = cohesive_pile_lbf(width, depth, height, shear)
    if held <= 0:
        assert load == 0
        return
    push = 9 * shear * width

    def level(turn_ft: float) -> float:
        """What is left over of the load where the tube turns about a depth."""
        return push * ((turn_ft - 1.5 * width) - (depth - turn_ft))

    def moment(turn_ft: float) -> float:
        against, _ = quad(lambda z: push * (z + height), 1.5 * width, turn_ft)
        along, _ = quad(lambda z: push * (z + height), turn_ft, depth)
        return along - against

    turn = brentq(moment, 1.5 * width, depth, xtol=1e-13)
    assert load == pytest.approx(level(turn), rel=1e-6, abs=1e-6 * push)


@pytest.mark.closed_form
def test_sand_by_the_triangle_of_three_times_passive_pressure_about_the_tip() -> None:
    """3 Kp g z D over 2.5 ft: a triangle of 0.5 x 3 x 3 x 110 x 2.5^2 x D, a third of the depth over the tip, against H (3 + 2.5)."""
    triangle_lbf = 0.5 * 3 * 3 * 110 * 2.5**2 * (1.9 / 12)
    assert cohesionless_pile_lbf(1.9 / 12, 2.5, 3, 30, 110) == pytest.approx(triangle_lbf * (2.5 / 3) / 5.5, rel=1e-12)


@pytest.mark.closed_form
@given(frictions)
@settings(max_examples=50)
def test_passive_share_by_its_other_form(friction: float) -> None:
    assert passive_share(friction) == pytest.approx((1 + sin(radians(friction))) / (1 - sin(radians(friction))), rel=1e-9)


@given(widths, depths, heights, shears, more)
@settings(max_examples=100)
def test_clay_holds_more_where_it_is_stiffer_and_the_tube_deeper_or_the_load_lower(
    width: float, depth: float, height: float, shear: float, by: float
) -> None:
    load = cohesive_pile_lbf(width, depth, height, shear)
    assert cohesive_pile_lbf(width, depth, height, shear * by) == pytest.approx(load * by, rel=1e-9)
    assert cohesive_pile_lbf(width, depth * by, height, shear) >= load
    assert cohesive_pile_lbf(width, depth, height + by, shear) <= load


@given(widths, depths, heights, frictions, more)
@settings(max_examples=100)
def test_sand_holds_more_of_a_wider_deeper_tube_or_a_lower_load(
    width: float, depth: float, height: float, friction: float, by: float
) -> None:
    load = cohesionless_pile_lbf(width, depth, height, friction, 110)
    assert cohesionless_pile_lbf(width * by, depth, height, friction, 110) == pytest.approx(load * by, rel=1e-9)
    assert cohesionless_pile_lbf(width, depth * by, height, friction, 110) > load
    assert cohesionless_pile_lbf(width, depth, height + by, friction, 110) < load


@pytest.mark.pinned
@pytest.mark.parametrize(
    ("soil", "sleeve_lbf"), [("clay", 308.0), ("sand", 80.5), ("gravel", 104.0), ("foliated rock", 134.5), ("rock", 183.5)]
)
def test_a_sleeve_in_each_ground(soil: SoilClass, sleeve_lbf: float) -> None:
    assert short_pile_lbf(1.9 / 12, 2.5, 3, soil_strength(soil)) == pytest.approx(sleeve_lbf, abs=0.05)


def test_clay_that_gives_way_at_the_surface_holds_nothing() -> None:
    assert cohesive_pile_lbf(0.2, 0.3, 1, 1000) == 0
    assert cohesionless_pile_lbf(0.2, 0, 1, 30, 110) == 0


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: cohesive_pile_lbf(0, 2, 1, 500), "width_ft"),
        (lambda: cohesive_pile_lbf(0.2, -1, 1, 500), "depth_ft"),
        (lambda: cohesive_pile_lbf(0.2, 2, -1, 500), "height_ft"),
        (lambda: cohesive_pile_lbf(0.2, 2, 1, 0), "shear_psf"),
        (lambda: cohesionless_pile_lbf(0.2, 2, 1, 51, 110), "friction_deg"),
        (lambda: cohesionless_pile_lbf(0.2, 2, 1, 30, 0), "weight_pcf"),
        (lambda: cohesionless_pile_lbf(0.2, float("nan"), 1, 30, 110), "depth_ft"),
        (lambda: short_pile_lbf(float("inf"), 2, 1, SoilStrength(500, 0, 110)), "width_ft"),
    ],
)
def test_figures_out_of_range_are_named(call: object, name: str) -> None:
    with pytest.raises(OutOfRange) as refused:
        call()  # type: ignore[operator]
    assert refused.value.name == name


def test_ground_that_is_no_class() -> None:
    with pytest.raises(ValueError, match="'mud' isn't one of clay"):
        soil_strength("mud")  # type: ignore[arg-type]


@pytest.mark.closed_form
@settings(max_examples=60)
@given(st.sampled_from(["clay", "sand", "rock"]), st.floats(0.05, 0.5), st.floats(0.5, 8), st.floats(0, 8))
def test_the_depth_that_holds_a_load_is_the_load_that_a_depth_holds(soil: SoilClass, width: float, depth: float, height: float) -> None:
    strength = soil_strength(soil)
    load = short_pile_lbf(width, depth, height, strength)
    assert load == 0 or short_pile_depth_ft(width, load, height, strength) == pytest.approx(depth, rel=1e-6)


def test_no_load_wants_no_depth() -> None:
    assert short_pile_depth_ft(0.16, 0.0, 3.0, soil_strength("sand")) == 0
