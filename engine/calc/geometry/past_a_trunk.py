"""A straight run past a round thing: how far off it passes, and how far one end has to go aside to clear it."""

from math import asin, atan2, cos, hypot, sin, sqrt

from engine.calc.geometry.plane import Point
from engine.calc.large_libraries import ArrayLike, Floats, np
from engine.calc.limits import require_positive
from engine.calc.tolerances import ROUNDING_FT


def apart_ft(start: ArrayLike, ends: ArrayLike, middle: Point) -> Floats:
    """Distance from straight runs that share a start to a place.

    start: (east, north), ft; ends: shape (n, 2), ft; middle: the place, ft.
    Returns ft, shape (n,).
    Source: derived: perpendicular to each run, clipped to its ends.
    Valid for: any runs; one without length is a place.
    """
    a = np.asarray(start, dtype=np.float64)
    run = np.asarray(ends, dtype=np.float64).reshape(-1, 2) - a
    to = np.asarray(middle, dtype=np.float64) - a
    along = np.clip((run @ to) / np.maximum((run**2).sum(axis=1), ROUNDING_FT**2), 0.0, 1.0)
    away: Floats = np.hypot(*(to - run * along[:, None]).T)
    return away


def least_aside_ft(start: Point, end: Point, right: Point, middle: Point, clear_ft: float) -> tuple[float | None, float | None]:
    """How far the end of a run has to go, to the left and to the right, so that the run passes a place at a distance.

    start, end: ft; right: the way to the right, of length 1; middle: the place, ft; clear_ft: the distance wanted, over 0.
    Returns (left, right), ft, each 0 or more; None where no way that side clears it, as when the start itself is too near.
    Raises: OutOfRange for a distance of 0 or less.
    Source: derived: where the two tangents from the start to a circle round the place cross the way aside, and where the end itself
    comes out of that circle.
    Valid for: a run that doesn't lie along the way aside.
    """
    require_positive(clear_ft=clear_ft)
    to = (middle[0] - start[0], middle[1] - start[1])
    if hypot(*to) < clear_ft - ROUNDING_FT:
        return None, None
    tried = [0.0, *_tangents(start, end, right, to, clear_ft), *_comes_out(end, right, middle, clear_ft)]
    ends = [(end[0] + shift * right[0], end[1] + shift * right[1]) for shift in tried]
    clear = apart_ft(start, ends, middle) >= clear_ft - ROUNDING_FT
    good = [shift for shift, is_clear in zip(tried, clear.tolist(), strict=True) if is_clear]
    left = min((-shift for shift in good if shift <= 0), default=None)
    return left, min((shift for shift in good if shift >= 0), default=None)


def _tangents(start: Point, end: Point, right: Point, to: Point, clear_ft: float) -> list[float]:
    """Where the tangents from the start cross the way aside."""
    along = (end[0] - start[0], end[1] - start[1])
    heading, half = atan2(to[1], to[0]), asin(min(clear_ft / hypot(*to), 1.0))
    found = []
    for angle in (heading - half, heading + half):
        way = (cos(angle), sin(angle))
        across = way[0] * right[1] - way[1] * right[0]
        if abs(across) > ROUNDING_FT:
            found.append(-(way[0] * along[1] - way[1] * along[0]) / across)
    return found


def _comes_out(end: Point, right: Point, middle: Point, clear_ft: float) -> list[float]:
    """Where the end itself comes out of the circle round the place."""
    east, north = end[0] - middle[0], end[1] - middle[1]
    half = east * right[0] + north * right[1]
    under = half * half - (east * east + north * north - clear_ft * clear_ft)
    return [] if under < 0 else [-half - sqrt(under), -half + sqrt(under)]
