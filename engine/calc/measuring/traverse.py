"""A walk of taped and turned courses: how well it closes."""

from __future__ import annotations

import math
from collections.abc import Sequence

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point, latitude_departure
from engine.calc.tolerances import ROUNDING_FT


class TraverseError(ValueError):
    """Courses from which no traverse can be made."""


@dataclass(frozen=True)
class Course:
    """One leg: level length and azimuth (degrees clockwise from north)."""

    length_ft: float
    azimuth_deg: float


@dataclass(frozen=True)
class Traverse:
    """How well a walk of courses closes.

    Closure errors are + when its end comes out too far north (latitude) or east (departure). `precision` is the N of 1:N, None when the
    misclosure is under a billionth of a foot.
    """

    total_ft: float
    closure_latitude_ft: float
    closure_departure_ft: float
    misclosure_ft: float
    precision: float | None


def traverse(start: Point, courses: Sequence[Course], end: Point | None = None) -> Traverse:
    """How far a walk of courses misses its end: the sums of L cos azimuth and L sin azimuth against the way from start to end.

    start: first point. courses: 1 or more, lengths over 0. end: the known last point; None closes on the start.
    Returns a Traverse, feet.
    Raises TraverseError for no courses or a length that is not over 0; PlaneError for a figure that is not finite.
    Source: Jerry Mahun, Open Access Surveying Library, "Traverse Computations", ch. G and I.
    Valid for: any traverse; no blunder is looked for.
    """
    _require_courses(courses)
    walked = [latitude_departure(course.length_ft, course.azimuth_deg) for course in courses]
    aim = start if end is None else end
    closure_latitude = math.fsum(latitude for latitude, _ in walked) - (aim[1] - start[1])
    closure_departure = math.fsum(departure for _, departure in walked) - (aim[0] - start[0])
    total = math.fsum(course.length_ft for course in courses)
    misclosure = math.hypot(closure_latitude, closure_departure)
    return Traverse(total, closure_latitude, closure_departure, misclosure, total / misclosure if misclosure > ROUNDING_FT else None)


def _require_courses(courses: Sequence[Course]) -> None:
    if not courses:
        raise TraverseError("A traverse needs at least one course.")
    for number, course in enumerate(courses, 1):
        if not 0 < course.length_ft < math.inf:
            raise TraverseError(f"Course {number} is {course.length_ft} ft long: it must be over 0 ft.")
