"""The best set of supports on one stretch of a line between two fixed supports.

A support may stand on every multiple of the grid outside blocked ground, at every tree, and must stand at every pinned station. Stations
are horizontal feet along the line; a bay is the straight distance between the ground at its two supports, in thousandths of a foot, so
that a bay equal to the limit is legal and sums compare exactly.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from engine.calc.limits import OutOfRange, require_positive, require_within

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

UNITS_PER_FT = 1000
CLOSED = 2**61
"""Cost of a bay that isn't allowed; every real cost stays under it."""
SETTLED = 2**62
CHUNK = 128
"""Places worked on at a time: keeps the arrays inside the processor's cache."""


@dataclass(frozen=True)
class Stretch:
    """What is asked: two fixed ends, the limits of a bay, and the ground between; stations in horizontal feet from the line's start."""

    start_ft: float
    end_ft: float
    max_bay_ft: float
    min_bay_ft: float
    grid_ft: float
    blocked: tuple[tuple[float, float], ...] = ()
    free: tuple[float, ...] = ()
    pinned: tuple[float, ...] = ()
    ground_stations_ft: tuple[float, ...] = ()
    ground_levels_ft: tuple[float, ...] = ()


@dataclass(frozen=True)
class Spacing:
    """The supports in order, both ends included; posts still to drive; and the worst amounts over and under the limits of a bay."""

    stations_ft: tuple[float, ...]
    kinds: tuple[str, ...]
    bays_ft: tuple[float, ...]
    driven: int
    over_ft: float
    short_ft: float


@dataclass(frozen=True)
class _Places:
    """Every station where a support may stand between two that must: arrays of one length, in order of station.

    `along` and `up` are station and level in units; no `up` on level ground. `free` are the rows where nothing is to be driven.
    """

    stations_ft: Floats
    levels_ft: Floats
    driven: Ints
    overrun: Ints
    along: Floats
    up: Floats | None
    free: Ints


def best_supports(stretch: Stretch) -> Spacing:
    """The best supports for one stretch, exactly.

    Best means, in this order: (1) least total of what bays exceed `max_bay_ft` by, which is zero wherever the ground allows it, then
    fewest bays under `min_bay_ft`; (2) fewest posts to drive; (3) least sum of squared bay lengths, the most even bays; (4) of equals,
    the lowest stations first. Trees and pinned posts cost nothing; a pinned post must be used, a tree need not be. Blocked ground holds
    no new post inside it (its edges may), but doesn't move a tree or a pinned post.
    stretch: `max_bay_ft` and `grid_ft` 0.01 or more; `min_bay_ft` from 0 to `max_bay_ft`; trees and pins from start to end; a ground
    profile with rising stations that covers the stretch, or none for level ground.
    Returns: stations, ft, with a kind each ("end", "post", "tree" or "pinned"); bays, ft on the slope to 0.001; `driven`, the number of
    kind "post"; `over_ft` and `short_ft`, the worst bay's amount past each limit, 0 when there is none.
    Raises: OutOfRange for a value outside these ranges, or a stretch so long for its limit that its costs leave 61 bits.
    Source: derived: shortest path over the stations from the far end, the cheapest settled first (E. W. Dijkstra, "A Note on Two Problems
    in Connexion with Graphs", 1959, from memory). A bay is only weighed where it is no worse than a support at every station within
    it, which keeps the window short even where the limit can't be kept.
    Valid for: any stretch to about 3 miles at 25 ft bays; bays equal within 0.0005 ft count as equal.
    Example: 70 ft at 25 ft bays and a 0.25 ft grid: posts at 23.25 and 46.5, bays 23.25, 23.25 and 23.5.
    """
    _check(stretch)
    fixed = sorted({stretch.start_ft, stretch.end_ft, *stretch.pinned})
    stations = [fixed[0]]
    for start, end in pairwise(_apart(fixed)):
        stations += _best_between(stretch, start, end)
    return _spacing(stretch, stations)


