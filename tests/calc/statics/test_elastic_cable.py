"""Change of state, push-out, rope area, strength and factors."""

from math import atan, hypot, pi, sin, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq, minimize_scalar

from engine.calc.limits import OutOfRange
from engine.calc.statics.cable_sag import parabola_length_ft, parabola_sag_ft
from engine.calc.statics.elastic_cable import (
    change_of_state_lbf,
    ea_lbf,
    push_out,
    rope_area_in2,
    safety_factor,
    state_lbf,
    working_load_lbf,
)

pulls = st.floats(30, 400)
bays = st.floats(5, 25)
stiffness = st.floats(1e4, 1e5)


@pytest.mark.closed_form
@pytest.mark.parametrize(("warming_F", "expected"), [(-60, 173.40), (-30, 161.70), (30, 138.30), (60, 126.60)])
def test_a_light_cable_follows_warmth_alone(warming_F: float, expected: float) -> None:
    """150 - EA alpha dt; the cable's own weight doesn't count at this size."""
    assert change_of_state_lbf(150, 10, 0.016, warming_F, 60_000) == pytest.approx(expected, abs=0.005)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("straight", "sag_term", "pull"),
    [(9, 100, 10), (0, 1000, 10), (-90, 10_000, 10), (-1e6, 1_000_001, 1), (99.999, 10, 100), (50, 0, 50), (-50, 0, 0)],
)
def test_a_cable_under_load_comes_to_the_pull_that_bears_it(straight: float, sag_term: float, pull: float) -> None:
    """t^2 (t - straight) = sag term, made from the t it has: tight, bent by its load, and far longer than its span."""
    assert state_lbf(straight, sag_term) == pytest.approx(pull, rel=1e-12)


@settings(max_examples=100)
@given(st.floats(-1e5, 1e5), st.floats(1e-3, 1e3))
def test_the_pull_leaves_nothing_of_the_cubic(straight: float, over: float) -> None:
    pull = max(straight, 0.0) + over
    assert state_lbf(straight, pull * pull * (pull - straight)) == pytest.approx(pull, rel=1e-9)


@pytest.mark.independent
@pytest.mark.parametrize(
    ("tension", "span", "weight", "warming", "ea", "after"),
    [
        (150, 10, 0.016, -60, 60_000, 0.016),
        (60, 25, 0.4, 50, 50_000, 0.4),
        (80, 20, 0.3, -40, 30_000, 0.9),
        (50, 20, 0.05, 90, 9_000, 0.05),
    ],
)
def test_change_of_state_against_roots_of_the_cubic(
    tension: float, span: float, weight: float, warming: float, ea: float, after: float
) -> None:
    square = ea * (6.5e-6 * warming + weight**2 * span**2 / (24 * tension**2)) - tension
    roots = np.roots([1, square, 0, -ea * after**2 * span**2 / 24])
    positive = [root.real for root in roots if abs(root.imag) < 1e-9 and root.real > 0]
    assert len(positive) == 1
    got = change_of_state_lbf(tension, span, weight, warming, ea, weight_after_plf=after)
    assert got == pytest.approx(positive[0], rel=1e-9)


@pytest.mark.independent
@pytest.mark.parametrize(("tension", "span", "weight", "warming", "ea"), [(60, 25, 0.4, 50, 50_000), (80, 20, 0.3, -40, 30_000)])
def test_change_of_state_against_lengths_of_the_cable_itself(tension: float, span: float, weight: float, warming: float, ea: float) -> None:
    """The cable laid out slack has one length before and, but for warmth, after; exact lengths of the parabola."""

    def slack_ft(pull: float) -> float:
        return parabola_length_ft(span, parabola_sag_ft(weight, span, pull)) / (1 + pull / ea)

    expected = brentq(lambda pull: slack_ft(pull) - slack_ft(tension) * (1 + 6.5e-6 * warming), 5, 500, xtol=1e-10)
    assert change_of_state_lbf(tension, span, weight, warming, ea) == pytest.approx(expected, rel=1e-3)


@given(pulls, bays, st.floats(0.01, 0.3), stiffness)
@settings(max_examples=50)
def test_no_change_leaves_the_tension(tension: float, span: float, weight: float, ea: float) -> None:
    assert change_of_state_lbf(tension, span, weight, 0, ea) == pytest.approx(tension, rel=1e-9)


