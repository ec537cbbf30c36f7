"""Packs for several jobs together: loose pieces rounded once, rolls by the cut plans of the jobs; laws over random rows."""

from collections.abc import Sequence
from dataclasses import replace
from math import ceil, fsum

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.cutting.cut_plan import Stock, plan_cuts
from engine.paper.many_jobs.shared_packs import cut_of_rolls, packs_to_load, together
from engine.stages.takeoff import TakeoffRow

LOCK = TakeoffRow("lock", "lock", "locks", 6.0, 0.0, 25.0, 1, None, 0, 0.0, 0, 0.0, None, ())
SPOOL = TakeoffRow("cable", "cable", "ft", 163.0, 0.0, 500.0, 1, None, 0, 0.0, 0, 0.0, None, (337.0,))
PACK = 10.0
ROLL_FT = 100.0


def rolls(*pieces_ft: float) -> TakeoffRow:
    """A job's row of rolls of 100 ft, cut into these pieces as its own plan does."""
    plan = plan_cuts({f"{at}": piece for at, piece in enumerate(pieces_ft)}, Stock("wire", ROLL_FT))
    left = tuple(sorted((roll.left for roll in plan.rolls if roll.left > 0), reverse=True))
    return replace(SPOOL, stock="wire", per_pack=ROLL_FT, needed=fsum(pieces_ft), packs=len(plan.rolls), offcuts=left)


def fit(pieces: Sequence[float], rooms: Sequence[float]) -> bool:
    """Whether pieces can be put into rooms, every way tried: the longest into each room in turn."""
    if not pieces:
        return True
    first, *others = sorted(pieces, reverse=True)
    tried = {round(room, 6) for room in rooms if room >= first - 1e-6}
    return any(
        fit(others, [*(r for at, r in enumerate(rooms) if at != here), rooms[here] - first])
        for here in ({round(room, 6): at for at, room in enumerate(rooms)}[size] for size in tried)
    )


@st.composite
def loose_row(draw: st.DrawFn) -> TakeoffRow:
    needed, spare = draw(st.integers(1, 60)), draw(st.integers(0, 6))
    loaded, used = draw(st.one_of(st.none(), st.integers(0, 8))), draw(st.integers(0, needed))
    return replace(
        LOCK, per_pack=PACK, needed=float(needed), spare=float(spare), packs=ceil((needed + spare) / PACK), loaded=loaded,
        delivered=draw(st.integers(0, 2)), loose=float(draw(st.integers(0, 5))), used=float(used),
    )  # fmt: skip


ROLL_ROW = st.lists(st.integers(4, 100).map(float), min_size=1, max_size=5).map(lambda pieces: rolls(*pieces))
LOADED_ROLLS = st.builds(
    lambda row, loaded, came: replace(row, loaded=loaded, delivered=came), ROLL_ROW, st.integers(0, 4), st.integers(0, 1)
)


@pytest.mark.closed_form
def test_boxes_are_rounded_once_and_one_spool_goes_from_job_to_job() -> None:
    """6 + 8 + 14 locks are 28: two packs of 25, not three. 163 + 120 + 217 ft fill one spool of 500 ft, a foot more takes a second."""
    locks = [replace(LOCK, needed=needed) for needed in (6.0, 8.0, 14.0)]
    assert (together(locks).needed, together(locks).packs) == (28.0, 2)
    spools = [SPOOL, replace(SPOOL, needed=120.0, offcuts=(380.0,)), replace(SPOOL, needed=217.0, offcuts=(283.0,))]
    assert (together(spools).needed, together(spools).packs, together(spools).offcuts) == (500.0, 1, ())
    longer = [*spools[:2], replace(SPOOL, needed=218.0, offcuts=(282.0,))]
    assert (together(longer).packs, fsum(together(longer).offcuts)) == (2, 499.0)


@pytest.mark.closed_form
def test_a_roll_goes_on_only_where_it_holds_what_one_roll_of_the_next_job_is_cut_into() -> None:
    """60 ft and 60 ft are two rolls though one job leaves 40 ft; 60 ft and 40 ft one. A job's plan stays as it is, roll by roll: two pieces
    of 5 ft from one roll go onto a roll that has 10 ft left, not one each onto two that have 5 ft."""
    assert together([rolls(60.0), rolls(60.0)]).packs == 2
    assert together([rolls(60.0), rolls(40.0)]).packs == 1
    assert together([rolls(90.0, 90.0), rolls(5.0, 5.0)]).packs == 2
    assert together([rolls(95.0, 95.0), rolls(5.0, 5.0)]).packs == 3


