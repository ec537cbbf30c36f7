"""Cable loops along a run, even spacing and stakes: literal cases, brute force, and the laws."""

from collections.abc import Sequence
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.cutting.run_shares import count_along, even_stations_ft, partition_run, stake_stations_ft
from engine.calc.limits import OutOfRange


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("bays", "loops"),
    [
        ([20, 20, 20, 20, 20, 20], ((0, 2), (3, 5))),
        ([25, 25, 25, 25], ((0, 1), (2, 3))),
        ([22, 22, 22, 22, 22], ((0, 0), (1, 2), (3, 4))),  # 22 + 44 + 44: 18 short, but 44 + 66 is 6 over
        ([30], ((0, 0),)),
        ([70, 45], ((0, 0), (1, 1))),
        ([16.7, 16.7, 16.6, 25, 25], ((0, 2), (3, 4))),
    ],
)
def test_partition_literal(bays: list[float], loops: tuple[tuple[int, int], ...]) -> None:
    assert partition_run(bays, [True] * (len(bays) - 1)) == loops


@pytest.mark.closed_form
def test_loops_meet_only_where_they_may() -> None:
    assert partition_run([20] * 6, [True, True, False, True, True]) == ((0, 1), (2, 3), (4, 5))
    assert partition_run([20] * 6, [False] * 5) == ((0, 5),)


@pytest.mark.closed_form
def test_preference_comes_before_evenness_and_after_the_count() -> None:
    bays = [25, 20, 20, 25]
    assert partition_run(bays, [True] * 3, min_ft=25, max_ft=65) == ((0, 1), (2, 3))
    assert partition_run(bays, [True] * 3, min_ft=25, max_ft=65, breakable_preference=[0, 1, 1]) == ((0, 0), (1, 3))


def test_of_equals_the_earliest_break_comes_first() -> None:
    assert partition_run([20, 20, 20], [True] * 2, min_ft=0, max_ft=40) == ((0, 0), (1, 2))


@pytest.mark.parametrize(
    ("bays", "can_break", "low", "high"),
    [([], [], 40, 60), ([20, 20], [], 40, 60), ([20, -1], [True], 40, 60), ([20], [], 61, 60), ([20], [], 40, float("nan"))],
)
def test_partition_refuses(bays: list[float], can_break: list[bool], low: float, high: float) -> None:
    with pytest.raises(OutOfRange):
        partition_run(bays, can_break, low, high)


Run = tuple[list[float], list[bool], list[int]]


@st.composite
def runs(draw: st.DrawFn) -> Run:
    bays = draw(st.lists(st.integers(20, 110).map(lambda n: n / 4), min_size=1, max_size=9))
    inner = len(bays) - 1
    return (
        bays,
        draw(st.lists(st.booleans(), min_size=inner, max_size=inner)),
        draw(st.lists(st.integers(0, 2), min_size=inner, max_size=inner)),
    )


def loop_goal(bays: Sequence[float], breaks: Sequence[int], preference: Sequence[int]) -> tuple[object, ...]:
    lengths = [sum(bays[first:after]) for first, after in pairwise((0, *breaks, len(bays)))]
    return (
        sum(max(0, length - 60) for length in lengths),
        sum(max(0, 40 - length) for length in lengths),
        len(lengths),
        sum(preference[at - 1] for at in breaks),
        sum(length * length for length in lengths),
        (*breaks, len(bays)),
    )


@pytest.mark.independent
@given(runs())
@settings(max_examples=100, deadline=None)
def test_partition_agrees_with_brute_force(run: Run) -> None:
    bays, can_break, preference = run
    may = [at for at in range(1, len(bays)) if can_break[at - 1]]
    every = (breaks for count in range(len(may) + 1) for breaks in combinations(may, count))
    found = partition_run(bays, can_break, breakable_preference=preference)
    breaks = [first for first, _ in found[1:]]
    assert loop_goal(bays, breaks, preference) == min(loop_goal(bays, each, preference) for each in every)


@given(runs())
@settings(max_examples=50, deadline=None)
def test_loops_cover_each_bay_once(run: Run) -> None:
    bays, can_break, _ = run
    found = partition_run(bays, can_break)
    assert [bay for first, last in found for bay in range(first, last + 1)] == list(range(len(bays)))


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("length", "spacing", "count"),
    [(0, 3, 1), (24, 3, 9), (25, 3, 10), (0.3, 0.1, 4), (1, 1 / 12, 13), (2, 3, 2), (24.0000001, 3, 9), (24.001, 3, 10)],
)
def test_count_along(length: float, spacing: float, count: int) -> None:
    assert count_along(length, spacing) == count


def test_count_along_refuses() -> None:
    with pytest.raises(OutOfRange):
        count_along(-1, 3)
    with pytest.raises(OutOfRange):
        count_along(1, 0)


@pytest.mark.closed_form
def test_even_stations() -> None:
    assert even_stations_ft(2, 12, 4) == pytest.approx((2, 2 + 10 / 3, 2 + 20 / 3, 12))
    assert even_stations_ft(0, 12, 4) == (0, 4, 8, 12)
    assert even_stations_ft(0, 1, 4) == (0, 1)
    with pytest.raises(OutOfRange):
        even_stations_ft(5, 5, 4)


