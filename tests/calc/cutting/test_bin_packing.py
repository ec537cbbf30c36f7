"""Bin packing on whole numbers: small literal cases, an integer program as referee, and the laws."""

from collections.abc import Iterator
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from engine.calc.cutting.bin_packing import FULL_EFFORT, best_fit_decreasing, fullest_first, pack
from engine.calc.cutting.effort import Effort
from engine.calc.cutting.fewest_bins import fewest_bins
from engine.calc.limits import OutOfRange

sizes_lists = st.lists(st.integers(1, 100), min_size=1, max_size=40)


def fewest_by_milp(sizes: list[int], capacity: int) -> int:
    """The fewest bins by HiGHS: one column for each set of pieces that fits a bin, and each piece covered at least once."""
    most = capacity // min(sizes)
    sets = [each for count in range(1, most + 1) for each in combinations(range(len(sizes)), count)]
    sets = [each for each in sets if sum(sizes[at] for at in each) <= capacity]
    holds = np.zeros((len(sizes), len(sets)))
    for column, each in enumerate(sets):
        holds[list(each), column] = 1
    result = milp(np.ones(len(sets)), constraints=LinearConstraint(holds, 1, np.inf), integrality=np.ones(len(sets)), bounds=Bounds(0, 1))
    assert result.success
    fewest: int = round(result.fun)
    return fewest


@pytest.mark.independent
@pytest.mark.parametrize(
    ("sizes", "greedy", "fewest"),
    [
        ([42, 42, 36, 24, 24, 18], 3, 2),
        ([60, 48, 30, 24, 18, 12], 3, 2),
        ([60, 48, 36, 36, 30, 30, 24, 18], 4, 3),
    ],
)
def test_small_cases_where_greedy_is_beaten(sizes: list[int], greedy: int, fewest: int) -> None:
    """Constructed cases of section 18.4 of the check values, their fewest bins worked out there by an exact solver."""
    assert len(best_fit_decreasing(sizes, 100)) == greedy
    packing = pack(sizes, 100)
    assert (len(packing.bins), packing.proven) == (fewest, True)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("sizes", "bound"),
    [
        ([], 0),
        ([100], 1),
        ([60] * 5, 5),  # over half: alone
        ([60, 60, 45, 45, 45], 4),  # 45 fits beside no 60, two to a bin
        ([26] * 10, 4),  # three to a bin though four add up to 104
        ([40, 40, 40, 40, 40], 3),  # two to a bin
        ([34, 34, 34, 32, 32, 32, 50, 50], 3),
    ],
)
def test_fewest_bins_literal(sizes: list[int], bound: int) -> None:
    assert fewest_bins(sorted(sizes, reverse=True), 100) == bound


@pytest.mark.independent
@given(st.lists(st.integers(12, 70), min_size=1, max_size=12))
@settings(max_examples=40, deadline=None)
def test_agrees_with_an_integer_program_small(sizes: list[int]) -> None:
    packing = pack(sizes, 100)
    assert packing.proven
    assert len(packing.bins) == fewest_by_milp(sizes, 100)


@pytest.mark.independent
@pytest.mark.parametrize("seed", range(8))
def test_agrees_with_an_integer_program_at_25_pieces(seed: int) -> None:
    """Loop lengths of 40 to 60 ft, in tenths, from 150 ft: two or three to a roll, where greedy fails most often."""
    sizes = [int(size) for size in np.random.default_rng(seed).integers(400, 610, 25)]
    packing = pack(sizes, 1500)
    fewest = fewest_by_milp(sizes, 1500)
    assert packing.lower_bound <= fewest <= len(packing.bins)
    assert packing.proven
    assert len(packing.bins) == fewest


