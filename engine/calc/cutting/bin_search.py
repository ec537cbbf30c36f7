"""A search for a packing into a given number of bins, bin by bin."""

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import accumulate

from engine.calc.cutting.effort import Effort
from engine.calc.cutting.fewest_bins import fewest_bins

THIN_STEPS = 100
"""Steps spent on the fillings of one bin in the quick search, which then counts as having left some out."""
PIECE_COST = 0.03
"""What one more piece in a filling weighs beside waste, as a share of the capacity: small pieces are kept to fill gaps with."""


def search_bins(falling: Sequence[int], capacity: int, target: int, effort: Effort) -> tuple[list[list[int]], bool]:
    """A packing into `target` bins or none, and whether none means that there is none.

    A quick search that leaves fillings out, then a full one; each gets half of what is left of the effort.
    falling: sizes from the largest down, each from 1 to `capacity`.  target: 0 or more.  effort: what the work is taken off.
    Returns: the bins, or none; whether the search left nothing out.
    Source: R. E. Korf, A new algorithm for optimal bin packing, AAAI 2002 (bin completion); from memory.
    Valid for: any sizes in range; where the effort ends first it says so.
    """
    for thin in (True, False):
        search = _Search(falling, capacity, target, effort.share(2), thin=thin)
        found = search.run()
        if found or search.complete:
            return found, True
    return [], False


class _Search:
    """Depth-first search for a packing into a given number of bins; each step fills one bin round the largest size left."""

    def __init__(self, falling: Sequence[int], capacity: int, target: int, effort: Effort, *, thin: bool) -> None:
        counts = Counter(falling)
        self.sizes = sorted(counts, reverse=True)
        self.negated = [-size for size in self.sizes]
        self.counts = [counts[size] for size in self.sizes]
        self.capacity = capacity
        self.target = target
        self.spare = target * capacity - sum(falling)
        self.effort = effort
        self.thin = thin
        self.complete = True

    def run(self) -> list[list[int]]:
        """The bins, or none."""
        filled: list[tuple[int, ...]] = []
        hopeless: set[tuple[int, ...]] = set()
        choices = [iter(self._fillings())]
        while choices and self.effort.spend(1 + len(self.counts) // 10):
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
        self.complete &= not self.effort.is_spent
        return []

    def _take(self, filling: Sequence[int], sign: int) -> None:
        for at in filling:
            self.counts[at] -= sign
        self.spare -= sign * (self.capacity - sum(self.sizes[at] for at in filling))

    def _bound(self) -> int:
        self.effort.spend(4 * sum(self.counts))
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
        self.effort.spend(len(counts) // 2)
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
            if not self.effort.spend(2) or (self.thin and found and steps > THIN_STEPS):
                self.complete = False
                return
            filling.append(at)
            counts[at] -= 1
            left -= self.sizes[at]

    def _next_fitting(self, at: int, left: int, counts: Sequence[int]) -> int:
        at = max(at, bisect_left(self.negated, -left))
        start = at
        while at < len(counts) and not counts[at]:
            at += 1
        self.effort.spend((at - start) // 4)
        return at

    def _dominated(self, waste: int, filling: Sequence[int], counts: Sequence[int]) -> bool:
        """Whether some size left over could take the place of part of the filling and leave the other bins easier.

        It may fill waste, or replace pieces that add up to it or less, by no more than the waste; one piece only by a larger one.
        """
        most_pieces = {0: 0}
        for at in filling[1:]:
            if not self.effort.spend(len(most_pieces)):
                return False
            for total, pieces in list(most_pieces.items()):
                more = total + self.sizes[at]
                most_pieces[more] = max(most_pieces.get(more, 0), pieces + 1)
        for total, pieces in most_pieces.items():
            lowest = total + 1 if pieces == 1 else total
            at = start = bisect_left(self.negated, -(total + waste))
            while at < len(counts) and self.sizes[at] >= lowest:
                if counts[at]:
                    return True
                at += 1
            if not self.effort.spend(1 + (at - start) // 4):
                return False
        return False
