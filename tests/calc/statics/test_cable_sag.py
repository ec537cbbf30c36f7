"""Sag, length and tension of one span."""

from collections.abc import Callable
from math import cosh, hypot, inf, nan, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp
from scipy.optimize import OptimizeResult, brentq

from engine.calc.limits import OutOfRange
from engine.calc.statics.cable_sag import (
    parabola_length_ft,
    parabola_sag_ft,
    ruling_span_ft,
    tension_from_sag_lbf,
)
from tests.calc.statics.catenary import catenary

spans = st.floats(2, 60)
weights = st.floats(0.005, 3)
tensions = st.floats(20, 500)
rises = st.floats(-10, 10)


@pytest.mark.closed_form
@pytest.mark.parametrize(("span_ft", "sag_in"), [(8, 0.32), (10, 0.50), (15, 1.125), (20, 2.00)])
def test_sag_of_hung_fabric(span_ft: float, sag_in: float) -> None:
    """wL^2/8H at half a pound a foot and 150 lb."""
    assert parabola_sag_ft(0.5, span_ft, 150) * 12 == pytest.approx(sag_in, rel=1e-12)


@pytest.mark.closed_form
def test_tension_that_a_measured_sag_tells() -> None:
    """0.5 x 20^2 / (8 x 1/6 ft) = 150 lb."""
    assert tension_from_sag_lbf(0.5, 20, 2 / 12) == pytest.approx(150, rel=1e-12)


@given(weights, spans, tensions)
@settings(max_examples=50)
def test_sag_and_tension_undo_each_other(weight: float, span: float, tension: float) -> None:
    assert tension_from_sag_lbf(weight, span, parabola_sag_ft(weight, span, tension)) == pytest.approx(tension)


@pytest.mark.independent
@pytest.mark.parametrize(("span", "sag", "rise"), [(30, 0.5, 0), (20, 1, 3), (20, 0.001, -3), (10, 4, 9), (25, 0.1, -0.5)])
def test_parabola_length_against_quadrature(span: float, sag: float, rise: float) -> None:
    def slope(x: float) -> float:
        return rise / span - 4 * sag / span + 8 * sag * x / span**2

    length, _ = quad(lambda x: hypot(1, slope(x)), 0, span, epsabs=1e-12)
    assert parabola_length_ft(span, sag, rise) == pytest.approx(length, rel=1e-12)


@pytest.mark.closed_form
@pytest.mark.parametrize(("rise", "chord"), [(0, 20), (15, 25), (-15, 25)])
def test_a_parabola_without_sag_is_its_chord(rise: float, chord: float) -> None:
    assert parabola_length_ft(20, 0, rise) == pytest.approx(chord, rel=1e-15)


@pytest.mark.closed_form
@pytest.mark.parametrize("sag", [1e-3, 1e-5, 1e-7])
def test_a_taut_parabola_keeps_its_digits(sag: float) -> None:
    """Level span: L + 8s^2/3L."""
    assert parabola_length_ft(20, sag) - 20 == pytest.approx(8 * sag**2 / 60, rel=1e-4, abs=1e-14)


@given(spans, st.floats(0, 5), st.floats(0, 5), rises)
@settings(max_examples=50)
def test_more_sag_is_never_shorter(span: float, sag: float, more: float, rise: float) -> None:
    assert parabola_length_ft(span, sag + more, rise) >= parabola_length_ft(span, sag, rise) - 1e-12


@given(spans, st.floats(0, 5), rises)
@settings(max_examples=50)
def test_a_parabola_walked_backwards_is_as_long(span: float, sag: float, rise: float) -> None:
    assert parabola_length_ft(span, sag, rise) == pytest.approx(parabola_length_ft(span, sag, -rise), rel=1e-14)


@pytest.mark.closed_form
def test_sag_on_a_slope() -> None:
    """wL^2/8H with w on the horizontal: 0.0080895 ft, catenary and parabola alike at fence scale."""
    assert catenary(20, 3, 0.016, 100).mid_sag_ft == pytest.approx(0.0080895, abs=5e-8)


@pytest.mark.closed_form
def test_catenary_sag_is_that_of_the_hyperbolic_cosine() -> None:
    """c(cosh(L/2c) - 1), c = 2/0.5 = 4 ft."""
    assert catenary(8, 0.0, 0.5, 2).mid_sag_ft == pytest.approx(4 * (cosh(1) - 1), rel=1e-14)


@pytest.mark.closed_form
def test_pull_of_a_level_catenary_is_horizontal_plus_weight_times_sag() -> None:
    line = catenary(8, 0, 0.5, 2)
    assert line.near_tension_lbf == pytest.approx(2 + 0.5 * line.mid_sag_ft, rel=1e-14)
    assert line.far_tension_lbf == line.near_tension_lbf


