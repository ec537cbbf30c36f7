"""The ground along a line: level shots at stations, straight between them."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from itertools import pairwise
from operator import sub

from engine.calc.frozen import dataclass
from engine.calc.large_libraries import ArrayLike, Floats, np
from engine.calc.limits import require_positive, require_within
from engine.calc.tolerances import ROUNDING_PLACES


class GroundError(ValueError):
    """A ground profile, or a place on it, that makes no sense."""


@dataclass(frozen=True)
class Profile:
    """Ground levels at rising stations; straight between shots, level beyond the ends as at the end."""

    stations_ft: tuple[float, ...]
    levels_ft: tuple[float, ...]

    def __post_init__(self) -> None:
        if not self.stations_ft or len(self.stations_ft) != len(self.levels_ft):
            raise GroundError(
                f"A ground profile needs a level at each of 1 or more stations: "
                f"it has {len(self.stations_ft)} stations and {len(self.levels_ft)} levels."
            )
        if not all(map(math.isfinite, (*self.stations_ft, *self.levels_ft))):
            raise GroundError("A ground profile holds a figure that is not a finite number of feet.")
        for before, after in pairwise(self.stations_ft):
            if before >= after:
                raise GroundError(f"Ground stations must rise: {after} ft comes after {before} ft.")

    def __hash__(self) -> int:
        """Of a few figures: profiles are looked up often and are seldom alike."""
        return hash((len(self.stations_ft), self.stations_ft[-1], self.levels_ft[0], self.levels_ft[-1]))


def level_at_ft(profile: Profile, station_ft: float) -> float:
    """Ground level at a station.

    profile: the ground. station_ft: feet, finite; beyond the shots the end level holds.
    Returns feet on the profile's datum.
    Raises GroundError for a station that is not finite.
    Source: derived: linear between shots.
    Valid for: ground that runs evenly between shots.
    """
    _require_stations(station_ft)
    stations, levels = profile.stations_ft, profile.levels_ft
    after = bisect_right(stations, station_ft)
    if after == 0:
        return levels[0]
    if after == len(stations):
        return levels[-1]
    part = (station_ft - stations[after - 1]) / (stations[after] - stations[after - 1])
    return levels[after - 1] + part * (levels[after] - levels[after - 1])


def stretch_of(profile: Profile, low_ft: float, high_ft: float, zero_ft: float = 0.0) -> Profile:
    """The ground between two stations alone, as far as the shots beside them.

    profile: the ground. low_ft, high_ft: feet, finite, rising or the same. zero_ft: where the stations of what is given count from, finite.
    Returns the ground, with the very levels of the whole from low_ft to high_ft; beyond them no others than the profile's own count.
    Counted from a station of its own, to a billionth of a foot, a stretch is the same wherever on the line it lies.
    Raises GroundError for a station that is not finite.
    Source: derived: search in the profile.
    Valid for: any two stations.
    """
    _require_stations(low_ft, high_ft, zero_ft)
    first, last = max(bisect_right(profile.stations_ft, low_ft) - 1, 0), bisect_left(profile.stations_ft, high_ft) + 1
    stations_ft = profile.stations_ft[first:last]
    if zero_ft:
        stations_ft = tuple([round(station_ft - zero_ft, ROUNDING_PLACES) for station_ft in stations_ft])
    return Profile(stations_ft, profile.levels_ft[first:last])


def levels_at_ft(profile: Profile, stations_ft: ArrayLike) -> Floats:
    """Ground levels at many stations: `level_at_ft` for an array.

    profile: the ground. stations_ft: feet, finite, any shape.
    Returns feet on the profile's datum, same shape.
    Raises GroundError for a station that is not finite.
    Source: derived: linear between shots.
    Valid for: ground that runs evenly between shots.
    """
    stations = np.asarray(stations_ft, dtype=np.float64)
    if not np.isfinite(stations).all():
        raise GroundError("A station is not a finite number of feet.")
    levels: Floats = np.interp(stations, profile.stations_ft, profile.levels_ft)
    return levels


def levels_along_ft(profile: Profile, stations_ft: Sequence[float]) -> list[float]:
    """Ground levels at stations that rise, in one go along the ground: for a few dozen, which an array would cost more than they do.

    profile: the ground. stations_ft: feet, finite, rising or the same.
    Returns feet on the profile's datum, a level each.
    Raises GroundError for a station that is not finite.
    Source: derived: linear between shots.
    Valid for: ground that runs evenly between shots.
    """
    _require_stations(*stations_ft)
    shots, levels = profile.stations_ft, profile.levels_ft
    after, near_ft, level_ft, grade = 0, 0.0, levels[0], 0.0
    found = []
    for station in stations_ft:
        if after < len(shots) and shots[after] <= station:
            after = bisect_right(shots, station, after)
            near_ft, level_ft = shots[after - 1], levels[after - 1]
            grade = (levels[after] - level_ft) / (shots[after] - near_ft) if after < len(shots) else 0.0
        found.append(grade * (station - near_ft) + level_ft)
    return found


def slope_distance_ft(profile: Profile, a_ft: float, b_ft: float) -> float:
    """Length along the ground between two stations, break by break.

    profile: the ground. a_ft, b_ft: stations, in either order.
    Returns feet, at least the level distance.
    Raises GroundError for a station that is not finite.
    Source: derived: Pythagoras over each even stretch.
    Valid for: ground that runs evenly between shots.
    """
    low_ft, high_ft = sorted((a_ft, b_ft))
    stations = (low_ft, *breaks_between(profile, low_ft, high_ft), high_ft)
    levels = levels_along_ft(profile, stations)
    return math.fsum(map(math.hypot, map(sub, stations[1:], stations), map(sub, levels[1:], levels)))


def chord_ft(profile: Profile, a_ft: float, b_ft: float) -> float:
    """Straight distance between the ground at two stations: a bay's slope length.

    profile: the ground. a_ft, b_ft: stations of the supports, in either order.
    Returns feet, at least the level distance.
    Raises GroundError for a station that is not finite.
    Source: derived: Pythagoras.
    Valid for: supports of equal height over the ground on a straight line.
    """
    return math.hypot(b_ft - a_ft, level_at_ft(profile, b_ft) - level_at_ft(profile, a_ft))


def grade_deg(profile: Profile, a_ft: float, b_ft: float) -> float:
    """Slope angle of the straight line from the ground at a to the ground at b, + uphill.

    profile: the ground. a_ft, b_ft: two different stations, in walking order.
    Returns degrees, -90 < grade < 90; walking back turns the sign.
    Raises GroundError when the stations are the same or not finite.
    Source: derived: atan(rise / run).
    Valid for: any two different stations.
    """
    if a_ft == b_ft:
        raise GroundError(f"A grade needs two different stations: both are {a_ft} ft.")
    rise_ft = level_at_ft(profile, b_ft) - level_at_ft(profile, a_ft)
    return math.degrees(math.atan2(rise_ft, abs(b_ft - a_ft)))


def breaks_between(profile: Profile, a_ft: float, b_ft: float) -> tuple[float, ...]:
    """Stations of the shots strictly between two stations.

    profile: the ground. a_ft, b_ft: stations, in either order.
    Returns feet, rising.
    Raises GroundError for a station that is not finite.
    Source: derived: search in the profile.
    Valid for: any two stations.
    """
    _require_stations(a_ft, b_ft)
    low_ft, high_ft = sorted((a_ft, b_ft))
    return profile.stations_ft[bisect_right(profile.stations_ft, low_ft) : bisect_left(profile.stations_ft, high_ft)]


def height_of_chord_ft(
    stations_ft: Sequence[float], ground_ft: Sequence[float], eye_a_ft: float, eye_b_ft: float, sag_ft: float = 0.0
) -> list[float]:
    """Height over the ground of a cable between two eyes, at the first station and the last, less its parabolic sag.

    Sag is measured straight down from the chord at mid-bay: 4 sag x (L - x) / L^2 at x from the first. A negative height means
    that the ground stands above the cable there.

    stations_ft: at least both eyes' and any between. ground_ft: level of the ground at each. eye_a_ft, eye_b_ft: levels of the
    eyes, finite. sag_ft: at mid-bay, 0 or more.
    Returns feet, a height for each station.
    Raises GroundError for stations and levels, OutOfRange for eyes and sag outside those.
    Source: derived: straight chord; parabola for a load even along the level.
    Valid for: tight cables, sag up to about a tenth of the bay, on a straight line.
    """
    if len(stations_ft) < 2 or len(ground_ft) != len(stations_ft):
        raise GroundError(f"A bay has a ground level at each of 2 or more stations, not {len(ground_ft)} at {len(stations_ft)}.")
    start_ft, long_ft = stations_ft[0], stations_ft[-1] - stations_ft[0]
    if not 0 < long_ft < math.inf:
        raise GroundError(f"A bay runs from a lower to a higher station, not along {stations_ft} ft.")
    if not (math.isfinite(eye_a_ft) and math.isfinite(eye_b_ft) and 0 <= sag_ft < math.inf):
        require_within(-math.inf, math.inf, "the level of an eye", eye_a_ft=eye_a_ft, eye_b_ft=eye_b_ft)
        require_within(0, math.inf, "a cable sags downwards", sag_ft=sag_ft)
    climb_ft, sags_ft = eye_b_ft - eye_a_ft, 4 * sag_ft
    found = []
    for station, ground in zip(stations_ft, ground_ft, strict=True):
        part = (station - start_ft) / long_ft
        if not 0 <= part <= 1:
            raise GroundError(f"A station is outside the bay: {stations_ft} ft.")
        found.append(eye_a_ft + part * climb_ft - sags_ft * part * (1 - part) - ground)
    return found


def apron_left_in(wire_width_in: float, height_in: float, fold_in: float) -> float:
    """Width of wire left to lie on the ground when it hangs from the cable: width - fold - height.

    The top `fold_in` of the wire is turned over the cable; the rest hangs straight down. Negative: the wire ends that
    much above the ground.

    wire_width_in: inches, over 0. height_in: cable over the ground, 0 or more. fold_in: 0 to the wire's width.
    Returns inches.
    Raises OutOfRange outside those.
    Source: derived: what doesn't hang lies on the ground.
    Valid for: wire that hangs plumb over ground square to the line that is level.
    """
    require_positive(wire_width_in=wire_width_in)
    require_within(0, wire_width_in, "the fold is part of the wire's width", fold_in=fold_in)
    require_within(0, math.inf, "the cable stands over the ground", height_in=height_in)
    return wire_width_in - fold_in - height_in


def _require_stations(*stations_ft: float) -> None:
    if not all(map(math.isfinite, stations_ft)):
        raise GroundError(f"A station must be a finite number of feet: {stations_ft}.")
