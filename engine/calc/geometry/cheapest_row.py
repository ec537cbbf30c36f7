"""The cheapest way along a row of places where a support may stand, from the first to the last: exact, in whole units of length."""

from collections.abc import Iterable, Iterator

from engine.calc.frozen import dataclass
from engine.calc.large_libraries import Bools, Floats, Ints, np
from engine.calc.limits import OutOfRange

CLOSED = 2**61
"""Cost of a bay that isn't allowed; every real cost stays under it."""
SETTLED = 2**62
CHUNK = 128
"""Places worked on at a time: keeps the arrays inside the processor's cache."""


@dataclass(frozen=True)
class RowOfPlaces:
    """Places in order: how far along each stands, rising, and its measures square to that (level, feet aside), all in units of length.

    `driven` and `bends` are 1 where a support there is a post to drive, or turns the fence aside, else 0; never both.
    """

    along: Floats
    across: tuple[Floats, ...]
    driven: Ints
    bends: Ints


def cheapest_way(row: RowOfPlaces, limit: int, shortest: int) -> list[int]:
    """The places of the best supports after the first, up to and with the last.

    Best in this order: least total of what bays exceed the limit by, fewest bays under the shortest, fewest posts, fewest bends, least
    sum of squared bays, lowest places first.
    row: two places or more, arrays of one length. limit: longest bay, units, 1 or more. shortest: units, 0 to limit.
    Returns: indices into the row, rising.
    Raises: OutOfRange where the row is so long for its limit that its costs leave 61 bits; the value is its length in units.
    Source: derived: shortest path from the last place back, the cheapest settled first (E. W. Dijkstra, "A Note on Two Problems in
    Connexion with Graphs", 1959, from memory). A bay is only weighed where it is no worse than a support at every place within it,
    which keeps the window short even where the limit can't be kept.
    Valid for: any row; lengths are rounded to whole units.
    """
    single = _steps((row.along, *row.across))
    overrun = np.concatenate([[0], np.maximum(single - limit, 0).cumsum()])
    reach = _reach(row, overrun, limit)
    over = _least_over(row, overrun, limit, reach) if overrun[-1] else None
    a_bend, a_post, a_short_bay = _weights(row, int(single.sum()), int(overrun[-1]), limit, shortest)
    own, free = row.driven * a_post + row.bends * a_bend, np.flatnonzero(row.driven == 0)
    to_go = np.full(len(row.along), CLOSED)
    to_go[-1] = 0
    open_to_go, following = to_go.copy(), np.zeros_like(to_go)
    search = _Search(row, overrun, limit, shortest, reach, over, own, free, a_post, a_short_bay, to_go, open_to_go, following)
    while open_to_go[0] < SETTLED:
        _settle_cheapest(search)
    way = [int(following[0])]
    while way[-1] < len(following) - 1:
        way.append(int(following[way[-1]]))
    return way


def bays_along(row: RowOfPlaces, places: list[int]) -> Ints:
    """Bays between some places of a row, each to the next, rounded as all bays are, so that half a unit never falls both ways.

    row: any. places: indices into it, rising.
    Returns: whole units, one fewer than places.
    Source: derived: Pythagoras.
    Valid for: any row.
    """
    return _steps([values[places] for values in (row.along, *row.across)])


def _steps(parts: Iterable[Floats]) -> Ints:
    return _long([values[1:] - values[:-1] for values in parts])


def _long(parts: list[Floats]) -> Ints:
    """Lengths of bays from their parts along and across, which are taken up by it."""
    bays = parts[0]
    for part in parts[1:]:
        bays *= bays
        part *= part
        bays += part
        np.sqrt(bays, out=bays)
    rounded: Ints = np.rint(bays, out=bays).astype(np.int64)
    return rounded


@dataclass(frozen=True)
class _Search:
    """A search from the end back: what every place costs from there on, as far as it is known, and the place where its bay ends.

    `own` is what a support at each place costs by itself; `free` are the rows where nothing is to be driven. `open_to_go` is the cost
    for places that may still find a better bay, SETTLED for the others.
    """

    row: RowOfPlaces
    overrun: Ints
    limit: int
    shortest: int
    reach: int
    over: Ints | None
    own: Ints
    free: Ints
    a_post: int
    a_short_bay: int
    to_go: Ints
    open_to_go: Ints
    following: Ints


def _reach(row: RowOfPlaces, overrun: Ints, limit: int) -> int:
    """The most places past any one that an allowed bay can end at.

    A bay is allowed up to the limit plus all that a support at every place within it would leave over the limit: `overrun` counts that.
    """
    run = np.floor(row.along).astype(np.int64) - overrun
    nearest = np.minimum.accumulate(run[::-1])[::-1]
    last = np.searchsorted(nearest, run + limit + 2, side="right")
    return max(1, int((last - 1 - np.arange(len(run))).max()))


def _lengths(row: RowOfPlaces, rows: Ints, columns: Ints) -> Ints:
    """Length, in units, of each bay from the places `rows` to the places `columns`."""
    return _long([values[columns] - values[rows, None] for values in (row.along, *row.across)])