@given(pulls, bays, st.floats(0.01, 0.3), stiffness, st.floats(-60, 20), st.floats(0.1, 20))
@settings(max_examples=100)
def test_a_warmer_cable_is_slacker(tension: float, span: float, weight: float, ea: float, warming: float, more: float) -> None:
    cooler = change_of_state_lbf(tension, span, weight, warming, ea)
    assert change_of_state_lbf(tension, span, weight, warming + more, ea) < cooler


@given(pulls, bays, st.floats(0.05, 0.3), stiffness, st.floats(1.05, 3))
@settings(max_examples=50)
def test_a_heavier_load_pulls_harder(tension: float, span: float, weight: float, ea: float, times: float) -> None:
    assert change_of_state_lbf(tension, span, weight, 0, ea, weight_after_plf=weight * times) > tension


@pytest.mark.closed_form
def test_a_change_undone_comes_back() -> None:
    cold = change_of_state_lbf(60, 25, 0.4, -50, 50_000)
    assert change_of_state_lbf(cold, 25, 0.4, 50, 50_000) == pytest.approx(60, rel=1e-9)


def test_a_cable_too_slack_for_the_formula_is_refused_before_and_after() -> None:
    with pytest.raises(OutOfRange, match="tension_lbf"):
        change_of_state_lbf(5, 25, 0.4, 0, 50_000)
    with pytest.raises(OutOfRange, match="tension after"):
        change_of_state_lbf(12.6, 25, 0.4, 100, 500_000)


@pytest.mark.parametrize("change", [{"warming_F": 301}, {"alpha_per_F": -1e-6}, {"ea_lbf": 0}, {"weight_after_plf": 0}])
def test_change_of_state_refuses_what_it_cannot_mean(change: dict[str, float]) -> None:
    asked = {"tension_lbf": 150, "ruling_span_ft": 10, "weight_plf": 0.016, "warming_F": 0, "ea_lbf": 60_000} | change
    with pytest.raises(OutOfRange):
        change_of_state_lbf(**asked)


@pytest.mark.independent
@pytest.mark.parametrize(
    ("load", "span", "tension", "ea", "loop"),
    [(50, 10, 150, 60_000, 10), (100, 10, 150, 60_000, 10), (50, 20, 100, 60_000, 20), (50, 22, 50, 40_000, 58), (200, 25, 40, 20_000, 60)],
)
def test_push_out_against_the_least_energy(load: float, span: float, tension: float, ea: float, loop: float) -> None:
    """The cable settles where the work of its pull less that of the push is least."""

    def energy(out: float) -> float:
        stretch = 2 * sqrt((span / 2) ** 2 + out**2) - span
        return tension * stretch + ea * stretch**2 / (2 * loop) - load * out

    settled = minimize_scalar(energy, bounds=(0, span / 2), method="bounded", options={"xatol": 1e-10})
    got = push_out(load, span, tension, ea, loop)
    assert got.deflection_ft == pytest.approx(settled.x, rel=1e-6)


@pytest.mark.independent
@pytest.mark.parametrize(("load", "span", "tension", "out_in"), [(50, 10, 150, 4.598)])
def test_push_out_against_the_cubic_of_small_angles(load: float, span: float, tension: float, out_in: float) -> None:
    """8 EA d^3/L^3 + 4 T0 d/L = P."""
    cubic = np.roots([8 * 60_000 / span**3, 0, 4 * tension / span, -load])
    out = next(root.real for root in cubic if abs(root.imag) < 1e-9)
    assert out * 12 == pytest.approx(out_in, abs=5e-4)
    assert push_out(load, span, tension, 60_000).deflection_ft == pytest.approx(out, rel=0.005)


@given(st.floats(1, 200), bays, pulls, stiffness, st.floats(1, 6))
@settings(max_examples=100)
def test_pulls_balance_the_push(load: float, span: float, tension: float, ea: float, bays_in_loop: float) -> None:
    got = push_out(load, span, tension, ea, span * bays_in_loop)
    assert 2 * got.tension_lbf * sin(atan(2 * got.deflection_ft / span)) == pytest.approx(load, rel=1e-9)
    stretch = 2 * hypot(span / 2, got.deflection_ft) - span
    assert got.tension_lbf == pytest.approx(tension + ea * stretch / (span * bays_in_loop), rel=1e-6)


