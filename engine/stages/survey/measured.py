"""What the shots between points come to: places, how every reading fits, and what doesn't. Levels have no part in it."""

from collections.abc import Mapping
from itertools import chain
from typing import NamedTuple, cast

from engine.calc.geometry.plane import Point
from engine.calc.remember import remembered_of
from engine.findings import Finding
from engine.job.model.job import Job
from engine.job.model.rules import SurveyRules
from engine.job.model.shots import LevelShot, Shot
from engine.job.model.shots import Point as KnownPoint
from engine.stages.survey.adjusted import Solution, solve
from engine.stages.survey.network import Placing, ReadValue, first_places, readings
from engine.stages.survey.shot_fit import fit_findings, shot_fits
from engine.stages.survey.survey_facts import ShotFit
from engine.stages.survey.wrong_readings import wrong_readings


class Measured(NamedTuple):
    """Known points, the readings, first and adjusted places, how each reading fits, and the findings on those that don't."""

    known: Mapping[str, Point]
    read: tuple[ReadValue, ...]
    placing: Placing
    solution: Solution
    fits: tuple[ShotFit, ...]
    unfit: tuple[Finding, ...]


def measured(job: Job) -> Measured:
    """Everything that points and the shots between them give; worked out again only where one of those is another."""
    between = ((name, shot) for name, shot in job.shots.items() if not isinstance(shot, LevelShot))
    return _measured(job.rules.survey, job.points, *chain.from_iterable(between))


@remembered_of
def _measured(rules: SurveyRules, points: Mapping[str, KnownPoint], *named: str | Shot) -> Measured:
    shots = cast("dict[str, Shot]", dict(zip(named[::2], named[1::2], strict=True)))
    known = {name: (point.east_ft, point.north_ft) for name, point in points.items()}
    read = readings(shots, rules)
    placing = first_places(known, shots, read, rules)
    solution = solve(known, placing.places, read)
    wrong = wrong_readings(known, solution, read, rules.misfit)
    unfit = tuple(fit_findings(known, shots, read, rules, solution, wrong))
    fits = shot_fits(read, solution, wrong, any(finding.code == "tie_side" for finding in unfit), rules.misfit)
    return Measured(known, read, placing, solution, fits, unfit)
