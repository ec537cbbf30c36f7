"""A cable with a weight hung from its middle: closed forms, a string of many links pulled to balance, and what give takes."""

from math import hypot

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from engine.calc.limits import OutOfRange
from engine.calc.statics.cable_sag import parabola_sag_ft
from engine.calc.statics.elastic_cable import push_out
from engine.calc.statics.weighted_cable import give_to_slack_ft, tension_from_depth_lbf, weighted_depth_ft

EA_LBF, PLF = 50_098.0, 0.016


@pytest.mark.closed_form
@pytest.mark.parametrize(("shared_ft", "least_in", "most_in"), [(22.5, 2.3, 2.45), (1e9, 2.69, 2.7)])
def test_two_pounds_on_a_long_bay_at_fifty_pounds(shared_ft: float, least_in: float, most_in: float) -> None:
    """Without weight of its own, and nearly without stretch where a mile shares it: P L/4T = 2 x 22.5/(4 x 50) ft = 2.7 in."""
    assert least_in < 12 * weighted_depth_ft(2, 22.5, 50, 0.0, EA_LBF, shared_ft) < most_in


@pytest.mark.closed_form
@pytest.mark.parametrize(("tension_lbf", "span_ft", "shared_ft"), [(50, 22.5, 22.5), (50, 22.5, 106), (20, 12, 60), (150, 25, 25)])
def test_a_weight_on_a_cable_without_weight_is_a_push(tension_lbf: float, span_ft: float, shared_ft: float) -> None:
    out = push_out(2, span_ft, tension_lbf, EA_LBF, shared_ft)
    assert weighted_depth_ft(2, span_ft, tension_lbf, 0.0, EA_LBF, shared_ft) == pytest.approx(out.deflection_ft, rel=2e-3)


@pytest.mark.closed_form
def test_next_to_no_weight_leaves_the_sag() -> None:
    assert weighted_depth_ft(1e-9, 20, 50, PLF, EA_LBF) == pytest.approx(parabola_sag_ft(PLF, 20, 50))


def balanced_ft(weight_lb: float, span_ft: float, tension_lbf: float, weight_plf: float, ea_lbf: float, shared_ft: float) -> float:
    """Referee: each half is the curve of a cable under its own weight, its foot carrying half the weight; its length is what the bare cable
    had plus what it stretched (scipy)."""

    def length_ft(pull_lbf: float, at_middle_lb: float) -> float:
        slope = lambda x: (at_middle_lb + weight_plf * x) / pull_lbf  # noqa: E731
        return 2 * float(quad(lambda x: hypot(1, slope(x)), 0, span_ft / 2, epsabs=1e-12, epsrel=1e-12)[0])

    bare_ft = length_ft(tension_lbf, 0.0)

    def spare_ft(pull_lbf: float) -> float:
        return bare_ft + (pull_lbf - tension_lbf) * shared_ft / ea_lbf - length_ft(pull_lbf, weight_lb / 2)

    pull_lbf = brentq(spare_ft, tension_lbf, tension_lbf + 2000, xtol=1e-9)
    return float((weight_lb / 2 * span_ft / 2 + weight_plf * (span_ft / 2) ** 2 / 2) / pull_lbf)


@pytest.mark.independent
@settings(max_examples=60, deadline=None)
@given(weight=st.floats(0.5, 10), span=st.floats(8, 25), tension=st.floats(15, 200), plf=st.floats(0.007, 0.03), times=st.floats(1, 6))
def test_depth_against_the_lengths_of_the_cable(weight: float, span: float, tension: float, plf: float, times: float) -> None:
    found = weighted_depth_ft(weight, span, tension, plf, EA_LBF, times * span)
    assert found == pytest.approx(balanced_ft(weight, span, tension, plf, EA_LBF, times * span), rel=5e-3)


@settings(max_examples=60, deadline=None)
@given(weight=st.floats(0.5, 20), span=st.floats(4, 30), tension=st.floats(3, 300), plf=st.floats(0, 0.03), times=st.floats(1, 6))
def test_a_depth_tells_the_tension_it_came_from(weight: float, span: float, tension: float, plf: float, times: float) -> None:
    depth = weighted_depth_ft(weight, span, tension, plf, EA_LBF, times * span)
    assert tension_from_depth_lbf(depth, weight, span, plf, EA_LBF, times * span) == pytest.approx(tension, rel=1e-6)


@settings(max_examples=60, deadline=None)
@given(span=st.floats(4, 30), tension=st.floats(3, 300), more=st.floats(1.01, 3), times=st.floats(1.01, 6))
def test_a_tighter_cable_and_one_gripped_hang_less_deep(span: float, tension: float, more: float, times: float) -> None:
    gripped = weighted_depth_ft(2, span, tension, PLF, EA_LBF)
    assert (
        weighted_depth_ft(2, span, tension * more, PLF, EA_LBF) < gripped < weighted_depth_ft(2, span, tension, PLF, EA_LBF, times * span)
    )


def test_a_cable_that_hangs_slack_tells_nothing() -> None:
    with pytest.raises(OutOfRange, match="hangs slack"):
        tension_from_depth_lbf(3.0, 2, 22.5, PLF, EA_LBF)
    with pytest.raises(OutOfRange, match="hangs slack"):
        tension_from_depth_lbf(1.5, 2, 22.5, 0.0, EA_LBF)


@pytest.mark.parametrize(
    "change", [{"weight_lb": 0}, {"span_ft": -1}, {"tension_lbf": 0}, {"ea_lbf": 0}, {"weight_plf": -1}, {"shared_ft": 9}]
)
def test_what_cannot_be_is_refused(change: dict[str, float]) -> None:
    given_now = {"weight_lb": 2, "span_ft": 20, "tension_lbf": 50, "weight_plf": PLF, "ea_lbf": EA_LBF, "shared_ft": 20, **change}
    with pytest.raises(OutOfRange):
        weighted_depth_ft(**given_now)


@pytest.mark.closed_form
def test_a_quarter_inch_of_give_takes_all_of_fifty_pounds() -> None:
    """50 lb stretch 22.5 ft of cable by 50 x 22.5/50,098 ft = 0.27 in."""
    assert 12 * give_to_slack_ft(50, 22.5, EA_LBF) == pytest.approx(0.26947, abs=1e-4)