@given(st.floats(0, 150), st.floats(0.5, 50), bays, pulls, stiffness)
@settings(max_examples=100)
def test_a_harder_push_goes_further_and_pulls_harder(load: float, more: float, span: float, tension: float, ea: float) -> None:
    soft, hard = push_out(load, span, tension, ea), push_out(load + more, span, tension, ea)
    assert hard.deflection_ft > soft.deflection_ft
    assert hard.tension_lbf > soft.tension_lbf


@given(st.floats(5, 150), bays, pulls, stiffness, st.floats(1.05, 6))
@settings(max_examples=50)
def test_a_longer_loop_gives_more_and_pulls_less(load: float, span: float, tension: float, ea: float, bays_in_loop: float) -> None:
    alone, shared = push_out(load, span, tension, ea), push_out(load, span, tension, ea, span * bays_in_loop)
    assert shared.deflection_ft > alone.deflection_ft
    assert shared.tension_lbf < alone.tension_lbf


@pytest.mark.closed_form
def test_no_push_leaves_the_cable_straight() -> None:
    got = push_out(0, 10, 150, 60_000)
    assert (got.deflection_ft, got.tension_lbf) == (0, 150)


def test_a_push_that_folds_the_cable_is_refused() -> None:
    """At 45 degrees 2 (50 + 1000 (sqrt 2 - 1)) / sqrt 2 = 656.5 lb."""
    assert push_out(656, 10, 50, 1000).deflection_ft == pytest.approx(5, abs=0.02)
    with pytest.raises(OutOfRange, match="0 to 656"):
        push_out(657, 10, 50, 1000)


@pytest.mark.parametrize("change", [{"load_lbf": -1}, {"span_ft": 0}, {"tension_lbf": 0}, {"loop_length_ft": 9}])
def test_push_out_refuses_what_it_cannot_mean(change: dict[str, float]) -> None:
    asked = {"load_lbf": 50, "span_ft": 10, "tension_lbf": 150, "ea_lbf": 60_000} | change
    with pytest.raises(OutOfRange):
        push_out(**asked)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("construction", "diameter_in", "wires", "wire_in", "area_in2"),
    [("7x7", 1 / 16, 49, 1 / 144, 0.00186), ("7x7", 3 / 32, 49, 1 / 96, 0.00418), ("7x19", 1 / 8, 133, 1 / 120, 0.00725)],
)
def test_metal_area_is_that_of_the_wires(construction: str, diameter_in: float, wires: int, wire_in: float, area_in2: float) -> None:
    got = rope_area_in2(diameter_in, construction)
    assert got == pytest.approx(wires * pi / 4 * wire_in**2, rel=1e-12)
    assert got == pytest.approx(area_in2, abs=6e-6)


@pytest.mark.closed_form
def test_three_strands_lie_in_a_circle_of_six_and_a_half_wires() -> None:
    """Three touching circles of radius r lie in one of radius r (1 + 2/sqrt 3)."""
    wire_in = 1 / 3 / (1 + 2 / sqrt(3))
    assert rope_area_in2(1, "3x7") == pytest.approx(21 * pi / 4 * wire_in**2, rel=1e-12)


def test_a_rope_of_another_make_is_refused() -> None:
    with pytest.raises(ValueError, match="6x19"):
        rope_area_in2(0.125, "6x19")


@pytest.mark.closed_form
def test_area_times_modulus() -> None:
    assert ea_lbf(0.005, 12e6) == 60_000


@pytest.mark.closed_form
@pytest.mark.parametrize(("strength", "factor", "load"), [(480, 3, 160), (480, 5, 96), (920, 3, 306.667), (2000, 5, 400)])
def test_working_load(strength: float, factor: float, load: float) -> None:
    """Strength over factor."""
    assert working_load_lbf(strength, factor) == pytest.approx(load, abs=5e-4)
    assert safety_factor(strength, working_load_lbf(strength, factor)) == pytest.approx(factor)


def test_a_factor_below_one_is_refused() -> None:
    with pytest.raises(OutOfRange):
        working_load_lbf(920, 0.99)
