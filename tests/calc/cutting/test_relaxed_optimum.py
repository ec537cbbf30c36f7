"""The relaxed optimum: literal bounds, an integer program above it, and the laws of its fillings."""

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.cutting.bin_packing import FULL_EFFORT
from engine.calc.cutting.effort import Effort
from engine.calc.cutting.relaxed_optimum import relaxed_optimum
from tests.calc.cutting.test_bin_packing import fewest_by_patterns

EFFORTS = st.sampled_from([0, 30, 1000, FULL_EFFORT])


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("counts", "bound"),
    [
        ({34: 10}, 5),  # two to a bin
        ({60: 5}, 5),  # alone
        ({50: 3, 30: 4}, 3),  # 270 in bins of 100
        ({44: 20, 31: 20}, 17),  # at most 44 and 31, two of 44, or three of 31: 20/2 + 20/3 is 16.7
    ],
)
def test_relaxed_optimum_literal(counts: dict[int, int], bound: int) -> None:
    assert relaxed_optimum(counts, 100, Effort(FULL_EFFORT)).lower_bound == bound


@pytest.mark.independent
@given(st.lists(st.integers(20, 70), min_size=1, max_size=30))
@settings(max_examples=60, deadline=None)
def test_bound_is_under_an_integer_program_by_less_than_two(sizes: list[int]) -> None:
    """That the gap stays under two is conjectured (modified round-up property); no counterexample is known."""
    bound = relaxed_optimum(Counter(sizes), 100, Effort(FULL_EFFORT)).lower_bound
    assert 0 <= fewest_by_patterns(sizes, 100) - bound <= 1


@given(st.lists(st.integers(5, 100), min_size=1, max_size=60), EFFORTS)
@settings(max_examples=80, deadline=None)
def test_whole_fillings_fit_and_take_no_size_oftener_than_asked(sizes: list[int], effort: int) -> None:
    asked, used = Counter(sizes), Counter[int]()
    for times, filling in relaxed_optimum(asked, 100, Effort(effort)).fillings:
        assert sum(size * count for size, count in filling.items()) <= 100
        used.update({size: times * count for size, count in filling.items()})
    assert used <= asked


@given(st.lists(st.integers(5, 100), min_size=1, max_size=60), EFFORTS)
@settings(max_examples=80, deadline=None)
def test_less_effort_gives_no_higher_bound(sizes: list[int], effort: int) -> None:
    full = relaxed_optimum(Counter(sizes), 100, Effort(FULL_EFFORT)).lower_bound
    assert 0 <= relaxed_optimum(Counter(sizes), 100, Effort(effort)).lower_bound <= full
