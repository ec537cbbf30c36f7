"""The best set of supports on one stretch of a line between two fixed supports.

A support may stand on every multiple of the grid outside blocked ground, at every tree, and must stand at every pinned station. A tree
a little off the line is a bend: the fence turns aside to it where that saves a post. Stations are horizontal feet along the line; a bay
is the straight distance between the ground at its two supports, in thousandths of a foot, so that a bay equal to the limit is legal and
sums compare exactly.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise, zip_longest
from math import ceil, floor, sqrt

from engine.calc.frozen import dataclass
from engine.calc.geometry.cheapest_row import RowOfPlaces, bays_along, cheapest_way
from engine.calc.large_libraries import Floats, np
from engine.calc.limits import OutOfRange, require_positive, require_within

UNITS_PER_FT = 1000


@dataclass(frozen=True)
class FreeStretch:
    """What is asked: two fixed ends, the limits of a bay, and the ground between; stations in horizontal feet from the line's start.

    `free` are trees on the line; `bends` are trees beside it, (station, feet off the line); `ends_aside_ft` is how far off the line the
    two ends stand.
    """

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
    bends: tuple[tuple[float, float], ...] = ()
    ends_aside_ft: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True)
class Spacing:
    """The supports in order, both ends included; posts still to drive; and the worst amounts over and under the limits of a bay."""

    stations_ft: tuple[float, ...]
    kinds: tuple[str, ...]
    bays_ft: tuple[float, ...]
    driven: int
    over_ft: float
    short_ft: float


def best_supports(stretch: FreeStretch) -> Spacing:
    """The best supports for one stretch, exactly.

    Best means, in this order: (1) least total of what bays exceed `max_bay_ft` by, which is zero wherever the ground allows it, then
    fewest bays under `min_bay_ft`; (2) fewest posts to drive, then fewest bends; (3) least sum of squared bay lengths, the most even
    bays; (4) of equals, the lowest stations first. Trees and pinned posts cost nothing; a pinned post must be used, a tree need not be.
    Blocked ground holds no new post inside it (its edges may), but doesn't move a tree or a pinned post. No post is driven at
    the very station of a tree.
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
    trees, bends = _trees(stretch), _bends(stretch)
    fixed = sorted({stretch.start_ft, stretch.end_ft, *stretch.pinned})
    stations, bays = [fixed[0]], list[int]()
    for start, end in pairwise(_apart(fixed)):
        there, row = _places(stretch, trees, bends, start, end)
        way = cheapest_way(row, _units(stretch.max_bay_ft), _units(stretch.min_bay_ft))
        stations += there[way].tolist()
        bays += bays_along(row, [0, *way]).tolist()
    return _spacing(stretch, trees, stations, bays)


def these_supports(stretch: FreeStretch, stations_ft: Sequence[float]) -> Spacing:
    """Supports that are given, measured as the best are: what they cost beside them is then told in the same figures.

    stretch: as `best_supports` asks for it, not checked anew. stations_ft: rising, from start to end, both included; one at the station
    of a tree hangs on it, one beside no tree is a post, on the grid or not.
    Returns: the supports with their bays, ft on the slope to 0.001, as `best_supports` tells them.
    Source: derived: Pythagoras.
    Valid for: any stretch; whether ground is blocked is not asked.
    Example: 70 ft at 25 ft bays with posts at 23 and 46: bays 23, 23 and 24.
    """
    aside_ft = _aside_ft(stretch, _bends(stretch))
    levels = np.interp(stations_ft, stretch.ground_stations_ft, stretch.ground_levels_ft).tolist() if stretch.ground_stations_ft else ()
    places = zip_longest(stations_ft, levels, (aside_ft.get(_units(station), 0.0) for station in stations_ft), fillvalue=0.0)
    in_units = [[part * UNITS_PER_FT for part in place] for place in places]
    bays = [round(sqrt(sum((there - here) ** 2 for here, there in zip(*pair, strict=True)))) for pair in pairwise(in_units)]
    return _spacing(stretch, _trees(stretch), list(stations_ft), bays)


