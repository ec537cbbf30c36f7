"""All readings brought to one answer: adjusted places, and how each reading sits in them."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point, distance_ft
from engine.calc.large_libraries import np
from engine.calc.measuring.adjust import Adjustment, Ellipse, Fit, FloatingPoint, adjust
from engine.calc.measuring.observations import AdjustError, Along, Offset
from engine.calc.measuring.side_shot import side_shot
from engine.calc.remember import remembered, remembered_of
from engine.calc.tolerances import SAME_SPOT_FT
from engine.stages.survey.network import ReadValue

_PLACES, _DEGREES = 9, 6
"""Places and their errors are kept to a thousand-millionth of a foot, azimuths of ellipses to a millionth of a degree: what another reading
elsewhere doesn't move stays the very same."""
_UNCHECKED = Fit(0.0, 0.0, None)
"""Nothing says whether such a reading fits."""


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
    """Adjusted places of every point that has a first place; points the readings can't hold are let go and named. What one offset fixes
    and nothing else names is worked out beside the others: they stay the very same."""
    aside = _aside(known, read)
    main = [one for one in read if one.points[-1] not in aside]
    among = {name: place for name, place in places.items() if name not in aside}
    network = _network(_same(tuple(known.items())), _same(tuple(among.items())), *main)
    return _with_aside(network, places, aside) if aside else network.solution


def _aside(known: Mapping[str, Point], read: tuple[ReadValue, ...]) -> dict[str, tuple[ReadValue, ReadValue]]:
    """Points that the two readings of one offset name, and no other, with those."""
    named = Counter(name for reading in read for name in reading.points)
    pairs = [pair for pair in pairwise(read) if pair[0].part == "along" and pair[0].shot == pair[1].shot]
    return {one.points[-1]: (one, other) for one, other in pairs if named[one.points[-1]] == 2 and one.points[-1] not in known}


class _Network(NamedTuple):
    """The points that hang on each other, and the adjustment they come from; None where there is none."""

    solution: Solution
    adjusted: Adjustment | None


def _with_aside(network: _Network, places: Mapping[str, Point], aside: Mapping[str, tuple[ReadValue, ReadValue]]) -> Solution:
    """A solution with the points beside it, in the order of the first places."""
    solution, found = network
    placed, ellipses, fits, loose = {**solution.places}, {**solution.ellipses}, {**solution.fits}, [*solution.loose]
    for name, (along, off) in aside.items():
        a, b, _ = along.points
        if not (name in places and a in solution.places and b in solution.places and distance_ft(places[a], places[b]) > SAME_SPOT_FT):
            loose += [name] if name in places else []
            continue
        assert isinstance(along.observation, Along)
        assert isinstance(off.observation, Offset)
        measured_ft = along.observation.along_ft, off.observation.offset_ft
        sigmas_ft = along.observation.sigma_ft, off.observation.sigma_ft
        covariance = found.covariance(a, b) if found is not None else np.zeros((4, 4))
        at, ellipse = side_shot(solution.places[a], solution.places[b], measured_ft, sigmas_ft, covariance)
        placed[name], ellipses[name] = _place(at), _kept(ellipse)
        fits |= {along.key: _UNCHECKED, off.key: _UNCHECKED}
    return Solution(
        placed,
        {name: ellipses[name] for name in places if name in ellipses},
        fits,
        solution.degrees_of_freedom,
        tuple(loose),
        solution.settled,
    )


@remembered
def _same(points: tuple[tuple[str, Point], ...]) -> tuple[tuple[str, Point], ...]:
    return points


@remembered_of
def _network(known_points: tuple[tuple[str, Point], ...], among: tuple[tuple[str, Point], ...], *read: ReadValue) -> _Network:
    known, places = dict(known_points), dict(among)
    loose: tuple[str, ...] = ()
    while True:
        held = {name: place for name, place in places.items() if name not in loose}
        free = {name: place for name, place in held.items() if name not in known}
        usable = _usable(read, held)
        if not usable:
            return _Network(Solution(known, {}, {}, 0, (*loose, *free)), None)
        try:
            found = adjust(known, free, [reading.observation for reading in usable])
            places = {name: _place(at) for name, at in found.points.items()}
            ellipses = {name: _kept(ellipse) for name, ellipse in found.ellipses.items()}
            return _Network(Solution({**known, **places}, ellipses, found.fits, found.degrees_of_freedom, loose, found.converged), found)
        except FloatingPoint as floats:
            loose += floats.points
        except AdjustError:
            return _Network(Solution(known, {}, {}, 0, (*loose, *free), settled=False), None)


def _place(at: Point) -> Point:
    return _same_place(round(at[0], _PLACES) + 0.0, round(at[1], _PLACES) + 0.0)


@remembered
def _same_place(east_ft: float, north_ft: float) -> Point:
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


def _usable(read: Sequence[ReadValue], places: Mapping[str, Point]) -> tuple[ReadValue, ...]:
    """Readings whose points all have places, with the first two apart (a tape's ends, an offset's base)."""
    return tuple(
        reading
        for reading in read
        if all(name in places for name in reading.points)
        and distance_ft(places[reading.points[0]], places[reading.points[1]]) > SAME_SPOT_FT
    )
