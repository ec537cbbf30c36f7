"""Packing whole numbers into the fewest bins of one capacity: bounds, a quick packing, and a search where they leave a gap."""

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate
from operator import neg

from engine.calc.limits import OutOfRange

THIN_STEPS = 100
"""Steps spent on the fillings of one bin in the quick search, which then counts as having left some out."""
PIECE_COST = 0.03
"""What one more piece in a filling weighs beside waste, as a share of the capacity: small pieces are kept to fill gaps with."""


FULL_EFFORT = 60
"""Different sizes up to which the search gets all the steps it is allowed."""


@dataclass(frozen=True)
class Packing:
    """Bins of sizes, the fewest bins any packing can have as far as is known, and whether these are as few."""

    bins: tuple[tuple[int, ...], ...]
    lower_bound: int

    @property
    def proven(self) -> bool:
        """Whether no packing takes fewer bins."""
        return len(self.bins) == self.lower_bound


def pack(sizes: Sequence[int], capacity: int, steps_a_piece: int = 200) -> Packing:
    """Sizes packed into the fewest bins of one capacity that a search of limited effort finds.

    Best-fit decreasing first; only where the lower bound is below it, bins filled one by one as full as can be; then each count from
    the bound up is searched for, bin by bin.
    sizes: whole numbers from 1 to `capacity`.  capacity: 1 or more.
    steps_a_piece: steps allowed, times the number of sizes, for each of the two searches of one count (10 to 20 microseconds a step); past
    60 different sizes far fewer, since each step costs more and finds less, so that the whole search stays short. No clock: the result is
    the same on every machine.
    Returns: the bins, sizes falling within each; the lower bound; `proven`.
    Raises: OutOfRange for a size outside its range.
    Source: S. Martello, P. Toth, Knapsack Problems, 1990, ch. 8 (bound L2, dominance); R. E. Korf, A new algorithm for optimal bin
    packing, AAAI 2002 (bin completion); both from memory.
    Valid for: any number of sizes; beyond about 60 with two or three to a bin it often ends unproven, and says so.
    Example: 42, 42, 36, 24, 24 and 18 in bins of 100: two bins, where first-fit decreasing takes three.
    """
    for size in sizes:
        if not 1 <= size <= capacity:
            raise OutOfRange("size", size, f"1 to {capacity}", "a piece has to fit a bin")
    falling = sorted(sizes, reverse=True)
    bins = best_fit_decreasing(falling, capacity)
    bound = target = fewest_bins(falling, capacity)
    if bound < len(bins):
        bins = min(bins, fullest_first(falling, capacity), key=len)
    steps = int(steps_a_piece * len(falling) * min(1.0, (FULL_EFFORT / max(len(set(falling)), 1)) ** 6))
    while target < len(bins):
        found, complete = _try(falling, capacity, target, steps)
        if found:
            bins = found
        elif complete and bound == target:
            bound += 1
        target += 1
    return Packing(tuple(tuple(each) for each in bins), bound)


def best_fit_decreasing(falling: Sequence[int], capacity: int) -> list[list[int]]:
    """Each size, largest first, put into the fullest bin that still holds it.

    falling: sizes from the largest down, each at most `capacity`.
    Returns: the bins.
    Source: D. S. Johnson, Near-optimal bin packing algorithms, 1973; from memory.
    Valid for: any sizes in range; at most about 11/9 of the fewest bins.
    """
    bins: list[list[int]] = []
    left: list[int] = []
    for size in falling:
        fitting = [(room, at) for at, room in enumerate(left) if room >= size]
        if fitting:
            at = min(fitting)[1]
            bins[at].append(size)
            left[at] -= size
        else:
            bins.append([size])
            left.append(capacity - size)
    return bins


def fullest_first(falling: Sequence[int], capacity: int) -> list[list[int]]:
    """One bin after another filled round the largest size left, with the largest that fit and at last the best one or two.

    falling: sizes from the largest down, each at most `capacity`.
    Returns: the bins.
    Source: after J. N. D. Gupta, J. C. Ho, A new heuristic for one-dimensional bin packing, 1999 (least slack, bin by bin); the best pair
    is derived.
    Valid for: any sizes in range; takes time with the square of their number.
    """
    left = list(falling)
    bins = []
    while left:
        bins.append(_fullest(left, capacity))
        for size in bins[-1]:
            left.remove(size)
    return bins


def _fullest(falling: Sequence[int], capacity: int) -> list[int]:
    taken, rest, room = [falling[0]], falling[1:], capacity - falling[0]
    best, least = taken, room
    while rest := rest[bisect_left(rest, -room, key=neg) :]:
        for more in ([rest[0]], _best_pair(rest, room)):
            if more and room - sum(more) < least:
                best, least = taken + more, room - sum(more)
        taken, room, rest = [*taken, rest[0]], room - rest[0], rest[1:]
    return best


def _best_pair(falling: Sequence[int], room: int) -> list[int]:
    """The two sizes that together fill the room best; none where no two fit."""
    low, high = 0, len(falling) - 1
    best: list[int] = []
    while low < high:
        both = falling[low] + falling[high]
        if both > room:
            low += 1
        else:
            best = max(best, [falling[low], falling[high]], key=sum)
            high -= 1
    return best


