"""Plane geometry on points `(east_ft, north_ft)`; azimuths in degrees clockwise from north."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import accumulate, pairwise
from typing import Literal

from engine.calc.lengths import format_ft_in
from engine.calc.limits import require_positive

Point = tuple[float, float]
"""`(east_ft, north_ft)`"""


class PlaneError(ValueError):
    """Points or lengths from which the wanted figure can't be made."""


class TapesDontMeet(PlaneError):
    """Two tapes that can't reach one common point; `gap_ft` is by how much."""

    def __init__(self, message: str, gap_ft: float) -> None:
        super().__init__(message)
        self.gap_ft = gap_ft


def distance_ft(a: Point, b: Point) -> float:
    """Level distance between two points.

    a, b: points, finite feet. Returns feet, 0 or more.
    Raises PlaneError for a coordinate that is not finite.
    Source: derived: Pythagoras.
    Valid for: sites small enough to be taken as flat (under about 10 miles).
    """
    apart_ft = math.hypot(b[0] - a[0], b[1] - a[1])
    if not math.isfinite(apart_ft):
        _require_finite(*a, *b)
    return apart_ft


def azimuth_deg(a: Point, b: Point) -> float:
    """Azimuth of the line from a to b.

    a, b: two different points, finite feet.
    Returns degrees clockwise from north, 0 <= azimuth < 360.
    Raises PlaneError when the points coincide or are not finite.
    Source: Jerry Mahun, Open Access Surveying Library, "COGO" (inverse): atan2(dE, dN).
    Valid for: any two different points.
    """
    if distance_ft(a, b) == 0:
        raise PlaneError(f"The line from {a} to {b} has no direction: the two points are the same.")
    return _wrapped_deg(math.degrees(math.atan2(b[0] - a[0], b[1] - a[1])))


def latitude_departure(length_ft: float, azimuth_deg: float) -> tuple[float, float]:
    """Northing and easting gained along a course: `(L cos azimuth, L sin azimuth)`.

    length_ft: feet, finite. azimuth_deg: degrees clockwise from north, finite.
    Returns (latitude_ft, departure_ft): + north, + east. Mind the order: points are (east, north).
    Raises PlaneError for a figure that is not finite.
    Source: Jerry Mahun, Open Access Surveying Library, "Traverse Computations".
    Valid for: any course.
    """
    _require_finite(length_ft, azimuth_deg)
    angle = math.radians(azimuth_deg)
    return length_ft * math.cos(angle), length_ft * math.sin(angle)


def travel(start: Point, azimuth_deg: float, length_ft: float) -> Point:
    """Point reached from a start along an azimuth.

    start: point, finite feet. azimuth_deg: degrees clockwise from north. length_ft: feet, negative goes backwards.
    Returns a point.
    Raises PlaneError for a figure that is not finite.
    Source: Jerry Mahun, Open Access Surveying Library, "COGO" (forward computation).
    Valid for: any course.
    """
    _require_finite(*start)
    latitude, departure = latitude_departure(length_ft, azimuth_deg)
    return start[0] + departure, start[1] + latitude


def deflection_deg(a: Point, b: Point, c: Point) -> float:
    """Turn at b when walking a, b, c: + to the right, - to the left, 0 straight on, 180 straight back.

    a, b, c: points, each different from the next.
    Returns degrees, -180 < deflection <= 180.
    Raises PlaneError when neighbouring points coincide or are not finite.
    Source: derived: azimuth out minus azimuth in.
    Valid for: any three points in a walk.
    """
    turn = _wrapped_deg(azimuth_deg(b, c) - azimuth_deg(a, b))
    return turn - 360 if turn > 180 else turn


def area_ft2(points: Sequence[Point]) -> float:
    """Area inside a closed outline, by coordinates; the last point joins the first.

    The outline may run either way round. It must not cross itself: that is not looked for here.

    points: 3 or more, finite feet.
    Returns square feet, 0 or more.
    Raises PlaneError for fewer than 3 points or one that is not finite.
    Source: Jerry Mahun, Open Access Surveying Library, "Traverse Computations", ch. G: half the sum of N1 E2 - E1 N2.
    Valid for: outlines that don't cross themselves.
    """
    if len(points) < 3:
        raise PlaneError(f"An area needs at least 3 points, not {len(points)}.")
    _require_finite(*(coordinate for point in points for coordinate in point))
    east, north = points[0]
    moved = [(e - east, n - north) for e, n in points]
    return abs(sum(n1 * e2 - e1 * n2 for (e1, n1), (e2, n2) in pairwise([*moved, moved[0]]))) / 2