def _check(stretch: Stretch) -> None:
    tape = "a tape sets nothing finer"
    require_within(0.01, float("inf"), tape, max_bay_ft=stretch.max_bay_ft, grid_ft=stretch.grid_ft)
    require_within(0, stretch.max_bay_ft, "the shortest bay can't pass the longest", min_bay_ft=stretch.min_bay_ft)
    require_positive(stretch_ft=stretch.end_ft - stretch.start_ft)
    for station in (*stretch.free, *stretch.pinned):
        require_within(stretch.start_ft, stretch.end_ft, "it has to stand on the stretch", support_station_ft=station)
    for low, high in stretch.blocked:
        require_within(low, float("inf"), "blocked ground ends after it starts", blocked_end_ft=high)
    ground = stretch.ground_stations_ft
    if len(ground) != len(stretch.ground_levels_ft):
        raise OutOfRange("ground_levels_ft", len(stretch.ground_levels_ft), f"{len(ground)} long", "one level a station")
    for near, far in pairwise(ground):
        require_positive(ground_station_step_ft=far - near)
    if ground:
        reach = "the ground profile has to cover the stretch"
        require_within(float("-inf"), stretch.start_ft, reach, first_ground_station_ft=ground[0])
        require_within(stretch.end_ft, float("inf"), reach, last_ground_station_ft=ground[-1])


def _units(length_ft: float) -> int:
    return round(length_ft * UNITS_PER_FT)


def _apart(stations: list[float]) -> list[float]:
    """The stations without those that equal an earlier one."""
    return stations[:1] + [far for near, far in pairwise(stations) if _units(far) > _units(near)]


def _levels(stretch: Stretch, stations: Floats) -> Floats:
    if not stretch.ground_stations_ft:
        return np.zeros(len(stations))
    levels: Floats = np.interp(stations, stretch.ground_stations_ft, stretch.ground_levels_ft)
    return levels


def _bays(stations: Floats, levels: Floats) -> Ints:
    """Bays between neighbours, rounded by the very steps of `_bays_from`, so that half a unit never falls both ways."""
    runs, rises = np.diff(stations * UNITS_PER_FT), np.diff(levels * UNITS_PER_FT)
    bays: Ints = np.rint(np.sqrt(runs * runs + rises * rises)).astype(np.int64)
    return bays


def _grid(stretch: Stretch, start: float, end: float) -> Floats:
    """Grid stations between two supports where a post may be driven."""
    first, last = floor(start / stretch.grid_ft), ceil(end / stretch.grid_ft)
    stations: Floats = np.arange(first, last + 1, dtype=np.float64) * stretch.grid_ft
    units = np.rint(stations * UNITS_PER_FT)
    usable = (units > _units(start)) & (units < _units(end))
    for low, high in stretch.blocked:
        usable &= (units <= _units(low)) | (units >= _units(high))
    trees = [_units(tree) for tree in stretch.free]
    usable &= ~np.isin(units, trees)
    posts: Floats = stations[usable]
    return posts


def _places(stretch: Stretch, start: float, end: float) -> _Places:
    trees = [tree for tree in _apart(sorted(stretch.free)) if _units(start) < _units(tree) < _units(end)]
    posts = _grid(stretch, start, end)
    stations = np.concatenate([[start], trees, posts, [end]])
    order = np.argsort(stations)
    is_post = np.concatenate([np.zeros(1 + len(trees)), np.ones(len(posts)), [0]])
    stations, driven = stations[order], is_post[order].astype(np.int64)
    levels = _levels(stretch, stations)
    gaps = np.maximum(_bays(stations, levels) - _units(stretch.max_bay_ft), 0)
    overrun = np.concatenate([[0], np.cumsum(gaps)])
    up = levels * UNITS_PER_FT if levels.any() else None
    return _Places(stations, levels, driven, overrun, stations * UNITS_PER_FT, up, np.flatnonzero(driven == 0))


