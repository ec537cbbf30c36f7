"""Many places at once against paths and boundaries: stations, offsets and how far inside."""

from __future__ import annotations

from collections.abc import Sequence

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import PlaneError, Point
from engine.calc.large_libraries import ArrayLike, Floats, Ints, np
from engine.calc.tolerances import ROUNDING_FT


@dataclass(frozen=True)
class Side:
    """One straight run of a boundary, from `a` to `b`; inside is to its right or left.

    `boundary` numbers the boundary it is part of, from 0. `open_a`, `open_b`: that end is free, and the boundary is taken to go
    straight on past it.
    """

    a: Point
    b: Point
    boundary: int
    inside_right: bool
    open_a: bool
    open_b: bool


def stations_offsets(path: Sequence[Point], places: ArrayLike) -> tuple[Floats, Floats]:
    """Station and offset of many places from a path: `plane.station_offset` for an array.

    path: 2 or more points, each different from the next. places: finite feet, shape (n, 2), or empty.
    Returns (stations_ft, offsets_ft), shape (n,) each: 0 to the path's length; + right of the walk, - left.
    Raises PlaneError for a bad path or a place that is not finite.
    Source: derived: perpendicular to each run, clipped to its ends.
    Valid for: any path.
    """
    stations, nearest, away, right = _along(path, places)
    rows = np.arange(len(stations))
    same = away <= away[rows, nearest][:, None] + ROUNDING_FT
    squarest = np.where(same, np.abs(right), -1.0).argmax(axis=1)
    offsets: Floats = np.copysign(away[rows, nearest], right[rows, squarest])
    return stations, offsets


def stations_along_ft(path: Sequence[Point], places: ArrayLike) -> Floats:
    """Stations alone of many places along a path, as `stations_offsets` has them.

    path: 2 or more points, each different from the next. places: finite feet, shape (n, 2), or empty.
    Returns feet, shape (n,), 0 to the path's length.
    Raises PlaneError for a bad path or a place that is not finite.
    Source: derived: perpendicular to each run, clipped to its ends.
    Valid for: any path.
    """
    return _along(path, places)[0]


def _along(path: Sequence[Point], places: ArrayLike) -> tuple[Floats, Ints, Floats, Floats]:
    """Station of each place, the run that it is nearest to, and how far it is off each run and square off it (+ right)."""
    corners, spots = np.asarray(path, dtype=np.float64), _places(places)
    along, right, runs = _along_right(corners[:-1], corners[1:], spots)
    clipped = np.clip(along, 0, runs)
    away = np.hypot(along - clipped, right)
    nearest = away.argmin(axis=1)
    starts = np.concatenate([[0.0], np.cumsum(runs)])[:-1]
    stations: Floats = starts[nearest] + clipped[np.arange(len(spots)), nearest]
    return stations, nearest, away, right


def deflections_deg(places: ArrayLike, nearest_ft: float = 0.0) -> Floats:
    """Turn at every inner place of a walk: `plane.deflection_deg` for an array.

    places: 3 or more, finite feet, shape (n, 2). nearest_ft: 0 or more; a place this near its neighbour, or nearer, turns by 0.
    Returns degrees, shape (n - 2,): + to the right, - to the left, -180 < turn <= 180.
    Raises PlaneError for fewer places or one that is not finite.
    Source: derived: angle from the run in to the run out, by their cross and dot products.
    Valid for: any walk.
    """
    spots = _places(places)
    if len(spots) < 3:
        raise PlaneError("A turn needs at least three places.")
    east, north = (spots[1:] - spots[:-1]).T
    right = north[:-1] * east[1:] - east[:-1] * north[1:]
    ahead = east[:-1] * east[1:] + north[:-1] * north[1:]
    apart = np.hypot(east, north) > nearest_ft
    turns = np.degrees(np.arctan2(right, ahead)) + 0.0
    turned: Floats = np.where(apart[:-1] & apart[1:], np.where(turns == -180, 180.0, turns), 0.0)
    return turned


def inside_ft(places: ArrayLike, sides: Sequence[Side]) -> tuple[Floats, Ints]:
    """How far many places stand inside each boundary, and which of its runs is nearest.

    At a corner, of one boundary or between two, the run from which the place stands off most squarely says whether it is inside;
    so an outline made of several boundaries is judged right at corners that stick out and at those that stick in.
    places: finite feet, shape (n, 2), or empty. sides: 1 or more runs; boundaries numbered from 0 without a gap.
    Returns (inside_ft, side), shape (n, boundaries) each: feet, negative outside; index into `sides`.
    Raises PlaneError for a run without length, no runs, or a place that is not finite.
    Source: derived: perpendicular to each run, clipped to its ends where they aren't free.
    Valid for: boundaries that don't cross each other.
    """
    if not sides:
        raise PlaneError("A boundary needs at least one run.")
    spots = _places(places)
    starts, ends = np.array([side.a for side in sides], dtype=np.float64), np.array([side.b for side in sides], dtype=np.float64)
    along, right, runs = _along_right(starts, ends, spots)
    low = np.array([-np.inf if side.open_a else 0.0 for side in sides])
    high = np.where([side.open_b for side in sides], np.inf, runs)
    clipped = np.clip(along, low, high)
    away = np.hypot(along - clipped, right)
    feet = starts + clipped[:, :, None] * ((ends - starts) / runs[:, None])
    inward = right * np.where([side.inside_right for side in sides], 1.0, -1.0)
    boundary = np.array([side.boundary for side in sides])
    found = [_one_boundary(away, feet, right, inward, np.flatnonzero(boundary == n)) for n in range(int(boundary.max()) + 1)]
    return np.column_stack([inside for inside, _ in found]), np.column_stack([side for _, side in found])


def _one_boundary(away: Floats, feet: Floats, right: Floats, inward: Floats, own: Ints) -> tuple[Floats, Ints]:
    rows = np.arange(len(away))
    nearest = own[away[:, own].argmin(axis=1)]
    foot = feet[rows, nearest][:, None, :]
    same = (np.abs(feet - foot) <= ROUNDING_FT).all(axis=2)
    squarest = np.where(same, np.abs(right), -1.0).argmax(axis=1)
    return np.copysign(away[rows, nearest], inward[rows, squarest]), nearest


def _places(places: ArrayLike) -> Floats:
    spots = np.asarray(places, dtype=np.float64).reshape(-1, 2)
    if not np.isfinite(spots).all():
        raise PlaneError("A place must be a finite number of feet east and north.")
    return spots


def _along_right(starts: Floats, ends: Floats, spots: Floats) -> tuple[Floats, Floats, Floats]:
    """Feet along each run and square off it (+ right) of each place, shape (n, runs), and the runs' lengths."""
    runs: Floats = np.hypot(*(ends - starts).T)
    if not len(runs) or not (np.isfinite(runs).all() and (runs > 0).all()):
        raise PlaneError("Every run of a path needs two different points with finite places.")
    east_ft, north_ft = (ends - starts).T
    east_reach_ft, north_reach_ft = spots[:, :1] - starts[:, 0], spots[:, 1:] - starts[:, 1]
    along: Floats = (east_reach_ft * east_ft + north_reach_ft * north_ft) / (east_ft * east_ft + north_ft * north_ft) * runs
    right: Floats = (east_reach_ft * north_ft - north_reach_ft * east_ft) / runs
    return along, right, runs