def fewest_by_patterns(sizes: list[int], capacity: int) -> int:
    """The fewest bins by HiGHS over cutting patterns: how often each way to fill a bin is cut, every size often enough."""
    kinds = sorted(set(sizes), reverse=True)

    def patterns(first: int, room: int) -> Iterator[tuple[int, ...]]:
        if first == len(kinds):
            yield ()
            return
        for count in range(room // kinds[first], -1, -1):
            yield from ((count, *rest) for rest in patterns(first + 1, room - count * kinds[first]))

    ways = np.array([way for way in patterns(0, capacity) if capacity - np.dot(way, kinds) < kinds[-1]]).T
    asked = [sizes.count(kind) for kind in kinds]
    result = milp(np.ones(ways.shape[1]), constraints=LinearConstraint(ways, asked, np.inf), integrality=np.ones(ways.shape[1]))
    assert result.success
    fewest: int = round(result.fun)
    return fewest


@pytest.mark.independent
@pytest.mark.parametrize("seed", range(6))
def test_agrees_with_an_integer_program_at_60_pieces(seed: int) -> None:
    """Cut lengths of 80 to 130 ft from 500 ft spools, a dozen lengths as a yard of like bays has them, 60 pieces in all."""
    draw = np.random.default_rng(seed)
    kinds = draw.choice(np.arange(80, 131), 12, replace=False)
    sizes = [int(size) for size in draw.choice(kinds, 60)]
    packing = pack(sizes, 500)
    assert packing.proven
    assert len(packing.bins) == packing.lower_bound == fewest_by_patterns(sizes, 500)


@given(sizes_lists)
@settings(max_examples=80, deadline=None)
def test_every_size_once_and_no_bin_over(sizes: list[int]) -> None:
    packing = pack(sizes, 100)
    assert sorted(size for each in packing.bins for size in each) == sorted(sizes)
    assert all(sum(each) <= 100 for each in packing.bins)
    assert packing.lower_bound <= len(packing.bins)


@given(sizes_lists)
@settings(max_examples=80, deadline=None)
def test_the_bound_is_under_every_packing(sizes: list[int]) -> None:
    falling = sorted(sizes, reverse=True)
    assert fewest_bins(falling, 100) <= len(pack(sizes, 100).bins) <= len(best_fit_decreasing(falling, 100))


def test_mixed_lists_of_60_are_mostly_proven() -> None:
    generator = np.random.default_rng(18)
    packings = [pack([int(size) for size in generator.integers(1000, 10_000, 60)], 10_000) for _ in range(10)]
    assert sum(packing.proven for packing in packings) >= 8


def test_says_when_it_gave_up() -> None:
    """With no effort allowed the bound of 3 stands beside the 4 bins found: 57 38, 48 31 21 and 47 34 19 are three."""
    packing = pack([57, 48, 47, 38, 34, 31, 21, 19], 100, effort=0)
    assert (len(packing.bins), packing.lower_bound, packing.proven) == (4, 3, False)


@pytest.mark.closed_form
def test_fullest_first_finds_the_pair_that_fills_the_bin() -> None:
    """Greedy puts 42 and 42 together and takes three bins; the pair 36 and 18 leaves 4 beside 42, no other leaves less."""
    assert fullest_first([42, 42, 36, 24, 24, 18], 100, Effort(FULL_EFFORT)) == [[42, 36, 18], [42, 24, 24]]


@given(sizes_lists)
@settings(max_examples=80, deadline=None)
def test_fullest_first_packs_each_size_once_and_no_bin_over(sizes: list[int]) -> None:
    bins = fullest_first(sorted(sizes, reverse=True), 100, Effort(FULL_EFFORT))
    assert sorted(size for each in bins for size in each) == sorted(sizes)
    assert all(sum(each) <= 100 for each in bins)


@pytest.mark.parametrize("size", [0, -1, 101])
def test_refuses_a_size_that_fits_no_bin(size: int) -> None:
    with pytest.raises(OutOfRange):
        pack([50, size], 100)


def looks_taken(monkeypatch: pytest.MonkeyPatch, sizes: list[int], capacity: int) -> int:
    """The effort that a packing takes, and that each size stands in it once and no bin is over."""
    taken = []
    counted = Effort.spend

    def spend(effort: Effort, looks: int) -> bool:
        taken.append(looks)
        return counted(effort, looks)

    monkeypatch.setattr(Effort, "spend", spend)
    packing = pack(sizes, capacity)
    assert sorted(size for each in packing.bins for size in each) == sorted(sizes)
    assert max(sum(each) for each in packing.bins) <= capacity
    return sum(taken)


@pytest.mark.parametrize(
    ("count", "kinds", "shortest", "longest", "capacity"),
    [
        (480, 4, 3000, 9000, 15_000),
        (1000, 100, 40_000, 4_800_000, 4_800_000),
        (2000, 2000, 20, 100, 150),
        (2000, 2000, 200, 10_000, 10_000),
        (2000, 2000, 100, 2000, 10_000),
        (2000, 20, 1, 50, 1000),
    ],
)
def test_ends_within_its_effort_whatever_the_counts(
    monkeypatch: pytest.MonkeyPatch, count: int, kinds: int, shortest: int, longest: int, capacity: int
) -> None:
    draw = np.random.default_rng(count + kinds)
    sizes = [int(size) for size in draw.choice(draw.integers(shortest, longest + 1, kinds), count)]
    assert looks_taken(monkeypatch, sizes, capacity) <= 1.05 * FULL_EFFORT


@pytest.mark.closed_form
def test_480_pieces_of_four_sizes_are_proven() -> None:
    """60 and 40 fill a bin, and so do 55 and 45: 240 bins without waste."""
    packing = pack([60, 40, 55, 45] * 120, 100)
    assert (len(packing.bins), packing.lower_bound) == (240, 240)


@pytest.mark.independent
@pytest.mark.parametrize("seed", range(4))
def test_480_pieces_of_four_sizes_agree_with_an_integer_program(seed: int) -> None:
    draw = np.random.default_rng(seed)
    sizes = [int(size) for size in draw.choice(draw.integers(3000, 9000, 4), 480)]
    packing = pack(sizes, 15_000)
    assert packing.proven
    assert len(packing.bins) == fewest_by_patterns(sizes, 15_000)
