"""A cable blown sideways."""

from math import hypot, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from engine.calc.limits import OutOfRange
from engine.calc.statics.blown_cable import load_at_tension_plf, one_bay_load_plf, side_load_plf
from engine.calc.statics.cable_sag import parabola_length_ft, ruling_span_ft
from engine.calc.statics.elastic_cable import change_of_state_lbf

EA = 50_000.0
spans = st.lists(st.floats(5, 25), min_size=1, max_size=6)
tensions = st.floats(30, 200)
weights = st.floats(0.01, 0.5)


@given(tensions, st.floats(5, 25), weights, st.floats(1, 5))
@settings(max_examples=100)
def test_it_is_the_change_of_state_the_other_way_round(tension: float, span: float, weight: float, times: float) -> None:
    load = load_at_tension_plf(tension * times, tension, span, weight, EA)
    assert load >= weight * (1 - 1e-12)
    assert change_of_state_lbf(tension, span, weight, 0, EA, weight_after_plf=load) == pytest.approx(tension * times, rel=1e-9)


@pytest.mark.closed_form
def test_the_side_of_a_three_four_five_load() -> None:
    assert side_load_plf(5, 3) == pytest.approx(4)
    assert side_load_plf(3, 3) == 0


@pytest.mark.independent
@given(spans, tensions, st.floats(0.2, 3))
@settings(max_examples=100)
def test_one_bay_alone_against_the_lengths_of_all_bays(bays: list[float], tension: float, side: float) -> None:
    """The cable's length between its ends, found by integrating each bay's parabola, is what it was and what the pull has stretched it."""
    weight = 0.1
    load = one_bay_load_plf(side, weight, bays[0], bays)
    got = change_of_state_lbf(tension, ruling_span_ft(bays), weight, 0, EA, weight_after_plf=load)

    def slack_ft(pull: float, loads: list[float]) -> float:
        return sum(parabola_length_ft(bay, w * bay**2 / (8 * pull)) - bay for bay, w in zip(bays, loads, strict=True))

    calm, blown = [weight] * len(bays), [hypot(weight, side), *[weight] * (len(bays) - 1)]

    def spare_ft(pull: float) -> float:
        return (pull - tension) / EA * sum(bays) - (slack_ft(pull, blown) - slack_ft(tension, calm))

    assert got == pytest.approx(brentq(spare_ft, tension * 0.9, 20 * tension + 2000), rel=5e-3)


@given(spans, st.floats(0.2, 3))
@settings(max_examples=50)
def test_one_bay_alone_pulls_no_more_than_all_of_them(bays: list[float], side: float) -> None:
    load = one_bay_load_plf(side, 0.1, bays[0], bays)
    assert load <= hypot(0.1, side) * (1 + 1e-12)
    assert one_bay_load_plf(side, 0.1, bays[0], bays[:1]) == pytest.approx(hypot(0.1, side))


@pytest.mark.closed_form
def test_four_bays_alike() -> None:
    """A quarter of the cubes: half of the side load."""
    assert one_bay_load_plf(2, 0.1, 20, [20.0] * 4) == pytest.approx(sqrt(0.1**2 + 1))


def test_figures_out_of_range_are_refused() -> None:
    for wrong in (
        lambda: load_at_tension_plf(40, 50, 20, 0.1, EA),
        lambda: side_load_plf(1, 2),
        lambda: one_bay_load_plf(1, 0.1, 30, [20, 20]),
    ):
        with pytest.raises(OutOfRange):
            wrong()
