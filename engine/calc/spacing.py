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
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from engine.calc.limits import OutOfRange, require_positive, require_within

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

UNITS_PER_FT = 1000
CLOSED = 2**61
"""Cost of a bay that isn't allowed; every real cost stays under it."""
ROWS = 256
"""Supports worked on at a time: keeps the arrays inside the processor's cache."""
BEYOND_FT = 1e6


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
    """Every station where a support may stand between two that must: arrays of one length, in order of station."""

    stations_ft: Floats
    levels_ft: Floats
    driven: Ints
    overrun: Ints


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
    Source: derived: shortest path over the stations by dynamic programming from the far end (R. Bellman, Dynamic Programming, 1957). A
    bay is only weighed where it is no worse than a support at every station within it, which keeps the window short even where
    the limit can't be kept.
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
    levels = _levels(stretch, stations[order])
    gaps = np.maximum(_bays(stations[order], levels) - _units(stretch.max_bay_ft), 0)
    return _Places(stations[order], levels, is_post[order].astype(np.int64), np.concatenate([[0], np.cumsum(gaps)]))


def _reach(places: _Places, limit: int) -> int:
    """The most places past any one that an allowed bay can end at.

    A bay is allowed up to the limit plus all that a support at every place within it would leave over the limit: `overrun` counts that.
    """
    run = np.floor(places.stations_ft * UNITS_PER_FT).astype(np.int64) - places.overrun
    nearest = np.minimum.accumulate(run[::-1])[::-1]
    last = np.searchsorted(nearest, run + limit + 2, side="right")
    return max(1, int((last - 1 - np.arange(len(run))).max()))


def _bays_from(places: _Places, limit: int, reach: int) -> Iterator[tuple[slice, Ints, Ints]]:
    """Length, in units, of each bay from each place to the `reach` after it, and the most it may be; last rows first."""
    padding = np.ones(reach)
    stations = np.concatenate([places.stations_ft, padding * BEYOND_FT + places.stations_ft[-1]]) * UNITS_PER_FT
    levels = np.concatenate([places.levels_ft, padding * places.levels_ft[-1]]) * UNITS_PER_FT
    overrun = np.concatenate([places.overrun, (padding * places.overrun[-1]).astype(np.int64)])
    for stop in range(len(places.stations_ft) - 1, 0, -ROWS):
        rows = slice(max(0, stop - ROWS), stop)
        runs, rises, extra = (
            sliding_window_view(values[rows.start + 1 : stop + reach], reach) - values[rows, None] for values in (stations, levels, overrun)
        )
        bays = np.rint(np.sqrt(runs * runs + rises * rises)).astype(np.int64)
        yield rows, bays, limit + extra


def _settle(costs: Ints, to_go: Ints, first: int, together: Ints) -> list[int]:
    """Fill `to_go` for the rows of `costs`, last first, and return how far on each row's best bay ends.

    Rows from `together[i]` to i go at once: no bay that costs less than CLOSED may lie among them.
    """
    steps: list[int] = []
    width = costs.shape[1]
    later = sliding_window_view(to_go[first + 1 :], width)
    starts = np.maximum(together[first : first + len(costs)] - first, 0).tolist()
    stop = len(costs)
    while stop:
        start = starts[stop - 1]
        if start == stop - 1:  # one row alone: five times as quick without the second axis
            row = costs[start] + to_go[first + stop : first + stop + width]
            step = int(row.argmin())
            to_go[first + start] = min(int(row[step]), CLOSED)
            steps.append(step + 1)
        else:
            sums = costs[start:stop] + later[start:stop]
            best = sums.argmin(axis=1)
            to_go[first + start : first + stop] = np.minimum(sums[np.arange(len(best)), best], CLOSED)
            steps += (best[::-1] + 1).tolist()
        stop = start
    return steps


def _over_differs(places: _Places, limit: int, reach: int) -> bool:
    """Whether the total over the limit depends on the choice: only if a bay may span an overlong gap and a place besides."""
    return any(bool(((most > limit) & (bays <= most))[:, 1:].any()) for _, bays, most in _bays_from(places, limit, reach))


def _least_over(places: _Places, limit: int, reach: int) -> Ints:
    """From each place to the end, the least total that bays exceed the limit by."""
    one_by_one = np.arange(len(places.stations_ft))
    to_go = np.zeros(len(places.stations_ft) + reach, dtype=np.int64)
    for rows, bays, most in _bays_from(places, limit, reach):
        _settle(np.where(bays <= most, np.maximum(bays - limit, 0), CLOSED), to_go, rows.start, one_by_one)
    return to_go


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


def _best_between(stretch: Stretch, start: float, end: float) -> list[float]:
    """Stations of the best supports after `start` up to and with `end`, nothing pinned between."""
    places = _places(stretch, start, end)
    limit, shortest = _units(stretch.max_bay_ft), _units(stretch.min_bay_ft)
    reach = _reach(places, limit)
    over = _least_over(places, limit, reach) if places.overrun[-1] and _over_differs(places, limit, reach) else None
    path = _path(places, limit, shortest, reach, over, short_bays=False)
    return path or _path(places, limit, shortest, reach, over, short_bays=True)


def _path(places: _Places, limit: int, shortest: int, reach: int, over: Ints | None, *, short_bays: bool) -> list[float]:
    """The best way to the end, or nothing when there is none without short bays; where short bays are barred, many rows go at once."""
    a_post, a_short_bay = _weights(places, limit, shortest)
    together = _short_from(places, 0 if short_bays else shortest)
    to_go = np.full(len(places.stations_ft) + reach, CLOSED)
    to_go[len(places.stations_ft) - 1] = 0
    steps: list[int] = []
    for rows, bays, most in _bays_from(places, limit, reach):
        allowed = bays <= most
        if over is not None:
            later = sliding_window_view(over[rows.start + 1 : rows.stop + reach], reach)
            allowed &= np.maximum(bays - limit, 0) + later == over[rows, None]
        short = bays < shortest
        costs = bays * bays + short * a_short_bay + places.driven[rows, None] * a_post
        steps += _settle(np.where(allowed & (~short | short_bays), costs, CLOSED), to_go, rows.start, together)
    return _follow(places.stations_ft, steps[::-1]) if to_go[0] < CLOSED else []


def _short_from(places: _Places, shortest: int) -> Ints:
    """For each place an earlier one, or itself, from which on all bays up to it are certainly short."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(places.stations_ft), np.diff(places.levels_ft)) * UNITS_PER_FT)])
    return np.minimum(np.searchsorted(along, along - shortest + 1), np.arange(len(along)))


def _follow(stations: Floats, steps: list[int]) -> list[float]:
    at, path = 0, []
    while at < len(steps):
        at += steps[at]
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