def _reach(places: _Places, limit: int) -> int:
    """The most places past any one that an allowed bay can end at.

    A bay is allowed up to the limit plus all that a support at every place within it would leave over the limit: `overrun` counts that.
    """
    run = np.floor(places.stations_ft * UNITS_PER_FT).astype(np.int64) - places.overrun
    nearest = np.minimum.accumulate(run[::-1])[::-1]
    last = np.searchsorted(nearest, run + limit + 2, side="right")
    return max(1, int((last - 1 - np.arange(len(run))).max()))


def _lengths(places: _Places, rows: Ints, columns: Ints) -> Ints:
    """Length, in units, of each bay from the places `rows` to the places `columns`."""
    bays = places.along[columns] - places.along[rows, None]
    if places.up is not None:
        bays = np.sqrt(bays * bays + np.square(places.up[columns] - places.up[rows, None]))
    return np.rint(bays).astype(np.int64)


def _least_over(places: _Places, limit: int, reach: int) -> Ints | None:
    """From each place to the end, the least total that bays exceed the limit by; None where every choice comes to the same total.

    The choice matters only where a bay may span an overlong gap and a place besides; everywhere else the total is that of single steps.
    """
    last = len(places.stations_ft) - 1
    rows = np.arange(last)
    rows = rows[places.overrun[np.minimum(rows + reach, last)] > places.overrun[:-1]]
    spans = [span for first in range(0, len(rows), CHUNK) for span in _spanning(places, limit, reach, rows[first : first + CHUNK])]
    to_go: Ints = places.overrun[-1] - places.overrun
    for row, ends, over in reversed(spans):
        saved = to_go[row] - (over + to_go[ends]).min()
        to_go[: row + 1] -= max(saved, 0)
    return to_go if spans else None


def _spanning(places: _Places, limit: int, reach: int, rows: Ints) -> Iterator[tuple[int, Ints, Ints]]:
    """Places whose bays may span an overlong gap and a place besides, where those end, and what they exceed the limit by."""
    columns = np.minimum(rows[:, None] + np.arange(2, reach + 1), len(places.stations_ft) - 1)
    bays, overrun = _lengths(places, rows, columns), places.overrun[columns] - places.overrun[rows, None]
    spans = (overrun > 0) & (bays <= limit + overrun) & (columns > rows[:, None] + 1)
    for n in np.flatnonzero(spans.any(axis=1)):
        yield int(rows[n]), columns[n, spans[n]], np.maximum(bays[n, spans[n]] - limit, 0)


