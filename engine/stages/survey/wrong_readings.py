"""Which readings are wrong and by how much, as the others say it; where they can't tell which, all that it may be."""

from collections.abc import Iterator, Mapping
from math import inf, sqrt

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point
from engine.calc.measuring.adjust import Fit
from engine.calc.measuring.observations import Direction, misfit_and_slopes, sigma_of
from engine.stages.survey.adjusted import Solution, hanging_together, solve, solve_part, with_part
from engine.stages.survey.network import ReadValue

_MOST_WRONG = 5
_MOST_LEFT_OUT = 4
_TELLS = 6.0
"""Difference of two sums of squares from which the smaller one tells: exp(6 / 2), twenty to one."""
_SLIPS_FT = (1.0, 10.0)
_AS_GOOD_AS_A_SLIP_FT = 0.15
_LEAST_SHARE = 0.8
"""Share of the worst misfit below which a reading is no suspect: the squares of what is left would differ by far more than chance."""


@dataclass(frozen=True)
class Suspect:
    """A reading that may be the wrong one: by how much the others say it is off (its own unit, + reads long), and how sure they are."""

    reading: ReadValue
    off: float
    sigma: float

    @property
    def from_a_slip_ft(self) -> float:
        """How near it is to being off by a foot or by ten feet, which are soon misread; endless where it can't be that."""
        if isinstance(self.reading.observation, Direction) or self.reading.method == "paces":
            return inf
        near_ft = min(abs(abs(self.off) - slip_ft) for slip_ft in _SLIPS_FT)
        return near_ft if near_ft <= min(2 * self.sigma, _AS_GOOD_AS_A_SLIP_FT) else inf


@dataclass(frozen=True)
class WrongReading:
    """A wrong reading: the one it is, or every one it may be, the likeliest first; `without` is everything without that one."""

    suspects: tuple[Suspect, ...]
    without: Solution

    @property
    def reading(self) -> ReadValue:
        """The reading that is wrong, or most likely is."""
        return self.suspects[0].reading


def wrong_readings(known: Mapping[str, Point], solution: Solution, read: tuple[ReadValue, ...], limit: float) -> tuple[WrongReading, ...]:
    """Readings that don't fit the others, worst first; each is left out before the next is looked for. Five at most.

    A reading is a suspect where its residual, over its own standard error, is near the largest. Everything is worked out
    anew without each suspect: the squares of the misfits that this leaves tell them apart, and where the points come to
    stand tells how far the suspect is off. Of suspects that nothing tells apart one that is a foot or ten feet off comes first.

    Source: W. Baarda, "A Testing Procedure for Use in Geodetic Networks" (1968), from memory: data snooping, one wrong reading at a time.
    Valid for: a few wrong readings among many right ones.
    """
    if all(fit.standardised is None or abs(fit.standardised) <= limit for fit in solution.fits.values()):
        return ()
    found: list[WrongReading] = []
    left = tuple(reading for reading in read if reading.key in solution.fits)
    while len(found) < _MOST_WRONG:
        tested = sorted(_tested(left, solution), key=lambda pair: -round(pair[0], 6))  # of equals in the order of the shots
        if not tested or tested[0][0] <= limit:
            break
        wrong = _told_apart(known, solution, left, tested)
        found.append(wrong)
        solution = wrong.without
        left = tuple(other for other in left if other.key in solution.fits)
    return tuple(found)


def _tested(left: tuple[ReadValue, ...], solution: Solution) -> Iterator[tuple[float, ReadValue]]:
    """The size of each reading's residual over its standard error; readings that nothing checks are left out."""
    for reading in left:
        standardised = solution.fits[reading.key].standardised
        if standardised is not None:
            yield abs(standardised), reading


def _told_apart(
    known: Mapping[str, Point], solution: Solution, left: tuple[ReadValue, ...], tested: list[tuple[float, ReadValue]]
) -> WrongReading:
    """The suspects that the other readings can't tell apart, and the solution without the first of them."""
    near = [reading for size, reading in tested if size >= _LEAST_SHARE * tested[0][0]][:_MOST_LEFT_OUT]
    tries: list[tuple[float, Suspect]] = []
    left_by: dict[str, Solution] = {}
    for reading in near:
        part = hanging_together(reading.points, left, known)
        without = solve_part(known, solution.places, tuple(other for other in part if other is not reading))
        left_by[reading.key] = with_part(solution, part, without)
        tries.append((_squares(left, left_by[reading.key]), _suspect(reading, solution.fits[reading.key], without)))
    least = min(squares for squares, _ in tries)
    likely = sorted((suspect for squares, suspect in tries if squares <= least + _TELLS), key=lambda one: one.from_a_slip_ft)
    alike = [reading for size, reading in tested if size**2 >= tested[0][0] ** 2 - _TELLS]
    more = [_suspect(reading, solution.fits[reading.key], None) for reading in alike if reading not in near]
    first = likely[0].reading
    if solution.settled:
        return WrongReading((*likely, *more), left_by[first.key])
    return WrongReading((*likely, *more), solve(known, solution.places, tuple(other for other in left if other is not first)))


def _squares(left: tuple[ReadValue, ...], solution: Solution) -> float:
    """Sum of the squares of the misfits, each over the standard error of its method."""
    fits = ((reading, solution.fits.get(reading.key)) for reading in left)
    return sum(_square(reading, fit) for reading, fit in fits if fit)


def _square(reading: ReadValue, fit: Fit) -> float:
    return (fit.residual / sigma_of(reading.observation)) ** 2


def _suspect(reading: ReadValue, fit: Fit, without: Solution | None) -> Suspect:
    """How far a reading is off by the places without it; by its share of the misfit where they aren't worked out or don't hold."""
    off = fit.residual / fit.redundancy
    if without is not None and without.settled and all(name in without.places for name in reading.points):
        off, _ = misfit_and_slopes(reading.observation, without.places)
    return Suspect(reading, off, sigma_of(reading.observation) / sqrt(fit.redundancy))
