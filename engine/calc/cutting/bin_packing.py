"""Packing whole numbers into the fewest bins of one capacity: bounds, quick packings, and a search where they leave a gap."""

from bisect import bisect_left, insort
from collections import Counter
from collections.abc import Sequence
from operator import neg

from engine.calc.cutting.bin_search import search_bins
from engine.calc.cutting.effort import Effort
from engine.calc.cutting.fewest_bins import fewest_bins
from engine.calc.cutting.relaxed_optimum import RelaxedOptimum, relaxed_optimum
from engine.calc.frozen import dataclass
from engine.calc.limits import OutOfRange

FULL_EFFORT = 200_000
"""Looks at a size that one plan may take: under a twentieth of a second, for a walk may make it anew."""
QUICK = 20
"""A first search by bins takes a part of so many of the effort: of few sizes it mostly finds what the rest would."""
MOST_QUICK = 250
"""Sizes beyond which that part is spent before the search has begun."""


@dataclass(frozen=True)
class Packing:
    """Bins of sizes, the fewest bins any packing can have as far as is known, and whether these are as few."""

    bins: tuple[tuple[int, ...], ...]
    lower_bound: int

    @property
    def proven(self) -> bool:
        """Whether no packing takes fewer bins."""
        return len(self.bins) == self.lower_bound


def pack(sizes: Sequence[int], capacity: int, effort: int = FULL_EFFORT) -> Packing:
    """Sizes packed into the fewest bins of one capacity that a search of limited effort finds.

    Best-fit decreasing first; only where the lower bound is below it, bins filled one by one as full as can be; of few sizes a short
    search bin by bin; then the relaxed optimum raises the bound, and its fillings are used as often as they are whole and the rest packed
    by search; at last each count from the bound up is searched for, bin by bin.
    sizes: whole numbers from 1 to `capacity`.  capacity: 1 or more.
    effort: looks at a size allowed in all, well under a microsecond each. No clock: the result is the same on every machine.
    Returns: the bins, sizes falling within each; the lower bound; `proven`.
    Raises: OutOfRange for a size outside its range.
    Source: S. Martello, P. Toth, Knapsack Problems, 1990, ch. 8 (bound L2, dominance); R. E. Korf, A new algorithm for optimal bin
    packing, AAAI 2002 (bin completion); both from memory; see `relaxed_optimum`.
    Valid for: any number of sizes; beyond about 60 different ones with two or three to a bin it often ends unproven, and says so.
    Example: 42, 42, 36, 24, 24 and 18 in bins of 100: two bins, where first-fit decreasing takes three.
    """
    for size in sizes:
        if not 1 <= size <= capacity:
            raise OutOfRange("size", size, f"1 to {capacity}", "a piece has to fit a bin")
    falling = sorted(sizes, reverse=True)
    bins = best_fit_decreasing(falling, capacity)
    if sum(falling) > capacity * (len(bins) - 1):  # one bin less can't hold what there is: most often so
        return Packing(tuple(map(tuple, bins)), len(bins))
    bound = fewest_bins(falling, capacity, len(bins))
    left = Effort(effort)
    if bound < len(bins):
        bins = min(bins, fullest_first(falling, capacity, left.share(4)), key=len)
    if bound < len(bins) and len(falling) <= MOST_QUICK:
        bins, bound = _closed(falling, capacity, bins, bound, left.share(QUICK))
    if bound < len(bins):
        relaxed = relaxed_optimum(Counter(falling), capacity, left.share(3))
        bound = max(bound, relaxed.lower_bound)
        if bound < len(bins):
            bins = min(bins, _whole_fillings_first(falling, capacity, relaxed, bound, left.share(3)), key=len)
    bins, bound = _closed(falling, capacity, bins, bound, left)
    return Packing(tuple(tuple(each) for each in bins), bound)


def _closed(falling: Sequence[int], capacity: int, bins: list[list[int]], bound: int, effort: Effort) -> tuple[list[list[int]], int]:
    """The gap between bins and bound made smaller as far as the effort goes: each count from the bound up is searched for."""
    target = bound
    while target < len(bins) and not effort.is_spent:
        found, complete = search_bins(falling, capacity, target, effort)
        if found:
            bins = found
        elif complete and bound == target:
            bound += 1
        target += 1
    return bins, bound


