"""A walk of taped and turned courses: how well it closes, and its points once the misclosure is shared out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import accumulate

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
    """A traverse before and after adjustment, in the order of its courses.

    Closure errors are + when the raw end comes out too far north (latitude) or east (departure); corrections have the
    opposite sign. `precision` is the N of 1:N, None when the misclosure is under a billionth of a foot.
    """

    total_ft: float
    raw_latitudes_ft: tuple[float, ...]
    raw_departures_ft: tuple[float, ...]
    closure_latitude_ft: float
    closure_departure_ft: float
    misclosure_ft: float
    precision: float | None
    latitudes_ft: tuple[float, ...]
    departures_ft: tuple[float, ...]
    points: tuple[Point, ...]
    """Adjusted, the start first and the end last: one more than courses."""
    courses: tuple[Course, ...]
    """Adjusted lengths and azimuths."""


def compass_rule(start: Point, courses: Sequence[Course], end: Point | None = None) -> Traverse:
    """Traverse adjusted by the compass rule: each course takes misclosure in proportion to its length.

    lat = L cos azimuth, dep = L sin azimuth; lat' = lat - eL L / sum L, dep' likewise. No blunder is looked for: judge
    `precision` first.

    start: first point. courses: 1 or more, lengths over 0. end: the known last point; None closes on the start.
    Returns a Traverse, feet and degrees.
    Raises TraverseError for no courses or a length that is not over 0; PlaneError for a figure that is not finite.
    Source: Jerry Mahun, Open Access Surveying Library, "Traverse Computations", ch. G and I.
    Valid for: traverses whose lengths and angles are about equally good; blunders removed.
    """
    _require_courses(courses)
    raw = [latitude_departure(course.length_ft, course.azimuth_deg) for course in courses]
    aim = start if end is None else end
    closure_latitude = math.fsum(latitude for latitude, _ in raw) - (aim[1] - start[1])
    closure_departure = math.fsum(departure for _, departure in raw) - (aim[0] - start[0])
    total = math.fsum(course.length_ft for course in courses)
    misclosure = math.hypot(closure_latitude, closure_departure)
    shares = [course.length_ft / total for course in courses]
    latitudes = tuple(latitude - closure_latitude * share for (latitude, _), share in zip(raw, shares, strict=True))
    departures = tuple(departure - closure_departure * share for (_, departure), share in zip(raw, shares, strict=True))
    return Traverse(
        total_ft=total,
        raw_latitudes_ft=tuple(latitude for latitude, _ in raw),
        raw_departures_ft=tuple(departure for _, departure in raw),
        closure_latitude_ft=closure_latitude,
        closure_departure_ft=closure_departure,
        misclosure_ft=misclosure,
        precision=total / misclosure if misclosure > ROUNDING_FT else None,
        latitudes_ft=latitudes,
        departures_ft=departures,
        points=tuple(zip(accumulate(departures, initial=start[0]), accumulate(latitudes, initial=start[1]), strict=True)),
        courses=tuple(map(_course, latitudes, departures)),
    )


def _require_courses(courses: Sequence[Course]) -> None:
    if not courses:
        raise TraverseError("A traverse needs at least one course.")
    for number, course in enumerate(courses, 1):
        if not 0 < course.length_ft < math.inf:
            raise TraverseError(f"Course {number} is {course.length_ft} ft long: it must be over 0 ft.")


def _course(latitude_ft: float, departure_ft: float) -> Course:
    azimuth = math.degrees(math.atan2(departure_ft, latitude_ft)) % 360
    return Course(math.hypot(latitude_ft, departure_ft), 0.0 if azimuth == 360 else azimuth)