def two_tape_point(a: Point, b: Point, tape_a_ft: float, tape_b_ft: float, side: Literal["left", "right"]) -> Point:
    """Point at tape_a_ft from a and tape_b_ft from b, on the stated side of the walk from a to b.

    Tapes held level. Along the base: (ra^2 - rb^2 + d^2) / 2d; away from it: the rest of ra by Pythagoras.

    a, b: two different points. tape_a_ft, tape_b_ft: feet, over 0. side: "left" or "right" of a to b.
    Returns a point.
    Raises TapesDontMeet with the gap; OutOfRange for a tape not over 0; PlaneError when a and b coincide.
    Source: derived: two circles; worked in Jerry Mahun, Open Access Surveying Library, "COGO", Problem (1).
    Valid for: any tapes that meet; weak when the apex angle is under 30° or over 150° (twice the least error, 1 / sin apex).

    >>> two_tape_point((0, 0), (3, 0), 4, 5, "left")
    (0.0, 4.0)
    """
    require_positive(tape_a_ft=tape_a_ft, tape_b_ft=tape_b_ft)
    base_ft = distance_ft(a, b)
    _require_base(base_ft)
    _require_meeting(base_ft, tape_a_ft, tape_b_ft)
    along_ft = (tape_a_ft**2 - tape_b_ft**2 + base_ft**2) / (2 * base_ft)
    square_ft2 = tape_a_ft**2 - along_ft**2
    away_ft = math.sqrt(square_ft2) if square_ft2 > 0 else 0.0  # below 0 only by rounding: the tapes were seen to meet
    return offset_point(a, b, along_ft, away_ft if side == "right" else -away_ft)


def apex_angle_deg(tape_a_ft: float, tape_b_ft: float, base_ft: float) -> float:
    """Angle at which two tapes cross at the point they fix.

    tape_a_ft, tape_b_ft: feet, over 0. base_ft: distance between the tapes' zero ends, over 0.
    Returns degrees, 0 to 180.
    Raises TapesDontMeet; OutOfRange for a length not over 0.
    Source: derived: law of cosines.
    Valid for: any tapes that meet.
    """
    require_positive(tape_a_ft=tape_a_ft, tape_b_ft=tape_b_ft, base_ft=base_ft)
    _require_meeting(base_ft, tape_a_ft, tape_b_ft)
    cosine = (tape_a_ft**2 + tape_b_ft**2 - base_ft**2) / (2 * tape_a_ft * tape_b_ft)
    return math.degrees(math.acos(max(-1.0, min(1.0, cosine))))  # beyond 1 only by rounding


def offset_point(a: Point, b: Point, along_ft: float, offset_ft: float) -> Point:
    """Point along the base line from a towards b, then square off it.

    a, b: two different points. along_ft: feet from a, negative is behind a. offset_ft: feet, + right of a to b.
    Returns a point.
    Raises PlaneError when a and b coincide or a figure is not finite.
    Source: derived: rotation of the base line.
    Valid for: any base line.
    """
    _require_finite(along_ft, offset_ft)
    base_ft = distance_ft(a, b)
    _require_base(base_ft)
    east, north = (b[0] - a[0]) / base_ft, (b[1] - a[1]) / base_ft
    return a[0] + along_ft * east + offset_ft * north, a[1] + along_ft * north - offset_ft * east


def vertex_stations_ft(path: Sequence[Point]) -> tuple[float, ...]:
    """Station of every point of a path, 0 at the first.

    path: 2 or more points, each different from the next.
    Returns feet, one a point, rising.
    Raises PlaneError for fewer points, a repeated one or one that is not finite.
    Source: derived: running sum of the runs.
    Valid for: any path.
    """
    if len(path) < 2:
        raise PlaneError(f"A path needs at least 2 points, not {len(path)}.")
    runs_ft = [distance_ft(a, b) for a, b in pairwise(path)]
    if 0 in runs_ft:
        raise PlaneError(f"A path can't stand still: {path[runs_ft.index(0)]} comes twice in a row.")
    return tuple(accumulate(runs_ft, initial=0.0))


