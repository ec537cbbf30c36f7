"""A number of bins that no packing can do with less than, by sizes and by counts."""

from bisect import bisect_left
from collections.abc import Sequence
from itertools import accumulate
from math import inf


def fewest_bins(falling: Sequence[int], capacity: int, enough: float = inf) -> int:
    """A number of bins that no packing can do with less than: the better of two bounds.

    falling: sizes from the largest down, each from 1 to `capacity`.  enough: a count that nothing better is asked than.
    Returns: a count, 0 for no sizes.
    Source: bound L2 of S. Martello, P. Toth, Knapsack Problems, 1990, section 8.3, from memory; and derived: how many bins can hold one
    piece more than the rest, see `_by_count`.
    Valid for: any sizes in range.
    Example: five sizes of 60 in bins of 100: 5, though they add up to 3 bins.
    """
    by_count = _by_count(falling, capacity, enough)
    return by_count if by_count >= enough else max(by_count, _by_size(falling, capacity))


def _by_size(falling: Sequence[int], capacity: int) -> int:
    """L2: for each threshold, sizes over capacity - threshold stand alone, sizes over half don't meet, the rest fill what is left."""
    sums = list(accumulate(falling, initial=0))
    rising_negated = [-size for size in falling]
    over_half = bisect_left(rising_negated, -(capacity // 2))
    best = -(-sums[-1] // capacity)
    for threshold in {size for size in falling[over_half:]}:
        alone = bisect_left(rising_negated, threshold - capacity)
        counted = bisect_left(rising_negated, 1 - threshold)
        room = (over_half - alone) * capacity - (sums[over_half] - sums[alone])
        overflow = sums[counted] - sums[over_half] - room
        best = max(best, over_half + max(0, -(-overflow // capacity)))
    return max(best, over_half)


def _by_count(falling: Sequence[int], capacity: int, enough: float) -> int:
    """For the sizes from each threshold up: if a bin holds at most m, and t bins at most can hold m at once, ceil((n - t)/(m - 1)).

    The t bins hold t * m sizes, at least the smallest t * m, and no more than t capacities.
    """
    sums = list(accumulate(reversed(falling), initial=0))
    count = len(falling)
    best = 0
    for dropped in range(count):
        most = bisect_left(sums, sums[dropped] + capacity + 1) - 1 - dropped
        if most == 1:
            return max(best, count - dropped)
        sets = range(1, (count - dropped) // most + 1)
        full = bisect_left(sets, True, key=lambda t: sums[dropped + most * t] - sums[dropped] > capacity * t)
        best = max(best, -(-(count - dropped - full) // (most - 1)))
        if best >= enough:
            break
    return best