def fewest_bins(falling: Sequence[int], capacity: int) -> int:
    """A number of bins that no packing can do with less than: the better of two bounds.

    falling: sizes from the largest down, each from 1 to `capacity`.
    Returns: a count, 0 for no sizes.
    Source: bound L2 of S. Martello, P. Toth, Knapsack Problems, 1990, section 8.3, from memory; and derived: how many bins can hold one
    piece more than the rest, see `_by_count`.
    Valid for: any sizes in range.
    Example: five sizes of 60 in bins of 100: 5, though they add up to 3 bins.
    """
    return max(_by_size(falling, capacity), _by_count(falling, capacity))


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


def _by_count(falling: Sequence[int], capacity: int) -> int:
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
        prefixes = sums[dropped + most :: most]
        full = bisect_left(range(len(prefixes)), True, key=lambda t: prefixes[t] - sums[dropped] > capacity * (t + 1))
        best = max(best, -(-(count - dropped - full) // (most - 1)))
    return best


def _try(falling: Sequence[int], capacity: int, target: int, budget: int) -> tuple[list[list[int]], bool]:
    """A packing into `target` bins or none, and whether none means that there is none."""
    for thin in (True, False):
        search = _Search(falling, capacity, target, budget, thin=thin)
        found = search.run()
        if found or search.complete:
            return found, True
    return [], False


class _Search:
    """Depth-first search for a packing into a given number of bins; each step fills one bin round the largest size left."""

    def __init__(self, falling: Sequence[int], capacity: int, target: int, budget: int, *, thin: bool) -> None:
        counts = Counter(falling)
        self.sizes = sorted(counts, reverse=True)
        self.negated = [-size for size in self.sizes]
        self.counts = [counts[size] for size in self.sizes]
        self.capacity = capacity
        self.target = target
        self.spare = target * capacity - sum(falling)
        self.steps_left = budget
        self.thin = thin
        self.complete = True

    def run(self) -> list[list[int]]:
        """The bins, or none."""
        filled: list[tuple[int, ...]] = []
        hopeless: set[tuple[int, ...]] = set()
        choices = [iter(self._fillings())]
        while choices and self.steps_left > 0:
            filling = next(choices[-1], None)
            if filling is None:
                choices.pop()
                hopeless.add((len(filled), *self.counts))
                if filled:
                    self._take(filled.pop(), -1)
                continue
            self._take(filling, 1)
            filled.append(filling)
            if not any(self.counts):
                return [[self.sizes[at] for at in each] for each in filled]
            dead = (len(filled), *self.counts) in hopeless or len(filled) + self._bound() > self.target
            choices.append(iter(() if dead else self._fillings()))
        self.complete &= self.steps_left > 0
        return []

    def _take(self, filling: Sequence[int], sign: int) -> None:
        for at in filling:
            self.counts[at] -= sign
        self.spare -= sign * (self.capacity - sum(self.sizes[at] for at in filling))

    def _bound(self) -> int:
        return fewest_bins([size for size, count in zip(self.sizes, self.counts, strict=True) for _ in range(count)], self.capacity)

    def _fillings(self) -> list[tuple[int, ...]]:
        """Fillings of the next bin that no other is sure to be as good as, the most promising first."""
        found = []
        for waste, filling, counts in self._every_filling():
            if not self._dominated(waste, filling, counts):
                found.append((waste + PIECE_COST * self.capacity * len(filling), waste, filling))
        return [filling for _, _, filling in sorted(found)]

    def _every_filling(self) -> Iterator[tuple[int, tuple[int, ...], list[int]]]:
        """Waste, filling and what it leaves, for each filling round the largest size that wastes no more than can be spared."""
        counts = self.counts.copy()
        first = next(at for at, count in enumerate(counts) if count)
        counts[first] -= 1
        rest = [*accumulate((size * count for size, count in zip(reversed(self.sizes), reversed(counts), strict=True)), initial=0)][::-1]
        filling, at, left, steps, found = [first], first, self.capacity - self.sizes[first], 0, False
        while True:
            if left <= self.spare:
                found = True
                yield left, tuple(filling), counts
            at = self._next_fitting(at, left, counts)
            while left - rest[at] > self.spare or at == len(counts):
                if len(filling) == 1:
                    return
                back = filling.pop()
                counts[back] += 1
                left += self.sizes[back]
                at = self._next_fitting(back + 1, left, counts)
            steps += 1
            self.steps_left -= 1
            if self.steps_left <= 0 or (self.thin and found and steps > THIN_STEPS):
                self.complete = False
                return
            filling.append(at)
            counts[at] -= 1
            left -= self.sizes[at]

    def _next_fitting(self, at: int, left: int, counts: Sequence[int]) -> int:
        at = max(at, bisect_left(self.negated, -left))
        while at < len(counts) and not counts[at]:
            at += 1
        return at

    def _dominated(self, waste: int, filling: Sequence[int], counts: Sequence[int]) -> bool:
        """Whether some size left over could take the place of part of the filling and leave the other bins easier.

        It may fill waste, or replace pieces that add up to it or less, by no more than the waste; one piece only by a larger one.
        """
        most_pieces = {0: 0}
        for at in filling[1:]:
            for total, pieces in list(most_pieces.items()):
                more = total + self.sizes[at]
                most_pieces[more] = max(most_pieces.get(more, 0), pieces + 1)
        for total, pieces in most_pieces.items():
            lowest = total + 1 if pieces == 1 else total
            at = bisect_left(self.negated, -(total + waste))
            while at < len(counts) and self.sizes[at] >= lowest:
                if counts[at]:
                    return True
                at += 1
        return False