def _least_over(row: RowOfPlaces, overrun: Ints, limit: int, reach: int) -> Ints | None:
    """From each place to the end, the least total that bays exceed the limit by; None where every choice comes to the same total.

    The choice matters only where a bay may span an overlong gap and a place besides; everywhere else the total is that of single steps.
    """
    last = len(row.along) - 1
    rows = np.arange(last)
    rows = rows[overrun[np.minimum(rows + reach, last)] > overrun[:-1]]
    spans = [span for first in range(0, len(rows), CHUNK) for span in _spanning(row, overrun, limit, reach, rows[first : first + CHUNK])]
    to_go: Ints = overrun[-1] - overrun
    for at, ends, over in reversed(spans):
        saved = to_go[at] - (over + to_go[ends]).min()
        to_go[: at + 1] -= max(saved, 0)
    return to_go if spans else None


def _spanning(row: RowOfPlaces, overrun: Ints, limit: int, reach: int, rows: Ints) -> Iterator[tuple[int, Ints, Ints]]:
    """Places whose bays may span an overlong gap and a place besides, where those end, and what they exceed the limit by."""
    columns = np.minimum(rows[:, None] + np.arange(2, reach + 1), len(row.along) - 1)
    bays, extra = _lengths(row, rows, columns), overrun[columns] - overrun[rows, None]
    spans = (extra > 0) & (bays <= limit + extra) & (columns > rows[:, None] + 1)
    for n in np.flatnonzero(spans.any(axis=1)):
        yield int(rows[n]), columns[n, spans[n]], np.maximum(bays[n, spans[n]] - limit, 0)


def _weights(row: RowOfPlaces, length: int, overrun: int, limit: int, shortest: int) -> tuple[int, int, int]:
    """What a bend, a driven post and a short bay count beside squared lengths, so that no sum of a lower aim reaches one of a higher.

    Of the best supports no driven post can be left out, so the two bays beside it pass the limit together, or, where the ground folds
    back, are each no short bay while the one bay in their place would be.
    """
    total = length + len(row.along)
    a_bend = total * (limit + overrun) + 1
    a_post = a_bend * (int(row.bends.sum()) + 1)
    two_bays = min(limit, 2 * shortest or limit)
    most_posts = min(int(row.driven.sum()), 2 * total // two_bays) + 1
    a_short_bay = a_post * most_posts
    most_bays = most_posts + int((row.driven == 0).sum())
    if a_short_bay * most_bays >= CLOSED:
        raise OutOfRange("row_units", total, "shorter", "its costs no longer fit exact numbers; split the line")
    return a_bend, a_post, a_short_bay


def _settle_cheapest(search: _Search) -> None:
    """Settle every place that no place still open can make cheaper.

    A bay from a place to be driven costs a post at least, so all such places within a post of the cheapest are settled together; after
    them the fixed places and trees one by one from the far end, as a bay between two of those may cost nothing but its length.
    """
    within, free = int(search.open_to_go.min()) + search.a_post, search.free
    together = np.flatnonzero(search.open_to_go < within)
    _settle(search, together[search.row.driven[together] > 0])
    while len(near := free[search.open_to_go[free] < within]):
        _settle(search, near[-1:])


def _settle(search: _Search, done: Ints) -> None:
    """Hold these places, in order of station, as they are, and offer each open place before them its best bay to one of them."""
    search.open_to_go[done] = SETTLED
    for first in range(0, len(done), CHUNK):
        columns = done[first : first + CHUNK]
        low = max(0, int(columns[0]) - search.reach)
        rows = low + np.flatnonzero(search.open_to_go[low : columns[-1]] < SETTLED)
        if len(rows):
            _offer(search, rows, columns)


def _offer(search: _Search, rows: Ints, columns: Ints) -> None:
    bays = _lengths(search.row, rows, columns)
    costs = bays * bays
    costs += search.to_go[columns]
    np.add(costs, search.a_short_bay, out=costs, where=bays < search.shortest)
    np.putmask(costs, _barred(search, rows, columns, bays), CLOSED)
    nearest = costs.argmin(axis=1)
    cost, ends = costs[np.arange(len(rows)), nearest] + search.own[rows], columns[nearest]
    known = search.to_go[rows]
    better = (cost < known) | ((cost == known) & (ends < search.following[rows]))
    found, least = rows[better], cost[better]
    search.to_go[found] = search.open_to_go[found] = least
    search.following[found] = ends[better]


def _barred(search: _Search, rows: Ints, columns: Ints, bays: Ints) -> Bools:
    """Which bays are too long, or run back, or exceed the limit by more in all than has to be."""
    overrun = search.overrun
    barred = bays > search.limit + overrun[columns] - overrun[rows, None] if overrun[-1] else bays > search.limit
    if rows[-1] >= columns[0]:
        barred |= columns < rows[:, None]
    if search.over is not None:
        barred |= np.maximum(bays - search.limit, 0) + search.over[columns] != search.over[rows, None]
    return barred