@given(st.floats(0, 500), st.floats(0.01, 400), st.floats(0.5, 30))
@settings(max_examples=60)
def test_even_stations_are_fewest_within_the_limit(start: float, length: float, limit: float) -> None:
    stations = even_stations_ft(start, start + length, limit)
    gaps = [far - near for near, far in pairwise(stations)]
    assert max(gaps) <= limit + 1e-5
    assert max(gaps) - min(gaps) < 1e-9
    assert len(gaps) == 1 or length / (len(gaps) - 1) > limit


@pytest.mark.closed_form
def test_stakes_on_open_ground_are_even() -> None:
    assert stake_stations_ft(0, 10, 4, []).stations_ft == pytest.approx((0, 10 / 3, 20 / 3, 10))


@pytest.mark.closed_form
def test_a_stake_moves_to_the_edge_of_blocked_ground() -> None:
    found = stake_stations_ft(0, 10, 4, [(3, 4)])
    assert found.stations_ft == pytest.approx((0, 3, 20 / 3, 10))
    assert found.uncovered == ()


@pytest.mark.closed_form
def test_neighbours_move_up_to_cover_a_wide_keep_out() -> None:
    found = stake_stations_ft(0, 12, 4, [(3, 9), (3.5, 8)])
    assert found.stations_ft == (0, 3, 9, 12)
    assert found.uncovered == ((3, 9),)


@pytest.mark.closed_form
def test_an_extra_stake_where_the_even_ones_would_leave_a_gap() -> None:
    """12 ft at 4 ft takes four on open ground; with 3.5 to 5 ft blocked a fifth."""
    found = stake_stations_ft(0, 12, 4, [(3.5, 5)])
    assert found.stations_ft == (0, 3, 6, 9, 12)


@pytest.mark.closed_form
def test_keep_outs_that_touch_leave_a_place_between_them() -> None:
    found = stake_stations_ft(0, 8, 4, [(0, 4), (4, 8)])
    assert (found.stations_ft, found.uncovered) == ((0, 4, 8), ())


@pytest.mark.closed_form
def test_blocked_ends() -> None:
    found = stake_stations_ft(0, 10, 4, [(-1, 2), (5, 11)])
    assert (found.stations_ft, found.uncovered) == ((2, 5), ((5, 10),))
    nowhere = stake_stations_ft(0, 10, 4, [(-1, 11)])
    assert (nowhere.stations_ft, nowhere.uncovered) == ((), ((0, 10),))


def test_stakes_refuse() -> None:
    with pytest.raises(OutOfRange):
        stake_stations_ft(0, 10, 0, [])
    with pytest.raises(OutOfRange):
        stake_stations_ft(0, 10, 4, [(5, 3)])


Keep = list[tuple[int, int]]
intervals = st.lists(st.tuples(st.integers(-2, 30), st.integers(0, 9)).map(lambda at: (at[0], at[0] + at[1])), max_size=5)


def fewest_stakes(end: int, limit: int, blocked: Keep) -> int | None:
    """Fewest stakes with no gap over the limit, by trying every whole foot; none when some gap has to be over it.

    With whole feet throughout, some best answer stands on whole feet: every stake can be pushed on until the limit or an edge stops it.
    """
    free = [at for at in range(end + 1) if not any(low < at < high for low, high in blocked)]
    if not free:
        return None
    fewest = {free[0]: 1}
    for at in free[1:]:
        counts = [fewest[before] + 1 for before in fewest if at - before <= limit]
        if not counts:
            return None
        fewest[at] = min(counts)
    return fewest[free[-1]]


@pytest.mark.independent
@given(st.integers(1, 30), st.integers(2, 7), intervals)
@settings(max_examples=100)
def test_stakes_are_fewest(end: int, limit: int, blocked: Keep) -> None:
    found = stake_stations_ft(0, end, limit, blocked)
    fewest = fewest_stakes(end, limit, blocked)
    inner = [gap for gap in found.uncovered if gap[0] in found.stations_ft and gap[1] in found.stations_ft]
    assert (fewest is None) == (bool(inner) or not found.stations_ft)
    if fewest is not None:
        assert len(found.stations_ft) == fewest


@given(st.floats(0, 50), st.floats(0.5, 60), st.floats(0.5, 9), st.lists(st.tuples(st.floats(-5, 100), st.floats(0.01, 9)), max_size=6))
@settings(max_examples=100)
def test_no_gap_over_the_limit_but_blocked_ground(start: float, length: float, limit: float, widths: list[tuple[float, float]]) -> None:
    blocked = [(low, low + width) for low, width in widths]
    found = stake_stations_ft(start, start + length, limit, blocked)
    assert all(not low + 1e-5 < at < high - 1e-5 for at in found.stations_ft for low, high in blocked)
    gaps = list(pairwise((start, *found.stations_ft, start + length)))
    assert [gap for gap in gaps if gap[1] - gap[0] > limit + 1e-6] == list(found.uncovered)
    assert list(found.stations_ft) == sorted(set(found.stations_ft))
    for low, high in found.uncovered:
        tries = [low + (high - low) * k / 8 for k in range(1, 8)]
        assert all(any(b_low - 1e-5 <= at <= b_high + 1e-5 for b_low, b_high in blocked) for at in tries)
