"""All readings brought to one answer: adjusted places, and how each reading sits in them."""

from collections.abc import Iterable, Mapping

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point, distance_ft
from engine.calc.measuring.adjust import Ellipse, Fit, FloatingPoint, adjust
from engine.calc.measuring.observations import AdjustError
from engine.calc.remember import remembered
from engine.calc.tolerances import SAME_SPOT_FT
from engine.stages.survey.network import ReadValue

_PLACES, _DEGREES = 9, 6
"""Places and their errors are kept to a thousand-millionth of a foot, azimuths of ellipses to a millionth of a degree: what another reading
elsewhere doesn't move stays the very same."""


@dataclass(frozen=True)
class Solution:
    """Known and adjusted places, error ellipses of the adjusted, fits by reading; points the readings leave loose."""

    places: dict[str, Point]
    ellipses: dict[str, Ellipse]
    fits: dict[str, Fit]
    degrees_of_freedom: int
    loose: tuple[str, ...] = ()
    settled: bool = True


def solve(known: Mapping[str, Point], places: Mapping[str, Point], read: tuple[ReadValue, ...]) -> Solution:
    """Adjusted places of every point that has a first place; points the readings can't hold are let go and named."""
    loose: tuple[str, ...] = ()
    while True:
        held = {name: place for name, place in places.items() if name not in loose}
        free = {name: place for name, place in held.items() if name not in known}
        usable = _usable(read, held)
        if not usable:
            return Solution(dict(known), {}, {}, 0, (*loose, *free))
        try:
            found = adjust(known, free, [reading.observation for reading in usable])
            places = {name: _place(round(east, _PLACES) + 0.0, round(north, _PLACES) + 0.0) for name, (east, north) in found.points.items()}
            ellipses = {name: _kept(ellipse) for name, ellipse in found.ellipses.items()}
            return Solution({**known, **places}, ellipses, found.fits, found.degrees_of_freedom, loose, found.converged)
        except FloatingPoint as floats:
            loose += floats.points
        except AdjustError:
            return Solution(dict(known), {}, {}, 0, (*loose, *free), settled=False)


@remembered
def _place(east_ft: float, north_ft: float) -> Point:
    return east_ft, north_ft


def _kept(found: Ellipse) -> Ellipse:
    return Ellipse(round(found.semi_major_ft, _PLACES), round(found.semi_minor_ft, _PLACES), round(found.azimuth_deg, _DEGREES) % 180)


def hanging_together(points: Iterable[str], read: tuple[ReadValue, ...], known: Mapping[str, Point]) -> tuple[ReadValue, ...]:
    """The readings whose points hang together with these, by points that aren't known: nothing else moves with them."""
    held: set[str] = set()
    grown = set(points) - set(known)
    while grown != held:
        held = grown
        grown = held.union(*(set(one.points) - set(known) for one in read if held & set(one.points)))
    return tuple(one for one in read if held & set(one.points))


def solve_part(known: Mapping[str, Point], places: Mapping[str, Point], part: tuple[ReadValue, ...]) -> Solution:
    """What hangs together, worked out by itself: the points that its readings name."""
    named = {name for reading in part for name in reading.points}
    return solve(known, {name: place for name, place in places.items() if name in known or name in named}, part)


def with_part(solution: Solution, part: tuple[ReadValue, ...], anew: Solution) -> Solution:
    """A solution with what hangs together in place of what it said of that."""
    points, keys = {name for reading in part for name in reading.points}, {reading.key for reading in part}
    fits = {key: anew.fits.get(key, fit) for key, fit in solution.fits.items() if key in anew.fits or key not in keys}
    ellipses = {
        name: anew.ellipses.get(name, one) for name, one in solution.ellipses.items() if name in anew.ellipses or name not in points
    }
    return Solution(
        places={name: anew.places.get(name, at) for name, at in solution.places.items() if name in anew.places or name not in points},
        ellipses=ellipses,
        fits=fits,
        degrees_of_freedom=len(fits) - 2 * len(ellipses),
        loose=(*solution.loose, *anew.loose),
        settled=anew.settled,
    )


def _usable(read: tuple[ReadValue, ...], places: Mapping[str, Point]) -> tuple[ReadValue, ...]:
    """Readings whose points all have places, with the first two apart (a tape's ends, an offset's base)."""
    return tuple(
        reading
        for reading in read
        if all(name in places for name in reading.points)
        and distance_ft(places[reading.points[0]], places[reading.points[1]]) > SAME_SPOT_FT
    )