def station_offset(path: Sequence[Point], p: Point) -> tuple[float, float]:
    """Station of the point of a path nearest to p, and how far p is from it.

    Of several equally near places the first is taken. Past the path's ends the station stays at the end and the offset
    is the distance to it. Outside a corner the side is that of the run from which p stands off most squarely.

    path: 2 or more points, each different from the next. p: point, finite feet.
    Returns (station_ft, offset_ft): 0 to the path's length; + right of the walk, - left.
    Raises PlaneError for a bad path or a point that is not finite.
    Source: derived: perpendicular to each run, clipped to its ends.
    Valid for: any path.
    """
    _require_finite(*p)
    candidates = [
        (*_nearest_on_run(a, b, p), station_ft) for station_ft, (a, b) in zip(vertex_stations_ft(path), pairwise(path), strict=False)
    ]
    nearest_ft = min(away_ft for away_ft, _, _, _ in candidates)
    nearest = [candidate for candidate in candidates if candidate[0] == nearest_ft]
    _, right_ft, _, _ = max(nearest, key=lambda candidate: abs(candidate[1]))
    _, _, along_ft, station_ft = nearest[0]
    return station_ft + along_ft, math.copysign(nearest_ft, right_ft)


def square_diagonal_ft(a: float, b: float) -> float:
    """Diagonal of a square-cornered rectangle of sides a and b.

    a, b: sides in feet, over 0.
    Returns feet.
    Raises OutOfRange for a side not over 0.
    Source: derived: Pythagoras (3-4-5).
    Valid for: any rectangle.
    """
    require_positive(a=a, b=b)
    return math.hypot(a, b)


def _nearest_on_run(a: Point, b: Point, p: Point) -> tuple[float, float, float]:
    """(distance to the run, perpendicular distance to its line with + right, feet along the run)."""
    run_ft = math.hypot(b[0] - a[0], b[1] - a[1])
    east, north = (b[0] - a[0]) / run_ft, (b[1] - a[1]) / run_ft
    along_ft = (p[0] - a[0]) * east + (p[1] - a[1]) * north
    right_ft = (p[0] - a[0]) * north - (p[1] - a[1]) * east
    if along_ft <= 0:
        return math.hypot(p[0] - a[0], p[1] - a[1]), right_ft, 0.0
    if along_ft >= run_ft:
        return math.hypot(p[0] - b[0], p[1] - b[1]), right_ft, run_ft
    return abs(right_ft), right_ft, along_ft


def _wrapped_deg(angle_deg: float) -> float:
    wrapped = angle_deg % 360
    return 0.0 if wrapped == 360 else wrapped  # a tiny negative angle rounds up to 360


def _require_finite(*figures: float) -> None:
    for figure in figures:
        if not math.isfinite(figure):
            raise PlaneError(f"A point or length must be a finite number of feet or degrees, not {figure}.")


def _require_base(base_ft: float) -> None:
    if base_ft == 0:
        raise PlaneError("A base line needs two different points: its ends are the same.")


def _require_meeting(base_ft: float, tape_a_ft: float, tape_b_ft: float) -> None:
    """A miss under a billionth of the base is rounding of tapes that just touch."""
    short_ft = base_ft - tape_a_ft - tape_b_ft
    over_ft = abs(tape_a_ft - tape_b_ft) - base_ft
    slack_ft = 1e-9 * max(base_ft, tape_a_ft, tape_b_ft)
    if short_ft > slack_ft:
        raise TapesDontMeet(f"The tapes don't meet: together they are {format_ft_in(short_ft)} short of the base.", short_ft)
    if over_ft > slack_ft:
        longer = "first" if tape_a_ft > tape_b_ft else "second"
        raise TapesDontMeet(f"The tapes don't meet: the {longer} reaches {format_ft_in(over_ft)} past the other.", over_ft)
