"""Cut plans: stock, offcuts, kerf and counts by literal cases; the laws by property."""

from collections.abc import Mapping
from math import fsum

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.cutting.cut_plan import CutPlan, Roll, Stock, Unplaced, plan_cuts
from engine.calc.limits import OutOfRange

ROLL_100 = [Stock("wire 100", 100)]


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
    plan = plan_cuts(lettered(50 / 3, 50 / 3, 50 / 3), [Stock("spool", 50)])
    assert plan.rolls == (Roll("spool", 50, ("a", "b", "c"), 0),)
    assert plan.waste == 0


@pytest.mark.closed_form
def test_kerf_is_taken_at_each_cut_but_not_at_the_very_end() -> None:
    """Two pieces of 4.95 in a 10 ft length: one cut of 0.1 between them; at 0.2 they no longer fit."""
    assert [roll.left for roll in plan_cuts(lettered(4.95, 4.95), [Stock("tube", 10)], kerf=0.1).rolls] == [0]
    assert len(plan_cuts(lettered(4.95, 4.95), [Stock("tube", 10)], kerf=0.2).rolls) == 2
    assert plan_cuts(lettered(4), [Stock("tube", 10)], kerf=0.2).rolls[0].left == 5.8


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


@pytest.mark.closed_form
def test_stock_that_runs_out_leaves_the_emptier_rolls_uncut() -> None:
    plan = plan_cuts(lettered(90, 80, 70), [Stock("wire 100", 100, count=2)])
    assert [roll.piece_ids for roll in plan.rolls] == [("a",), ("b",)]
    assert (plan.unplaced, plan.proven, plan.lower_bound) == ((Unplaced("c", "no stock left"),), False, 3)


@pytest.mark.closed_form
def test_two_kinds_of_one_length_share_a_count() -> None:
    plan = plan_cuts(lettered(90, 80), [Stock("on the truck", 100, count=1), Stock("to order", 100)])
    assert [roll.stock_id for roll in plan.rolls] == ["on the truck", "to order"]
    assert plan.proven


@pytest.mark.closed_form
def test_of_several_lengths_the_least_total_is_taken() -> None:
    """95 and 48 ft: 100 and 50 ft rolls come to 150, the least multiple of 50 over 143, so proven."""
    plan = plan_cuts(lettered(95, 48), [Stock("long", 100), Stock("short", 50)])
    assert [(roll.stock_id, roll.piece_ids) for roll in plan.rolls] == [("long", ("a",)), ("short", ("b",))]
    assert plan.proven


@pytest.mark.closed_form
def test_several_lengths_unproven_when_the_bound_is_not_met() -> None:
    """Four pieces of 35 ft from 90 and 50 ft: two to a 90 ft roll, 180 ft, while the bound is 140 ft, a multiple of 10."""
    plan = plan_cuts(lettered(35, 35, 35, 35), [Stock("long", 90), Stock("short", 50)])
    assert [roll.stock_id for roll in plan.rolls] == ["long", "long"]
    assert plan.proven is False


@pytest.mark.parametrize(
    ("pieces", "stocks", "kerf"),
    [
        ({"a": 0.0}, ROLL_100, 0.0),
        ({"a": float("nan")}, ROLL_100, 0.0),
        ({"a": 1.0}, [Stock("s", 0)], 0.0),
        ({"a": 1.0}, [Stock("s", 10, count=-1)], 0.0),
        ({"a": 1.0}, [Stock("s", 10), Stock("s", 20)], 0.0),
        ({"a": 1.0}, ROLL_100, -0.1),
    ],
)
def test_refuses(pieces: Mapping[str, float], stocks: list[Stock], kerf: float) -> None:
    with pytest.raises(OutOfRange):
        plan_cuts(pieces, stocks, kerf)


def test_nothing_to_cut() -> None:
    assert plan_cuts({}, ROLL_100) == CutPlan((), (), 0, True, 0)
    assert [piece.piece_id for piece in plan_cuts(lettered(5), []).unplaced] == ["a"]


lengths = st.integers(1, 960).map(lambda eighths: eighths / 8)
piece_lists = st.lists(lengths, max_size=25).map(lambda some: {f"p{at}": length for at, length in enumerate(some)})
offcut_lists = st.lists(lengths, max_size=3).map(lambda some: {f"o{at}": length for at, length in enumerate(some)})
stock_lists = st.lists(st.tuples(st.sampled_from([30, 50, 100]), st.sampled_from([None, 0, 2, 5])), max_size=3).map(
    lambda some: [Stock(f"s{at}", length, count) for at, (length, count) in enumerate(some)]
)


@given(piece_lists, stock_lists, st.sampled_from([0.0, 0.125]), offcut_lists)
@settings(max_examples=100, deadline=None)
def test_each_piece_once_and_no_roll_over_its_length(
    pieces: dict[str, float], stocks: list[Stock], kerf: float, offcuts: dict[str, float]
) -> None:
    plan = plan_cuts(pieces, stocks, kerf, offcuts)
    told = [each for roll in plan.rolls for each in roll.piece_ids] + [each.piece_id for each in plan.unplaced]
    assert sorted(told) == sorted(pieces)
    for roll in plan.rolls:
        cut = fsum(pieces[each] for each in roll.piece_ids)
        assert roll.piece_ids
        assert cut + kerf * (len(roll.piece_ids) - 1) <= roll.capacity
        assert roll.left == pytest.approx(max(0, roll.capacity - cut - kerf * len(roll.piece_ids)))
    for stock in stocks:
        assert stock.count is None or sum(roll.stock_id == stock.id for roll in plan.rolls) <= stock.count
    new = [roll for roll in plan.rolls if not roll.is_offcut]
    assert plan.lower_bound <= len(new) or plan.unplaced
    placed = fsum(pieces[each] for roll in plan.rolls for each in roll.piece_ids)
    assert plan.waste == pytest.approx(fsum(roll.capacity for roll in plan.rolls) - placed)


@given(piece_lists)
@settings(max_examples=30, deadline=None)
def test_order_of_the_pieces_does_not_matter(pieces: dict[str, float]) -> None:
    shuffled = dict(sorted(pieces.items(), key=lambda item: item[0][::-1]))
    assert plan_cuts(pieces, ROLL_100) == plan_cuts(shuffled, ROLL_100)
