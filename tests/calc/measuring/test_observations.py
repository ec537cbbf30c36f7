"""Each kind of shot: its misfit by hand, and its slopes against a small move of every point."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from engine.calc.geometry.plane import Point, distance_ft
from engine.calc.limits import OutOfRange
from engine.calc.measuring.observations import AdjustError, Along, Direction, Distance, Observation, Offset, misfit_and_slopes, sigma_of

FEET = st.floats(-100, 100)
PLACES = st.fixed_dictionaries({name: st.tuples(FEET, FEET) for name in "ABP"})
SHOTS: list[Observation] = [
    Distance("tape", "A", "P", 12.0, 0.05),
    Direction("bearing", "A", "P", 120.0, 1.0),
    Along("along", "A", "B", "P", 5.0, 0.1),
    Offset("offset", "A", "B", "P", -5.0, 0.1),
]
YARD: dict[str, Point] = {"A": (0, 0), "B": (0, 20), "P": (3, 4)}


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("shot", "misfit"),
    [
        (Distance("d", "A", "P", 5.1, 1), 0.1),
        (Direction("b", "A", "P", 40, 1), 40 - math.degrees(math.atan2(3, 4))),
        (Direction("b", "A", "B", 359.5, 1), -0.5),
        (Direction("b", "B", "A", 179.5, 1), -0.5),
        (Direction("b", "B", "A", -179.5, 1), 0.5),
        (Along("s", "A", "B", "P", 4.5, 1), 0.5),
        (Offset("o", "A", "B", "P", 2.5, 1), -0.5),
        (Offset("o", "B", "A", "P", -2.5, 1), 0.5),
    ],
)
def test_misfit_is_measured_minus_computed(shot: Observation, misfit: float) -> None:
    assert misfit_and_slopes(shot, YARD)[0] == pytest.approx(misfit)


@pytest.mark.independent
@pytest.mark.parametrize("shot", SHOTS, ids=lambda shot: shot.id)
@settings(max_examples=40)
@given(PLACES)
def test_slopes_are_what_a_small_move_does(shot: Observation, places: dict[str, Point]) -> None:
    """Central differences over a thousandth of a foot."""
    assume(min(distance_ft(places["A"], places["B"]), distance_ft(places["A"], places["P"])) > 5)
    nudge_ft = 1e-3
    for name, east_slope, north_slope in misfit_and_slopes(shot, places)[1]:
        east, north = places[name]
        for slope, shift in ((east_slope, (nudge_ft, 0.0)), (north_slope, (0.0, nudge_ft))):
            ahead = misfit_and_slopes(shot, places | {name: (east + shift[0], north + shift[1])})[0]
            behind = misfit_and_slopes(shot, places | {name: (east - shift[0], north - shift[1])})[0]
            change = (behind - ahead + 180) % 360 - 180 if isinstance(shot, Direction) else behind - ahead
            assert change / (2 * nudge_ft) == pytest.approx(slope, abs=1e-4)


@pytest.mark.parametrize("shot", SHOTS, ids=lambda shot: shot.id)
def test_refuses_a_point_nobody_placed(shot: Observation) -> None:
    with pytest.raises(AdjustError, match=f"Shot {shot.id} names P, which is neither known nor approximate"):
        misfit_and_slopes(shot, {"A": (0, 0), "B": (0, 20)})


@pytest.mark.parametrize("shot", SHOTS, ids=lambda shot: shot.id)
def test_refuses_a_line_between_two_points_on_one_spot(shot: Observation) -> None:
    with pytest.raises(AdjustError, match="stand on one spot"):
        misfit_and_slopes(shot, {"A": (1, 1), "B": (1, 1), "P": (1, 1)})


def test_refuses_a_reading_that_is_no_number() -> None:
    with pytest.raises(AdjustError, match="Shot d reads nan"):
        misfit_and_slopes(Distance("d", "A", "P", math.nan, 1), YARD)


@pytest.mark.closed_form
def test_sigma_in_the_shots_own_unit() -> None:
    assert [sigma_of(shot) for shot in SHOTS] == [0.05, 1.0, 0.1, 0.1]


@pytest.mark.parametrize("sigma", [0.0, -1.0, math.nan, math.inf])
def test_refuses_a_sigma_that_is_not_over_0(sigma: float) -> None:
    with pytest.raises(OutOfRange, match="sigma_ft"):
        sigma_of(Distance("d", "A", "P", 5, sigma))
    with pytest.raises(OutOfRange, match="sigma_deg"):
        sigma_of(Direction("b", "A", "P", 5, sigma))
