"""Cable loops along a run, and things set at even spacing: where each begins and ends, and how many there are."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import accumulate, pairwise
from math import ceil, inf

from engine.calc.frozen import dataclass
from engine.calc.limits import OutOfRange, require_positive, require_within
from engine.calc.tolerances import ROUNDING_FT

UNITS_PER_FT = 1000

Goal = tuple[int, int, int, int, int]


@dataclass(frozen=True)
class Stakes:
    """Where the stakes go, in order, and the gaps that stay over the limit because nothing may be driven in them."""

    stations_ft: tuple[float, ...]
    uncovered: tuple[tuple[float, float], ...]


def partition_run(
    bay_lengths_ft: Sequence[float],
    can_break: Sequence[bool],
    min_ft: float = 40.0,
    max_ft: float = 60.0,
    breakable_preference: Sequence[int] | None = None,
) -> tuple[tuple[int, int], ...]:
    """The best partition of one gate-free run of bays into cable loops that follow one another, exactly.

    A loop's length is the sum of its bays, the long side of its rectangle. Best means, in this order: least total over `max_ft`; least
    total short of `min_ft`; fewest loops; least total of `breakable_preference` where loops meet; least sum of squared loop lengths,
    the most even loops; of equals, the earliest breaks.
    bay_lengths_ft: ft, each above 0, at least one.  can_break: for each support between two bays, whether loops may meet there.
    min_ft, max_ft: ft, 0 <= min_ft <= max_ft, max_ft above 0.
    breakable_preference: for each support between two bays a whole number, lower where a break is better; none: all alike.
    Returns: for each loop its first and last bay, counted from 0.
    Raises: OutOfRange for a value outside these ranges or a list of the wrong length.
    Source: derived: shortest path over the supports by dynamic programming; 40 to 60 ft is common practice, no source.
    Valid for: any run of up to a few hundred bays; lengths are compared in whole thousandths of a foot.
    Example: six 20 ft bays that may break anywhere: two loops of three bays, 60 ft each.
    """
    preference = [0] * len(can_break) if breakable_preference is None else list(breakable_preference)
    _check_run(bay_lengths_ft, can_break, preference, min_ft, max_ft)
    ends = [round(length * UNITS_PER_FT) for length in accumulate(bay_lengths_ft, initial=0.0)]
    shortest, longest = round(min_ft * UNITS_PER_FT), round(max_ft * UNITS_PER_FT)
    count = len(bay_lengths_ft)
    best: dict[int, tuple[Goal, tuple[int, ...]]] = {count: ((0, 0, 0, 0, 0), ())}
    for first in range(count - 1, -1, -1):
        if first and not can_break[first - 1]:
            continue
        met = preference[first - 1] if first else 0
        best[first] = min(
            (_plus(best[after][0], ends[after] - ends[first], shortest, longest, met), (after, *best[after][1]))
            for after in _near_enough(reversed(best), ends, first, longest)
        )
    breaks = (0, *best[0][1])
    return tuple((first, after - 1) for first, after in pairwise(breaks))


def _near_enough(breaks: Iterable[int], ends: Sequence[int], first: int, longest: int) -> Iterator[int]:
    """Breaks, nearest first, up to the first that makes a loop too long: a longer loop yet is less over when it is broken there."""
    reach = None
    for after in breaks:
        length = ends[after] - ends[first]
        if reach is not None and length > reach:
            return
        if length > longest:
            reach = length
        yield after


def _check_run(bays: Sequence[float], can_break: Sequence[bool], preference: Sequence[int], min_ft: float, max_ft: float) -> None:
    if not bays:
        raise OutOfRange("bay_lengths_ft", 0, "1 bay or more", "a run without bays has no loops")
    for name, inner in (("can_break", can_break), ("breakable_preference", preference)):
        if len(inner) != len(bays) - 1:
            raise OutOfRange(name, len(inner), f"{len(bays) - 1} long", "one for each support between two bays")
    for bay in bays:
        require_positive(bay_length_ft=bay)
    require_positive(max_ft=max_ft)
    require_within(0, max_ft, "the shortest loop can't pass the longest", min_ft=min_ft)


def _plus(rest: Goal, length: int, shortest: int, longest: int, met: int) -> Goal:
    over, short, loops, preference, squares = rest
    return (over + max(0, length - longest), short + max(0, shortest - length), loops + 1, preference + met, squares + length * length)


def count_along(length_ft: float, spacing_ft: float) -> int:
    """How many rings, ties or stakes a length takes with one at each end and none further apart than the spacing.

    length_ft: ft, 0 or more.  spacing_ft: ft, above 0.
    Returns: a count, 1 for no length at all.
    Raises: OutOfRange for a value outside these ranges.
    Source: derived: ceil(length / spacing) + 1.
    Valid for: any length up to 10,000 spacings; a length within 0.000001 ft of a whole number of spacings counts as that number.
    Example: 25 ft at 3 ft takes 10; 24 ft takes 9.
    """
    if not (0 <= length_ft < inf and 0 < spacing_ft < inf):  # a walk asks hundreds of times
        require_within(0, inf, "a length isn't negative", length_ft=length_ft)
        require_positive(spacing_ft=spacing_ft)
    return ceil((length_ft - ROUNDING_FT) / spacing_ft) + 1 if length_ft > ROUNDING_FT else 1


def even_stations_ft(start_ft: float, end_ft: float, limit_ft: float) -> tuple[float, ...]:
    """Stations that share a length out into the fewest equal spaces not over a limit, both ends included.

    start_ft, end_ft: stations, ft, start below end.  limit_ft: ft, above 0.
    Returns: stations, ft, rising, the first and last exactly the ends.
    Raises: OutOfRange for a value outside these ranges.
    Source: derived: ceil(length / limit) spaces.
    Valid for: the same as `count_along`.
    Example: 0 to 10 ft at 4 ft: 0, 3.333, 6.667, 10.
    """
    require_positive(length_ft=end_ft - start_ft, limit_ft=limit_ft)
    spaces = max(1, count_along(end_ft - start_ft, limit_ft) - 1)
    return (*(start_ft + (end_ft - start_ft) * k / spaces for k in range(spaces)), end_ft)


def stake_stations_ft(start_ft: float, end_ft: float, limit_ft: float, blocked: Sequence[tuple[float, float]]) -> Stakes:
    """The fewest stakes along a length that leave no gap over a limit, as evenly as blocked ground allows.

    There is a stake at each end, or where the end is blocked at the nearest ground that isn't; a gap then counts from the end itself.
    No stake stands inside a blocked interval, one may stand on its edge. An interval wider than the limit gets a stake at both edges and
    is told as uncovered. Each other stake stands as near its even share as the ground and the limit let it.
    start_ft, end_ft: stations, ft, start below end.  limit_ft: ft, above 0.
    blocked: open intervals (low, high) of stations, ft, low <= high, in any order.
    Returns: stations, ft, rising, and the uncovered gaps as (low, high), ft.
    Raises: OutOfRange for a value outside these ranges.
    Source: derived: going as far as the limit and the ground allow each time takes fewest stakes, for no other choice is ever further on.
    Valid for: the same as `count_along`; gaps within 0.000001 ft of the limit are not over it.
    Example: 0 to 10 ft at 4 ft with 3 to 4 ft blocked: 0, 3, 6.667 and 10.
    """
    require_positive(length_ft=end_ft - start_ft, limit_ft=limit_ft)
    if not blocked:
        return Stakes((*_stakes_before(start_ft, end_ft, limit_ft, ()), end_ft), ())
    for low, high in blocked:
        require_within(low, inf, "blocked ground ends after it starts", blocked_end_ft=high)
    keep_outs = _merged(blocked)
    first, last = _around(start_ft, keep_outs)[1], _around(end_ft, keep_outs)[0]
    if first > last:
        return Stakes((), _over_limit([start_ft, end_ft], limit_ft))
    wide = [(low, high) for low, high in keep_outs if high - low > limit_ft + ROUNDING_FT and first <= low and high <= last]
    stations: list[float] = []
    for near, far in pairwise(sorted({first, last, *(edge for pair in wide for edge in pair)})):
        stations += [near] if (near, far) in wide else _stakes_before(near, far, limit_ft, keep_outs)
    stations.append(last)
    return Stakes(tuple(stations), _over_limit([start_ft, *stations, end_ft], limit_ft))


def _merged(blocked: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """The blocked intervals in order, those that overlap made one; two that only touch leave a place to stand between them."""
    merged: list[tuple[float, float]] = []
    for low, high in sorted(interval for interval in blocked if interval[1] > interval[0]):
        if merged and low < merged[-1][1]:
            merged[-1] = (merged[-1][0], max(high, merged[-1][1]))
        else:
            merged.append((low, high))
    return merged


def _around(station: float, keep_outs: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """The nearest places on each side where a stake may stand: twice the station itself outside keep-outs, or the edge it lies on."""
    for low, high in keep_outs:
        if low < station < high:
            near_low, near_high = station - low <= ROUNDING_FT, high - station <= ROUNDING_FT
            return (high if near_high else low), (low if near_low else high)
    return station, station


def _stakes_before(near: float, far: float, limit: float, keep_outs: Sequence[tuple[float, float]]) -> list[float]:
    """Fewest stakes from one that stands to another, the first included, the last not; no keep-out between is wider than the limit."""
    soonest = [far]
    between = [(low, high) for low, high in keep_outs if low < far and high > near]
    while soonest[-1] - near > limit + ROUNDING_FT:
        soonest.append(_around(soonest[-1] - limit, between)[1] if between else soonest[-1] - limit)
    stakes = [near]
    for k, at_least in enumerate(soonest[:0:-1], start=1):
        at_most = stakes[-1] + limit
        share = max(at_least, min(at_most, near + (far - near) * k / len(soonest)))
        if between:
            before, after = _around(share, between)
            share = after if after - share < share - before and after <= at_most + ROUNDING_FT else before
        stakes.append(share)
    return stakes


def _over_limit(stations: Sequence[float], limit: float) -> tuple[tuple[float, float], ...]:
    return tuple((near, far) for near, far in pairwise(stations) if far - near > limit + ROUNDING_FT)