@pytest.mark.closed_form
def test_what_is_loaded_came_or_is_built_in_is_taken_off() -> None:
    """20 + 12 posts, 16 loaded for the first, 4 of the second built in by a crew that never counted: 12 left. Of rolls, a job that hung all
    of it asks for none, and a loaded one is taken off."""
    post = replace(LOCK, unit="posts", per_pack=1.0)
    rows = [replace(post, needed=20.0, packs=20, loaded=16), replace(post, needed=12.0, packs=12, used=4.0)]
    assert (together(rows).packs, together(rows).loaded, packs_to_load(rows)) == (32, 16, 12)
    assert packs_to_load([replace(rolls(90.0), loaded=1), rolls(90.0)]) == 1
    assert packs_to_load([replace(rolls(90.0), used=90.0), rolls(90.0)]) == 1
    assert packs_to_load([replace(rolls(90.0), used=89.9)]) == 0
    assert packs_to_load([replace(rolls(60.0), loaded=1), rolls(40.0)]) == 0


def test_where_rolls_do_not_say_what_they_leave_each_counts_as_whole() -> None:
    cut_at_a_new_way = replace(SPOOL, needed=563.0, packs=2)
    assert cut_of_rolls(cut_at_a_new_way) == (500.0, 500.0)
    assert together([cut_at_a_new_way, SPOOL]).packs == 3
    coil = replace(SPOOL, needed=28.0, per_pack=50.0, offcuts=())
    assert cut_of_rolls(coil) == (28.0,)
    assert together([coil, replace(coil, needed=17.5)]).packs == 1


def test_a_price_stands_only_where_all_jobs_say_the_same() -> None:
    assert together([replace(LOCK, price=3.5), replace(LOCK, price=3.5)]).cost == 3.5
    assert together([replace(LOCK, price=3.5), replace(LOCK, price=4.0)]).cost is None
    assert together([replace(LOCK, price=3.5), LOCK]).cost is None


@settings(max_examples=200, deadline=None)
@given(st.lists(loose_row(), min_size=1, max_size=6))
def test_loose_pieces_add_up_and_packs_are_enough_and_never_more_than_one_by_one(rows: list[TakeoffRow]) -> None:
    total, to_load = together(rows), packs_to_load(rows)
    assert (total.needed, total.spare) == (sum(row.needed for row in rows), sum(row.spare for row in rows))
    assert total.packs <= sum(row.packs for row in rows)
    assert 0 <= total.packs * PACK - (total.needed + total.spare) < PACK
    assert 0 <= to_load <= total.packs
    there = sum(max(row.came or 0.0, row.used) for row in rows)
    assert to_load * PACK + there >= total.needed + total.spare


@settings(max_examples=150, deadline=None)
@given(st.lists(ROLL_ROW, min_size=1, max_size=4))
def test_rolls_hold_what_every_roll_of_every_job_is_cut_into(rows: list[TakeoffRow]) -> None:
    total = together(rows)
    assert total.needed == pytest.approx(sum(row.needed for row in rows))
    assert max(row.packs for row in rows) <= total.packs <= sum(row.packs for row in rows)
    assert fsum(total.offcuts) == pytest.approx(total.packs * ROLL_FT - total.needed, abs=1e-3)
    assert fit([cut for row in rows for cut in cut_of_rolls(row)], [ROLL_FT] * total.packs)


@settings(max_examples=100, deadline=None)
@given(st.lists(LOADED_ROLLS, min_size=1, max_size=4))
def test_rolls_on_the_truck_and_those_to_load_are_enough(rows: list[TakeoffRow]) -> None:
    to_load, there = packs_to_load(rows), sum((row.loaded or 0) + row.delivered for row in rows)
    assert to_load == max(0, together(rows).packs - there)


@settings(max_examples=100, deadline=None)
@given(st.one_of(loose_row(), LOADED_ROLLS))
def test_one_job_alone_is_as_its_own_list_says(row: TakeoffRow) -> None:
    total = together([row])
    assert replace(total, short=row.short) == replace(row, needed=total.needed, spare=total.spare, used=total.used, loose=total.loose)


@settings(max_examples=150, deadline=None)
@given(loose_row())
def test_one_job_that_is_counted_has_left_to_load_what_its_own_list_calls_short(row: TakeoffRow) -> None:
    """As its own list counts: whole packs for what isn't there loose, less those that are there. What is built in came from somewhere."""
    counted = replace(row, loaded=row.loaded or 0)
    counted = replace(counted, used=min(counted.used, counted.came or 0.0))
    short = max(0, ceil((row.needed + row.spare - row.loose) / PACK) - counted.loaded - counted.delivered)  # type: ignore[operator]
    assert packs_to_load([counted]) == short
