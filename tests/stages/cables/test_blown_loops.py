"""A loop in the wind."""

from math import hypot

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.statics.elastic_cable import change_of_state_lbf
from engine.stages.cables.blown_loops import BlownCable, BlownLoop, Pulls, all_alike, bending_mph, one_bay, strength_mph

LOOP = BlownLoop(BlownCable(53.0, 0.1, 2.2), BlownCable(84.0, 0.48, 4.4), 3.0, 6.0, 22.5, 50_000.0, 22.5, 2 * 22.5**3)


def pull_lbf(cable: BlownCable, mph: float) -> float:
    """By the change of state, on its own."""
    load = hypot(cable.weight_plf, cable.side_plf * (mph / 100) ** 2)
    return change_of_state_lbf(cable.pull_lbf, 22.5, cable.weight_plf, 0, 50_000, weight_after_plf=load)


def test_without_wind_it_pulls_as_it_did() -> None:
    assert all_alike(LOOP, 0.0) == pytest.approx((53, 84), rel=1e-9)


@pytest.mark.closed_form
def test_every_bay_blown_alike() -> None:
    assert all_alike(LOOP, 90.0) == pytest.approx((pull_lbf(LOOP.top, 90), pull_lbf(LOOP.bottom, 90)), rel=1e-9)


@pytest.mark.closed_form
def test_one_bay_of_four_alone_feels_half_the_wind() -> None:
    """A quarter of the slack that all four would have goes with half the load."""
    alone = one_bay(LOOP, 90.0, 22.5, (22.5,) * 4)
    half = [cable._replace(side_plf=cable.side_plf / 2) for cable in (LOOP.top, LOOP.bottom)]
    assert alone == pytest.approx([pull_lbf(cable, 90) for cable in half], rel=1e-9)


@pytest.mark.independent
def test_a_strength_is_reached_by_the_harder_pulled_cable() -> None:
    """Wind tried mile by mile: the bottom cable passes 400 lb between two of them."""
    mph = strength_mph(LOOP, 400.0)
    tried = next(speed for speed in range(10, 300) if pull_lbf(LOOP.bottom, speed) >= 400)
    assert tried - 1 < mph <= tried
    assert pull_lbf(LOOP.bottom, mph) == pytest.approx(400, rel=1e-9)
    assert strength_mph(LOOP, 80.0) == 0


@pytest.mark.independent
@pytest.mark.parametrize(("share", "beside"), [(1.0, 0.0), (0.1, 0.0), (0.1, 120.0)])
def test_a_bending_is_reached_where_pulls_and_wind_make_it(share: float, beside: float) -> None:
    mph = bending_mph(LOOP, share, share * 1500.0, beside, 300.0)
    tried = next(
        speed / 10
        for speed in range(1, 3000)
        if share * (6 * pull_lbf(LOOP.top, speed / 10) + 3 * pull_lbf(LOOP.bottom, speed / 10)) + beside * (speed / 1000) ** 2
        >= share * 1500
    )
    assert mph == pytest.approx(tried, abs=0.31)


def test_a_bending_that_is_there_without_wind_or_never_comes() -> None:
    calm = LOOP.bending_lbf_ft(Pulls(53, 84))
    assert bending_mph(LOOP, 1.0, calm - 1, 0.0, 135.0) == 0
    assert bending_mph(LOOP, 1.0, 1e6, 0.0, 135.0) == float("inf")


@given(st.floats(0, 150), st.floats(0.1, 50))
@settings(max_examples=50)
def test_more_wind_pulls_more_and_one_bay_never_more_than_all(mph: float, more: float) -> None:
    now, then = all_alike(LOOP, mph), all_alike(LOOP, mph + more)
    alone = one_bay(LOOP, mph, 20.0, (20.0, 22.5, 25.0))
    assert now is not None
    assert then is not None
    assert alone is not None
    assert then.top_lbf > now.top_lbf
    assert alone.bottom_lbf <= now.bottom_lbf * (1 + 1e-9)