@pytest.mark.independent
@pytest.mark.parametrize(
    ("span", "rise", "weight", "pull"), [(20, 3, 0.016, 100), (30, 0, 2.0, 20), (25, -8, 0.5, 12), (10, 4, 3.0, 8), (16, -2, 5, 9)]
)
def test_catenary_against_integration_of_its_differential_equation(span: float, rise: float, weight: float, pull: float) -> None:
    """y'' = (w/H) sqrt(1 + y'^2), shot from the near support to hit the far one."""

    def shoot(slope: float, to: float) -> OptimizeResult:
        def march(_x: float, state: tuple[float, float, float]) -> tuple[float, float, float]:
            run = hypot(1, state[1])
            return state[1], weight / pull * run, run

        return solve_ivp(march, (0, to), (0, slope, 0), rtol=1e-11, atol=1e-12, dense_output=True)

    start = brentq(lambda slope: shoot(slope, span).y[0, -1] - rise, -60, 5, xtol=1e-12)
    shot = shoot(start, span)
    line = catenary(span, rise, weight, pull)
    assert line.length_ft == pytest.approx(shot.y[2, -1], rel=1e-8)
    assert line.mid_sag_ft == pytest.approx(rise / 2 - shot.sol(span / 2)[0], rel=1e-6)
    assert line.near_tension_lbf == pytest.approx(pull * hypot(1, start), rel=1e-8)
    assert line.far_tension_lbf == pytest.approx(pull * hypot(1, shot.y[1, -1]), rel=1e-8)
    if 0 < line.low_point_ft < span:
        assert shot.sol(line.low_point_ft)[1] == pytest.approx(0, abs=1e-7)


@given(weights, spans, tensions)
@settings(max_examples=100)
def test_a_catenary_never_hangs_less_than_the_parabola_and_tends_to_it(weight: float, span: float, pull: float) -> None:
    ratio = catenary(span, 0.0, weight, pull).mid_sag_ft / parabola_sag_ft(weight, span, pull)
    assert ratio >= 1 - 1e-14
    assert catenary(span, 0.0, weight, 1e4 * pull).mid_sag_ft / parabola_sag_ft(weight, span, 1e4 * pull) == pytest.approx(1, abs=1e-6)


@given(weights, spans, tensions, rises)
@settings(max_examples=100)
def test_reversing_a_span_mirrors_it(weight: float, span: float, pull: float, rise: float) -> None:
    there, back = catenary(span, rise, weight, pull), catenary(span, -rise, weight, pull)
    assert there.mid_sag_ft == pytest.approx(back.mid_sag_ft, rel=1e-12)
    assert there.length_ft == pytest.approx(back.length_ft, rel=1e-12)
    assert there.near_tension_lbf == pytest.approx(back.far_tension_lbf, rel=1e-12)
    assert there.low_point_ft == pytest.approx(span - back.low_point_ft, rel=1e-9, abs=1e-9)


@given(weights, spans, tensions, rises, st.floats(0.1, 10))
@settings(max_examples=100)
def test_scaling_load_and_tension_together_leaves_the_shape(weight: float, span: float, pull: float, rise: float, by: float) -> None:
    one, scaled = catenary(span, rise, weight, pull), catenary(span, rise, weight * by, pull * by)
    assert scaled.mid_sag_ft == pytest.approx(one.mid_sag_ft, rel=1e-10)
    assert scaled.length_ft == pytest.approx(one.length_ft, rel=1e-12)
    assert scaled.far_tension_lbf == pytest.approx(by * one.far_tension_lbf, rel=1e-10)


@given(st.floats(0.5, 3), spans, st.floats(20, 100), rises)
@settings(max_examples=100)
def test_the_supports_carry_the_weight(weight: float, span: float, pull: float, rise: float) -> None:
    """Vertical parts of both pulls, upward on the cable, sum to its weight."""
    line = catenary(span, rise, weight, pull)
    near = sqrt(max(line.near_tension_lbf**2 - pull**2, 0)) * (1 if line.low_point_ft > 0 else -1)
    far = sqrt(max(line.far_tension_lbf**2 - pull**2, 0)) * (1 if line.low_point_ft < span else -1)
    assert near + far == pytest.approx(weight * line.length_ft, rel=1e-6, abs=1e-5)


@given(weights, spans, tensions, rises)
@settings(max_examples=50)
def test_a_catenary_is_longer_than_its_chord(weight: float, span: float, pull: float, rise: float) -> None:
    assert catenary(span, rise, weight, pull).length_ft >= hypot(span, rise) * (1 - 1e-15)


@pytest.mark.closed_form
def test_ruling_span_of_uneven_bays() -> None:
    """sqrt((512 + 1000 + 1000 + 274.625)/34.5)."""
    assert ruling_span_ft([8, 10, 10, 6.5]) == pytest.approx(8.987, abs=5e-4)


@given(st.lists(spans, min_size=1, max_size=8))
@settings(max_examples=50)
def test_the_ruling_span_lies_between_shortest_and_longest(bays: list[float]) -> None:
    assert min(bays) * (1 - 1e-12) <= ruling_span_ft(bays) <= max(bays) * (1 + 1e-12)


def test_a_run_without_bays_has_no_ruling_span() -> None:
    with pytest.raises(OutOfRange):
        ruling_span_ft([])


@pytest.mark.parametrize("bad", [0.0, -1.0, nan, inf])
@pytest.mark.parametrize("function", [parabola_sag_ft, tension_from_sag_lbf])
def test_spans_that_are_none_are_refused(function: Callable[..., float], bad: float) -> None:
    with pytest.raises(OutOfRange):
        function(0.5, bad, 150)


def test_a_sag_above_the_chord_is_refused() -> None:
    with pytest.raises(OutOfRange):
        parabola_length_ft(10, -0.1)