def fewest_driven(stretch: FreeStretch) -> int:
    """So many posts have to be driven at least where no bay may pass the limit, whatever the ground between holds.

    stretch: as `best_supports` asks for it, with nothing pinned, not checked anew.
    Returns: whole posts; `best_supports` finds as many or more, or leaves a bay too long.
    Source: derived: each tree parts the stretch for nothing, and bays from one place to another are no shorter than the straight way.
    Valid for: any stretch; a lower bound, met where the ground is even and the grid fine.
    Example: 70 ft at 25 ft bays: 2, for two bays reach 50 ft; with trees at 20 and 45 ft none.
    """
    within = [tree for tree in _trees(stretch) if _units(stretch.start_ft) < _units(tree) < _units(stretch.end_ft)]
    on_line = replace(stretch, bends=(), ends_aside_ft=(0.0, 0.0))
    straight = these_supports(on_line, [stretch.start_ft, *within, stretch.end_ft]).bays_ft
    return sum(-(-_units(part) // (_units(stretch.max_bay_ft) + 1)) - 1 for part in straight)


def _check(stretch: FreeStretch) -> None:
    tape = "a tape sets nothing finer"
    require_within(0.01, float("inf"), tape, max_bay_ft=stretch.max_bay_ft, grid_ft=stretch.grid_ft)
    require_within(0, stretch.max_bay_ft, "the shortest bay can't pass the longest", min_bay_ft=stretch.min_bay_ft)
    require_positive(stretch_ft=stretch.end_ft - stretch.start_ft)
    for station in (*stretch.free, *stretch.pinned, *(station for station, _ in stretch.bends)):
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


def _bends(stretch: FreeStretch) -> dict[int, float]:
    """Feet off the line of the trees beside it, by station in units; what stands on the line at the same station comes first."""
    on_line = {_units(station) for station in (stretch.start_ft, stretch.end_ft, *stretch.pinned, *stretch.free)}
    return {_units(station): aside_ft for station, aside_ft in stretch.bends if _units(station) not in on_line}


def _aside_ft(stretch: FreeStretch, bends: Mapping[int, float]) -> dict[int, float]:
    """Feet off the line of what stands aside of it, by station in units."""
    ends = zip(map(_units, (stretch.start_ft, stretch.end_ft)), stretch.ends_aside_ft, strict=True)
    return {unit: aside_ft for unit, aside_ft in (*bends.items(), *ends) if aside_ft}


def _across(stretch: FreeStretch, bends: Mapping[int, float], stations: Floats, units: Floats) -> tuple[Floats, ...]:
    """Levels and feet off the line in units, each where it isn't 0 all along."""
    across = []
    if stretch.ground_stations_ft:
        across.append(np.interp(stations, stretch.ground_stations_ft, stretch.ground_levels_ft) * UNITS_PER_FT)
    if off := _aside_ft(stretch, bends):
        aside = np.zeros(len(stations))
        for unit, aside_ft in off.items():
            aside[units == unit] = aside_ft
        across.append(aside * UNITS_PER_FT)
    return tuple(values for values in across if values.any())


def _grid(stretch: FreeStretch, trees: Sequence[float], start: float, end: float) -> Floats:
    """Grid stations between two supports where a post may be driven."""
    first, last = floor(start / stretch.grid_ft), ceil(end / stretch.grid_ft)
    stations: Floats = np.arange(first, last + 1, dtype=np.float64) * stretch.grid_ft
    units = np.rint(stations * UNITS_PER_FT)
    usable = (units > _units(start)) & (units < _units(end))
    for low, high in stretch.blocked:
        usable &= (units <= _units(low)) | (units >= _units(high))
    for tree in trees:
        usable &= units != _units(tree)
    posts: Floats = stations[usable]
    return posts


def _trees(stretch: FreeStretch) -> list[float]:
    """Stations of trees on the line and beside it; of two at one station the one on the line."""
    return _apart(sorted((*stretch.free, *(station for station, _ in stretch.bends))))


def _places(
    stretch: FreeStretch, trees: Sequence[float], bends: Mapping[int, float], start: float, end: float
) -> tuple[Floats, RowOfPlaces]:
    """Stations of two supports with nothing pinned between and of all places there where one may stand, and the row that they make."""
    within = [tree for tree in trees if _units(start) < _units(tree) < _units(end)]
    posts = _grid(stretch, within, start, end)
    stations = np.concatenate([[start], within, posts, [end]])
    driven = np.zeros(len(stations), dtype=np.int64)
    driven[1 + len(within) : -1] = 1
    if within:
        order = np.argsort(stations)
        stations, driven = stations[order], driven[order]
    along = stations * UNITS_PER_FT
    units = np.rint(along)
    turns = np.zeros(len(stations), dtype=np.int64)
    for bend in bends:
        turns[units == bend] = 1
    return stations, RowOfPlaces(along, _across(stretch, bends, stations, units), driven, turns)


def _spacing(stretch: FreeStretch, trees: Sequence[float], stations: list[float], bays: list[int]) -> Spacing:
    ends = {_units(stretch.start_ft), _units(stretch.end_ft)}
    pinned = {_units(station) for station in stretch.pinned} - ends
    names = {**{_units(tree): "tree" for tree in trees}, **dict.fromkeys(pinned, "pinned"), **dict.fromkeys(ends, "end")}
    kinds = tuple(names.get(_units(station), "post") for station in stations)
    return Spacing(
        stations_ft=tuple(stations),
        kinds=kinds,
        bays_ft=tuple(bay / UNITS_PER_FT for bay in bays),
        driven=kinds.count("post"),
        over_ft=max(0, max(bays) - _units(stretch.max_bay_ft)) / UNITS_PER_FT,
        short_ft=max(0, _units(stretch.min_bay_ft) - min(bays)) / UNITS_PER_FT,
    )
