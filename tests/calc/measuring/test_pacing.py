"""A step by its calibration, and how far a paced length may be off."""

from math import sqrt

import numpy as np
import pytest
from scipy import stats

from engine.calc.limits import OutOfRange
from engine.calc.measuring.pacing import StepLength, paced_share, step_length, student_t


@pytest.mark.independent
@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 5, 9, 10, 30, 99])
def test_half_width_of_students_t_is_that_of_scipy(freedom: int) -> None:
    assert student_t(freedom) == pytest.approx(stats.t.ppf(0.95, freedom), rel=1e-9)


@pytest.mark.closed_form
def test_a_step_is_the_tape_over_the_mean_count() -> None:
    step = step_length(100.0, (41, 40, 42), 0.03)
    assert step.mean_ft == pytest.approx(100 / 41)
    assert step.scatter == pytest.approx(1 / 41)
    assert (step.steps, step.counts) == (41, 3)


@pytest.mark.closed_form
def test_counts_that_agree_still_round_to_the_whole_step() -> None:
    assert step_length(100.0, (40, 40, 40), 0.03).scatter == pytest.approx(1 / sqrt(12) / 40)


def test_one_count_scatters_as_it_is_judged() -> None:
    assert step_length(100.0, (40,), 0.03) == StepLength(2.5, 0.03, 40.0, 1)


@pytest.mark.independent
def test_the_share_is_the_prediction_interval_of_one_more_walk() -> None:
    """Of a normal sample, as the statistics library works out its parts; scatter and mean of the counts."""
    counts = (41.0, 43.0, 40.0, 42.0)
    wide = stats.t.interval(0.9, len(counts) - 1, loc=0, scale=np.std(counts, ddof=1) * sqrt(1 + 1 / len(counts)))[1]
    assert paced_share(step_length(100.0, counts, 0.03), 90) == pytest.approx(wide / np.mean(counts), rel=1e-9)


@pytest.mark.closed_form
def test_fewer_steps_than_the_calibration_scatter_more() -> None:
    step = step_length(100.0, (41, 40, 42), 0.03)
    assert paced_share(step, 41 / 4) / paced_share(step, 41) == pytest.approx(sqrt((1 / 3 + 4) / (1 / 3 + 1)))
    assert paced_share(step, 82) == paced_share(step, 41)


@pytest.mark.independent
def test_nine_walks_in_ten_of_a_known_length_lie_inside() -> None:
    """A line taped at 250 ft, walked by a crew whose counts scatter by 4 %: each time calibrated by four walks over a taped 100 ft."""
    rng = np.random.default_rng(41)
    inside, trials = 0, 4000
    for _ in range(trials):
        counts = tuple(40 * (1 + 0.04 * rng.standard_normal(4)))
        paces = 100 * (1 + 0.04 * rng.standard_normal())
        step = step_length(100.0, counts, 0.03)
        inside += abs(paces * step.mean_ft - 250.0) <= paced_share(step, paces) * paces * step.mean_ft
    assert inside / trials == pytest.approx(0.9, abs=0.015)


@pytest.mark.parametrize(("taped_ft", "counts"), [(0.0, (40,)), (100.0, ()), (100.0, (40, 0))])
def test_no_step_without_a_tape_or_a_count(taped_ft: float, counts: tuple[float, ...]) -> None:
    with pytest.raises(OutOfRange):
        step_length(taped_ft, counts, 0.03)


def test_no_length_without_paces() -> None:
    with pytest.raises(OutOfRange):
        paced_share(StepLength(2.5, 0.03, 40.0, 1), 0)


def test_a_sample_of_one_has_no_scatter() -> None:
    with pytest.raises(OutOfRange):
        student_t(0)
