"""What the shots between points come to: places; and by those how every reading fits, and what doesn't. Levels have no part in it."""

from collections.abc import Mapping
from itertools import chain
from typing import NamedTuple, cast

from engine.calc.geometry.plane import Point
from engine.calc.measuring.adjust import Ellipse
from engine.calc.remember import remembered_columns, remembered_of
from engine.findings import Finding
from engine.job.model.job import Job
from engine.job.model.rules import SurveyRules
from engine.job.model.shots import Point as KnownPoint
from engine.job.model.shots import Shot
from engine.stages.survey.adjusted import Solution, solve
from engine.stages.survey.network import Placing, ReadValue, first_places, readings
from engine.stages.survey.shot_fit import fit_findings, shot_fits
from engine.stages.survey.survey_facts import PlacedPoint, ShotFit
from engine.stages.survey.wrong_readings import wrong_readings


class Measured(NamedTuple):
    """The shots between points, known points, the readings, first and adjusted places, and every point that has one."""

    shots: Mapping[str, Shot]
    known: Mapping[str, Point]
    read: tuple[ReadValue, ...]
    placing: Placing
    solution: Solution
    points: Mapping[str, PlacedPoint]


class ReadingsJudged(NamedTuple):
    """How each reading fits, the findings on those that don't, points that are read and have no place, and those that nothing checks."""

    fits: tuple[ShotFit, ...]
    unfit: tuple[Finding, ...]
    without_place: tuple[str, ...]
    unchecked: tuple[str, ...]


_EXACT = Ellipse(0.0, 0.0, 0.0)
"""A known point's ellipse."""


def measured(job: Job) -> Measured:
    """The places that points and the shots between them give; worked out again only where one of those is another."""
    between = (named for named in job.shots.items() if named[1].method != "level")
    return _measured(job.rules.survey, job.points, *chain.from_iterable(between))


@remembered_of
def _measured(rules: SurveyRules, points: Mapping[str, KnownPoint], *named: str | Shot) -> Measured:
    shots = cast("dict[str, Shot]", dict(zip(named[::2], named[1::2], strict=True)))
    known = _known(points)
    read = readings(shots, rules)
    placing = first_places(known, shots, read, rules)
    solution = solve(known, placing.places, read)
    return Measured(shots, known, read, placing, solution, _points(known, placing, solution))


@remembered_of
def _known(points: Mapping[str, KnownPoint]) -> Mapping[str, Point]:
    """Places of the known points, the very same from walk to walk."""
    return {name: (point.east_ft, point.north_ft) for name, point in points.items()}


def _points(known: Mapping[str, Point], placing: Placing, solution: Solution) -> dict[str, PlacedPoint]:
    """Known points, then the measured ones in the order they were placed."""
    names = [name for name in placing.places if name in solution.places]
    ellipses = [solution.ellipses.get(name, _EXACT) for name in names]
    how = ["known" if name in known else placing.how[name] for name in names]
    return dict(zip(names, _point(names, [solution.places[name] for name in names], ellipses, how), strict=True))


@remembered_columns
def _point(name: str, at: Point, ellipse: Ellipse, how: str) -> PlacedPoint:
    return PlacedPoint(name, *at, ellipse.semi_major_ft, ellipse, how)


@remembered_of
def judged(rules: SurveyRules, found: Measured) -> ReadingsJudged:
    """What is to be said of the readings by the places that they give."""
    known, read, solution = found.known, found.read, found.solution
    wrong = wrong_readings(known, solution, read, rules.misfit)
    unfit = tuple(fit_findings(known, found.shots, read, rules, solution, wrong))
    fits = shot_fits(read, solution, wrong, any(finding.code == "tie_side" for finding in unfit), rules.misfit)
    read_to = dict.fromkeys(chain.from_iterable(reading.points for reading in read))
    return ReadingsJudged(fits, unfit, tuple(name for name in read_to if name not in solution.places), _unchecked(read, solution))


def _unchecked(read: tuple[ReadValue, ...], solution: Solution) -> tuple[str, ...]:
    """Adjusted points all of whose readings have nothing to check them."""
    checking = (reading for reading in read if (fit := solution.fits.get(reading.key)) and fit.standardised is not None)
    checked = set(chain.from_iterable(reading.points for reading in checking))
    return tuple(name for name in solution.ellipses if name not in checked)
