"""Values in order: quantiles against numpy, ranks round the median against scipy and by the binomial written out."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from engine.calc.limits import OutOfRange
from engine.calc.order_statistics import RanksRound, next_between, quantile, ranks_round_median

values = st.lists(st.floats(0, 1e6), min_size=1, max_size=60).map(sorted)
shares = st.floats(0, 1)


@pytest.mark.independent
@settings(max_examples=100, deadline=None)
@given(values, shares)
def test_quantiles_are_those_of_numpy_at_ranks_of_n_and_one(rising: list[float], share: float) -> None:
    assert quantile(rising, share) == pytest.approx(float(np.quantile(rising, share, method="weibull")), rel=1e-9, abs=1e-9)


@pytest.mark.closed_form
def test_quantiles_of_a_few_values() -> None:
    assert [quantile([1, 2, 3, 4], share) for share in (0.0, 0.1, 0.2, 0.5, 0.7, 1.0)] == pytest.approx([1, 1, 1, 2.5, 3.5, 4])
    assert quantile([7.0], 0.9) == 7.0


@settings(max_examples=100, deadline=None)
@given(values, shares, shares)
def test_a_greater_share_is_never_a_smaller_value(rising: list[float], one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert rising[0] <= quantile(rising, low) <= quantile(rising, high) * (1 + 1e-12) <= rising[-1] * (1 + 1e-9)


@pytest.mark.closed_form
def test_the_next_of_nine_lies_between_least_and_greatest_eight_times_in_ten() -> None:
    assert [next_between(count, 0.1) for count in (1, 3, 5, 9, 99)] == pytest.approx([0.0, 0.5, 2 / 3, 0.8, 0.8])


@pytest.mark.independent
@pytest.mark.parametrize("count", [3, 6, 9, 19, 39])
def test_the_next_value_is_between_as_often_as_said(count: int) -> None:
    """Twenty thousand rows of a skewed distribution, by numpy's generator."""
    drawn = np.random.default_rng(count).lognormal(0.0, 0.7, (20_000, count + 1))
    low, high = np.quantile(drawn[:, 1:], (0.1, 0.9), axis=1, method="weibull")
    inside = np.mean((low <= drawn[:, 0]) & (drawn[:, 0] <= high))
    assert inside == pytest.approx(next_between(count, 0.1), abs=0.012)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("count", "ranks", "sure"),
    [(6, (1, 6), 0.96875), (10, (2, 9), 0.978516), (15, (4, 12), 0.964844), (20, (6, 15), 0.958611), (50, (18, 33), 0.967161)],
)
def test_ranks_round_the_median_are_those_of_the_tables(count: int, ranks: tuple[int, int], sure: float) -> None:
    """As M. J. Campbell and M. J. Gardner list them, British Medical Journal 296 (1988) 1454-1456, from memory."""
    assert ranks_round_median(count) == RanksRound(*ranks, pytest.approx(sure, abs=1e-6))


def test_five_values_are_too_few() -> None:
    assert [ranks_round_median(count) for count in range(6)] == [None] * 6
    assert ranks_round_median(5, 0.9) == RanksRound(1, 5, 0.9375)


@pytest.mark.independent
@pytest.mark.parametrize("count", range(6, 120, 7))
def test_they_are_the_interval_of_scipys_quantile_test(count: int) -> None:
    found = ranks_round_median(count)
    assert found is not None
    interval = stats.quantile_test(np.arange(1.0, count + 1), q=0.0, p=0.5).confidence_interval(confidence_level=0.95)
    assert (found.low, found.high) == (interval.low, interval.high)
    assert found.sure == pytest.approx(stats.binom.cdf(found.high - 1, count, 0.5) - stats.binom.cdf(found.low - 1, count, 0.5))


def test_outside_its_range_nothing_is_said() -> None:
    for wrong in (lambda: quantile([], 0.5), lambda: quantile([1.0], 1.5), lambda: next_between(0, 0.1), lambda: next_between(3, 0.5)):
        with pytest.raises(OutOfRange):
            wrong()
    with pytest.raises(OutOfRange):
        ranks_round_median(4, 1.0)
