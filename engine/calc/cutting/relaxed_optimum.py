"""How few bins there would be if a bin could be filled in parts: a bound by weights, and the fillings it rests on."""

from collections.abc import Mapping, Sequence

from engine.calc.cutting.effort import Effort
from engine.calc.frozen import dataclass
from engine.calc.large_libraries import Floats, np

WEIGHT_SCALE = 1 << 30
"""Weights are whole multiples of one over this: the bound is worked out in whole numbers and no rounding can raise it."""
WORTH_A_FILLING = 1e-7
"""How much more than a bin the pieces of a filling must weigh to be taken up."""
SMALL_PIVOT = 1e-9
ELEMENTS_A_LOOK = 300
"""Numbers of an array that are worked through in the time of one look."""


@dataclass(frozen=True)
class RelaxedOptimum:
    """A number of bins that no packing does with less than, and how often each filling, counts by size, is used whole."""

    lower_bound: int
    fillings: tuple[tuple[int, Mapping[int, int]], ...]


def relaxed_optimum(counts: Mapping[int, int], capacity: int, effort: Effort) -> RelaxedOptimum:
    """The linear relaxation of bin packing by column generation: min sum x_p over fillings p, with sum a_ip x_p = n_i and x_p >= 0.

    Any weights w_i >= 0 give a bound: if no filling weighs more than M, no packing has fewer than sum(w_i n_i) / M bins. The weights are
    the prices of the relaxation rounded down to whole numbers, and M is found in whole numbers: the bound is sure though prices aren't.
    counts: how many there are of each size, sizes from 1 to `capacity`, counts 1 or more.  effort: what the work is taken off.
    Returns: the best bound met, 0 if none; the fillings of the last solution with the whole part of their number, together never more
    than `counts`.
    Source: P. C. Gilmore, R. E. Gomory, A linear programming approach to the cutting-stock problem, Operations Research 9, 1961; the
    bound on the way is A. A. Farley, A note on bounding a class of linear programming problems, 1990; both from memory.
    Valid for: any counts; where the effort ends first, the bound is lower and fewer fillings are whole.
    Example: 10 of 34 in bins of 100: 5, though 340 fill 3.4 bins.
    """
    sizes = sorted(counts, reverse=True)
    asked = [counts[size] for size in sizes]
    most = [min(count, capacity // size) for size, count in zip(sizes, asked, strict=True)]
    basis: list[Mapping[int, int]] = [{at: each} for at, each in enumerate(most)]
    inverse: Floats = np.diag(1.0 / np.array(most, dtype=float))
    amounts: Floats = np.array(asked, dtype=float) / most
    prices: Floats = 1.0 / np.array(most, dtype=float)
    bound = 0
    while effort.spend(len(sizes) + len(sizes) ** 2 // ELEMENTS_A_LOOK):
        weights = [max(0, int(price * WEIGHT_SCALE)) for price in prices.tolist()]
        best = _heaviest_filling(sizes, weights, most, capacity, effort)
        if best is None:
            break
        filling, weight = best
        bound = max(bound, -(-sum(w * n for w, n in zip(weights, asked, strict=True)) // weight))
        gain = sum(count * float(prices[at]) for at, count in filling.items()) - 1.0
        if gain < WORTH_A_FILLING or not _enter(filling, gain, basis, inverse, amounts, prices):
            break
    whole = [(int(amount + WORTH_A_FILLING), {sizes[at]: n for at, n in each.items()}) for amount, each in zip(amounts, basis, strict=True)]
    return RelaxedOptimum(bound, tuple(_within(counts, whole)))


def _enter(
    filling: Mapping[int, int],
    gain: float,
    basis: list[Mapping[int, int]],
    inverse: Floats,
    amounts: Floats,
    prices: Floats,
) -> bool:
    """One step of the revised simplex method, number by number so that every machine rounds alike; False where no filling can leave."""
    column = np.zeros(len(basis))
    for at, count in filling.items():
        column += inverse[:, at] * count
    able = np.flatnonzero(column > SMALL_PIVOT)
    if not len(able):
        return False
    leaves = int(able[np.argmin(amounts[able] / column[able])])
    row = inverse[leaves] / column[leaves]
    step = max(0.0, float(amounts[leaves] / column[leaves]))
    prices -= gain * row
    inverse -= np.outer(column, row)
    inverse[leaves] = row
    amounts -= step * column
    amounts[leaves] = step
    basis[leaves] = filling
    return True


def _within(counts: Mapping[int, int], whole: Sequence[tuple[int, Mapping[int, int]]]) -> list[tuple[int, Mapping[int, int]]]:
    """The fillings that are used at all, each no oftener than what is left of its sizes allows."""
    left = dict(counts)
    kept = []
    for times, filling in whole:
        able = min(times, *(left[size] // count for size, count in filling.items()))
        if able > 0:
            kept.append((able, filling))
            for size, count in filling.items():
                left[size] -= able * count
    return kept


def _heaviest_filling(
    sizes: Sequence[int], weights: Sequence[int], most: Sequence[int], capacity: int, effort: Effort
) -> tuple[dict[int, int], int] | None:
    """The filling that weighs most, as counts by place in `sizes`, and its weight; none where the effort ends before it is sure.

    Depth first, the heaviest for its size first; a branch ends where even the next one's weight for its size can't fill the room to more.
    """
    order = sorted((at for at, weight in enumerate(weights) if weight), key=lambda at: (-weights[at] / sizes[at], at))
    heft = [(sizes[at], weights[at], most[at]) for at in order]
    if not heft:
        return None
    smallest = [0] * len(heft)
    least = capacity + 1
    for place in range(len(heft) - 1, -1, -1):
        least = smallest[place] = min(least, heft[place][0])
    taken: list[tuple[int, int]] = []
    best: list[tuple[int, int]] = []
    best_weight = weight = place = looks = 0
    room = capacity
    while True:
        while place < len(heft) and room >= smallest[place]:
            size, heavy, limit = heft[place]
            looks += 1
            if weight * size + room * heavy <= best_weight * size:
                break
            count = min(limit, room // size)
            if count:
                taken.append((place, count))
                room -= count * size
                weight += count * heavy
            place += 1
        if weight > best_weight:
            best_weight, best = weight, list(taken)
        if not effort.spend(1 + looks):
            return None
        looks = 0
        if not taken:
            return {order[at]: count for at, count in best}, best_weight
        place, count = taken.pop()
        room += heft[place][0]
        weight -= heft[place][1]
        if count > 1:
            taken.append((place, count - 1))
        place += 1