def _whole_fillings_first(falling: Sequence[int], capacity: int, relaxed: RelaxedOptimum, bound: int, effort: Effort) -> list[list[int]]:
    """The relaxed optimum's fillings as often as they are whole, and what they leave packed by itself."""
    whole = [sorted(Counter(filling).elements(), reverse=True) for times, filling in relaxed.fillings for _ in range(times)]
    left = Counter(falling)
    left.subtract(size for filling in whole for size in filling)
    rest = sorted(left.elements(), reverse=True)
    quick = min(best_fit_decreasing(rest, capacity), fullest_first(rest, capacity, effort.share(4)), key=len)
    return whole + _closed(rest, capacity, quick, max(bound - len(whole), 0), effort)[0]


def best_fit_decreasing(falling: Sequence[int], capacity: int) -> list[list[int]]:
    """Each size, largest first, put into the fullest bin that still holds it.

    falling: sizes from the largest down, each at most `capacity`.
    Returns: the bins.
    Source: D. S. Johnson, Near-optimal bin packing algorithms, 1973; from memory.
    Valid for: any sizes in range; at most about 11/9 of the fewest bins.
    """
    bins: list[list[int]] = []
    rooms: list[tuple[int, int]] = []
    for size in falling:
        fitting = bisect_left(rooms, (size, 0))
        if fitting < len(rooms):
            room, at = rooms.pop(fitting)
            bins[at].append(size)
        else:
            room, at = capacity, len(bins)
            bins.append([size])
        insort(rooms, (room - size, at))
    return bins


def fullest_first(falling: Sequence[int], capacity: int, effort: Effort) -> list[list[int]]:
    """One bin after another filled round the largest size left, with the largest that fit and at last the best one or two.

    falling: sizes from the largest down, each at most `capacity`.  effort: what the work is taken off; once spent, the rest is packed
    by best fit.
    Returns: the bins.
    Source: after J. N. D. Gupta, J. C. Ho, A new heuristic for one-dimensional bin packing, 1999 (least slack, bin by bin); the best pair
    is derived.
    Valid for: any sizes in range; equal sizes cost nothing.
    """
    left = Counter(falling)
    bins: list[list[int]] = []
    while left and not effort.is_spent:
        filling = _fullest(left, capacity, effort)
        asked = Counter(filling)
        times = min(left[size] // count for size, count in asked.items())
        bins += [list(filling) for _ in range(times)]
        for size, count in asked.items():
            left[size] -= times * count
            if not left[size]:
                del left[size]
    return bins + best_fit_decreasing(list(left.elements()), capacity)


def _fullest(left: Counter[int], capacity: int, effort: Effort) -> list[int]:
    """One filling; `left` counts the sizes, the largest first."""
    counts = Counter(left)
    largest = next(iter(counts))
    counts[largest] -= 1
    taken, room, sizes = [largest], capacity - largest, list(counts)
    best, least = taken, room
    while sizes := [size for size in sizes[bisect_left(sizes, -room, key=neg) :] if counts[size]]:
        effort.spend(2 * len(sizes))
        for more in ([sizes[0]], _best_pair(sizes, counts, room)):
            if more and room - sum(more) < least:
                best, least = taken + more, room - sum(more)
        counts[sizes[0]] -= 1
        taken, room = [*taken, sizes[0]], room - sizes[0]
    return best


def _best_pair(sizes: Sequence[int], counts: Counter[int], room: int) -> list[int]:
    """The two sizes that together fill the room best; none where no two fit."""
    low, high = 0, len(sizes) - 1
    best: list[int] = []
    while low < high or (low == high and counts[sizes[low]] > 1):
        both = sizes[low] + sizes[high]
        if both > room:
            low += 1
        else:
            best = max(best, [sizes[low], sizes[high]], key=sum)
            high -= 1
    return best