def _weights(places: _Places, limit: int, shortest: int) -> tuple[int, int]:
    """What a driven post and a short bay count beside squared lengths, so that no sum of a lower aim reaches one of a higher.

    Of the best supports no driven post can be left out, so the two bays beside it pass the limit together, or, where the ground folds
    back, are each no short bay while the one bay in their place would be.
    """
    total = int(_bays(places.stations_ft, places.levels_ft).sum()) + len(places.stations_ft)
    a_post = total * (limit + int(places.overrun[-1])) + 1
    two_bays = min(limit, 2 * shortest or limit)
    most_posts = min(int(places.driven.sum()), 2 * total // two_bays) + 1
    a_short_bay = a_post * most_posts
    most_bays = most_posts + int((places.driven == 0).sum())
    if a_short_bay * most_bays >= CLOSED:
        raise OutOfRange("stretch_ft", total / UNITS_PER_FT, "shorter", "its costs no longer fit exact numbers; split the line")
    return a_post, a_short_bay


@dataclass(frozen=True)
class _Search:
    """A search from the end back: what every place costs from there on, as far as it is known, and the place where its bay ends.

    `open_to_go` is the same cost for places that may still find a better bay, SETTLED for the others.
    """

    places: _Places
    limit: int
    shortest: int
    reach: int
    over: Ints | None
    a_post: int
    a_short_bay: int
    to_go: Ints
    open_to_go: Ints
    following: Ints


def _best_between(stretch: Stretch, start: float, end: float) -> list[float]:
    """Stations of the best supports after `start` up to and with `end`, nothing pinned between."""
    places = _places(stretch, start, end)
    limit, shortest = _units(stretch.max_bay_ft), _units(stretch.min_bay_ft)
    reach = _reach(places, limit)
    over = _least_over(places, limit, reach) if places.overrun[-1] else None
    to_go = np.full(len(places.stations_ft), CLOSED)
    to_go[-1] = 0
    search = _Search(places, limit, shortest, reach, over, *_weights(places, limit, shortest), to_go, to_go.copy(), np.zeros_like(to_go))
    while search.open_to_go[0] < SETTLED:
        _settle_cheapest(search)
    return _follow(places.stations_ft, search.following)


def _settle_cheapest(search: _Search) -> None:
    """Settle every place that no place still open can make cheaper.

    A bay from a place to be driven costs a post at least, so all such places within a post of the cheapest are settled together; after
    them the fixed places and trees one by one from the far end, as a bay between two of those may cost nothing but its length.
    """
    within, free = int(search.open_to_go.min()) + search.a_post, search.places.free
    together = np.flatnonzero(search.open_to_go < within)
    _settle(search, together[search.places.driven[together] > 0])
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
    bays = _lengths(search.places, rows, columns)
    costs = bays * bays + search.to_go[columns]
    costs += (bays < search.shortest) * search.a_short_bay
    costs[_barred(search, rows, columns, bays)] = CLOSED
    nearest = costs.argmin(axis=1)
    cost, ends = costs[np.arange(len(rows)), nearest] + search.places.driven[rows] * search.a_post, columns[nearest]
    known = search.to_go[rows]
    better = (cost < known) | ((cost == known) & (ends < search.following[rows]))
    found, least = rows[better], cost[better]
    search.to_go[found] = search.open_to_go[found] = least
    search.following[found] = ends[better]


def _barred(search: _Search, rows: Ints, columns: Ints, bays: Ints) -> NDArray[np.bool_]:
    """Which bays are too long, or run back, or exceed the limit by more in all than has to be."""
    overrun = search.places.overrun
    barred = bays > search.limit + overrun[columns] - overrun[rows, None] if overrun[-1] else bays > search.limit
    if rows[-1] >= columns[0]:
        barred |= columns < rows[:, None]
    if search.over is not None:
        barred |= np.maximum(bays - search.limit, 0) + search.over[columns] != search.over[rows, None]
    return barred


def _follow(stations: Floats, following: Ints) -> list[float]:
    at, path = 0, []
    while at < len(following) - 1:
        at = int(following[at])
        path.append(float(stations[at]))
    return path


def _spacing(stretch: Stretch, stations: list[float]) -> Spacing:
    ends = {_units(stretch.start_ft), _units(stretch.end_ft)}
    pinned = {_units(station) for station in stretch.pinned} - ends
    trees = {_units(station) for station in stretch.free} - ends - pinned
    names = {**dict.fromkeys(trees, "tree"), **dict.fromkeys(pinned, "pinned"), **dict.fromkeys(ends, "end")}
    kinds = tuple(names.get(_units(station), "post") for station in stations)
    there = np.array(stations)
    bays = [int(bay) for bay in _bays(there, _levels(stretch, there))]
    return Spacing(
        stations_ft=tuple(stations),
        kinds=kinds,
        bays_ft=tuple(bay / UNITS_PER_FT for bay in bays),
        driven=kinds.count("post"),
        over_ft=max(0, max(bays) - _units(stretch.max_bay_ft)) / UNITS_PER_FT,
        short_ft=max(0, _units(stretch.min_bay_ft) - min(bays)) / UNITS_PER_FT,
    )
