"""Cut plans: stock, and offcuts by literal cases; the laws by property."""

from collections.abc import Mapping
from math import fsum

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.cutting.cut_plan import CutPlan, Roll, Stock, Unplaced, plan_cuts
from engine.calc.limits import OutOfRange

ROLL_100 = Stock("wire 100", 100)


def lettered(*lengths: float) -> dict[str, float]:
    return {chr(ord("a") + at): length for at, length in enumerate(lengths)}


@pytest.mark.closed_form
def test_fewest_rolls_where_greedy_takes_one_more() -> None:
    plan = plan_cuts(lettered(42, 42, 36, 24, 24, 18), ROLL_100)
    assert len(plan.rolls) == 2
    assert (plan.lower_bound, plan.proven, plan.waste, plan.unplaced) == (2, True, 14, ())


@pytest.mark.closed_form
def test_inches_that_are_no_round_decimals_fill_a_roll() -> None:
    """Three pieces of 16 ft 8 in are 50 ft."""
    plan = plan_cuts(lettered(50 / 3, 50 / 3, 50 / 3), Stock("spool", 50))
    assert plan.rolls == (Roll("spool", 50, ("a", "b", "c"), 0),)
    assert plan.waste == 0


@pytest.mark.closed_form
def test_offcuts_are_used_first() -> None:
    plan = plan_cuts(lettered(60, 30, 20), ROLL_100, offcuts={"rest 1": 35, "rest 2": 22})
    assert plan.rolls == (
        Roll("rest 1", 35, ("b",), 5, is_offcut=True),
        Roll("rest 2", 22, ("c",), 2, is_offcut=True),
        Roll("wire 100", 100, ("a",), 40),
    )
    assert (plan.lower_bound, plan.proven, plan.waste) == (1, True, 47)


@pytest.mark.closed_form
def test_an_offcut_can_make_stock_needless() -> None:
    plan = plan_cuts(lettered(10), ROLL_100, offcuts={"rest": 12})
    assert ([roll.stock_id for roll in plan.rolls], plan.lower_bound, plan.proven) == (["rest"], 0, True)


@pytest.mark.closed_form
def test_a_piece_longer_than_any_stock_is_told() -> None:
    plan = plan_cuts(lettered(120, 50), ROLL_100)
    assert plan.unplaced == (Unplaced("a", "longer than any stock"),)
    assert [roll.piece_ids for roll in plan.rolls] == [("b",)]
    assert plan_cuts(lettered(120), ROLL_100, offcuts={"long rest": 130}).unplaced == ()


@pytest.mark.parametrize(
    ("pieces", "stock", "offcuts"),
    [
        ({"a": 0.0}, ROLL_100, {}),
        ({"a": float("nan")}, ROLL_100, {}),
        ({"a": 1.0}, Stock("s", 0), {}),
        ({"a": 1.0}, ROLL_100, {"rest": -0.1}),
    ],
)
def test_refuses(pieces: Mapping[str, float], stock: Stock, offcuts: Mapping[str, float]) -> None:
    with pytest.raises(OutOfRange):
        plan_cuts(pieces, stock, offcuts)


def test_nothing_to_cut() -> None:
    assert plan_cuts({}, ROLL_100) == CutPlan((), (), 0, True, 0)
    assert [piece.piece_id for piece in plan_cuts(lettered(5), None).unplaced] == ["a"]


lengths = st.integers(1, 960).map(lambda eighths: eighths / 8)
piece_lists = st.lists(lengths, max_size=25).map(lambda some: {f"p{at}": length for at, length in enumerate(some)})
offcut_lists = st.lists(lengths, max_size=3).map(lambda some: {f"o{at}": length for at, length in enumerate(some)})
rolls_of = st.sampled_from([None, 30.0, 50.0, 100.0]).map(lambda length: None if length is None else Stock("roll", length))


@given(piece_lists, rolls_of, offcut_lists)
@settings(max_examples=100, deadline=None)
def test_each_piece_once_and_no_roll_over_its_length(pieces: dict[str, float], stock: Stock | None, offcuts: dict[str, float]) -> None:
    plan = plan_cuts(pieces, stock, offcuts)
    told = [each for roll in plan.rolls for each in roll.piece_ids] + [each.piece_id for each in plan.unplaced]
    assert sorted(told) == sorted(pieces)
    for roll in plan.rolls:
        cut = fsum(pieces[each] for each in roll.piece_ids)
        assert roll.piece_ids
        assert cut <= roll.capacity
        assert roll.left == pytest.approx(max(0, roll.capacity - cut))
    new = [roll for roll in plan.rolls if not roll.is_offcut]
    assert plan.lower_bound <= len(new) or plan.unplaced
    placed = fsum(pieces[each] for roll in plan.rolls for each in roll.piece_ids)
    assert plan.waste == pytest.approx(fsum(roll.capacity for roll in plan.rolls) - placed)


@given(piece_lists)
@settings(max_examples=30, deadline=None)
def test_order_of_the_pieces_does_not_matter(pieces: dict[str, float]) -> None:
    shuffled = dict(sorted(pieces.items(), key=lambda item: item[0][::-1]))
    assert plan_cuts(pieces, ROLL_100) == plan_cuts(shuffled, ROLL_100)
