"""E. Falkenauer's bin packing instance u120_00, in J. E. Beasley's OR-Library (file binpack1.txt).

J. E. Beasley, OR-Library: distributing test problems by electronic mail, Journal of the Operational Research Society 41 (1990) 1069-1072.
E. Falkenauer, A hybrid grouping genetic algorithm for bin packing, Journal of Heuristics 2 (1996) 5-30.
Capacity 150, 120 items, 48 bins in the best solution, as the file lists it.
"""

import pytest

from engine.calc.cutting.bin_packing import best_fit_decreasing
from engine.calc.cutting.fewest_bins import fewest_bins
from tests.published.on_a_job import cut_from_rolls

U120_00 = [
    *(42, 69, 67, 57, 93, 90, 38, 36, 45, 42, 33, 79, 27, 57, 44, 84, 86, 92, 46, 38, 85, 33, 82, 73),
    *(49, 70, 59, 23, 57, 72, 74, 69, 33, 42, 28, 46, 30, 64, 29, 74, 41, 49, 55, 98, 80, 32, 25, 38),
    *(82, 30, 35, 39, 57, 84, 62, 50, 55, 27, 30, 36, 20, 78, 47, 26, 45, 41, 58, 98, 91, 96, 73, 84),
    *(37, 93, 91, 43, 73, 85, 81, 79, 71, 80, 76, 83, 41, 78, 70, 23, 42, 87, 43, 84, 60, 55, 49, 78),
    *(73, 62, 36, 44, 94, 69, 32, 96, 70, 84, 58, 78, 25, 80, 58, 66, 83, 24, 98, 60, 42, 43, 43, 39),
]


@pytest.mark.published
def test_u120_00_takes_48_bins_and_is_proven() -> None:
    """As feet of wire: 120 loops, cut from rolls of 150 ft."""
    walked = cut_from_rolls(tuple(map(float, U120_00)), 150.0)
    plan = walked.fabric.wire_rolls
    assert (len(plan.rolls), plan.lower_bound, plan.proven) == (48, 48, True)
    assert plan.unplaced == ()
    assert {row.stock: row.packs for row in walked.takeoff.rows}["wire-48"] == 48


@pytest.mark.independent
def test_u120_00_greedy_takes_49_and_the_bound_is_48() -> None:
    """Recomputed from the list: sum 7,078, 47.19 bins; best-fit decreasing 49."""
    falling = sorted(U120_00, reverse=True)
    assert (len(falling), sum(falling)) == (120, 7078)
    assert fewest_bins(falling, 150) == 48
    assert len(best_fit_decreasing(falling, 150)) == 49
