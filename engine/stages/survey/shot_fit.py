"""All readings brought to one answer, and the one shot that doesn't fit, in words."""

import math
from collections.abc import Iterator, Mapping

from pydantic import ValidationError

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point, deflection_deg, distance_ft
from engine.calc.lengths import format_ft, format_ft_in
from engine.calc.measuring.adjust import Adjustment, Ellipse, Fit, FloatingPoint, adjust
from engine.calc.measuring.misread import swapped_figures
from engine.calc.measuring.observations import AdjustError, Direction
from engine.calc.phrases import listed
from engine.calc.tolerances import ROUNDING_FT, SAME_SPOT_FT
from engine.findings import Finding, FindingOf
from engine.job.model.rules import SurveyRules
from engine.job.model.shots import Shot, TieShot
from engine.stages.survey.network import ReadValue, first_places, readings
from engine.stages.survey.survey_facts import ShotFit

_finding = FindingOf("survey")

_MOST_MISFITS = 5
_FIELDS = {
    "tape a": "tape_a_ft", "tape b": "tape_b_ft", "tape": "length_ft", "length": "length_ft", "bearing": "azimuth_deg",
    "along": "along_ft", "offset": "offset_ft", "paces": "paces",
}  # fmt: skip
"""Where the file holds a reading."""
_RIVAL = 0.95
"""Share of the worst misfit above which another reading may as well be the wrong one."""


@dataclass(frozen=True)
class Solution:
    """Known and adjusted places, error ellipses of the adjusted, fits by reading; points the readings leave loose."""

    places: dict[str, Point]
    ellipses: dict[str, Ellipse]
    fits: dict[str, Fit]
    degrees_of_freedom: int
    loose: tuple[str, ...] = ()
    settled: bool = True


@dataclass(frozen=True)
class Misfit:
    """A reading that doesn't fit, by how much the others say it is off (its own unit, + reads long), and others as likely wrong."""

    reading: ReadValue
    off: float
    rivals: tuple[ReadValue, ...]


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
            return _solution(known, adjust(known, free, [reading.observation for reading in usable]), loose)
        except FloatingPoint as floats:
            loose += floats.points
        except AdjustError:
            return Solution(dict(known), {}, {}, 0, (*loose, *free), settled=False)


def _usable(read: tuple[ReadValue, ...], places: Mapping[str, Point]) -> tuple[ReadValue, ...]:
    """Readings whose points all have places, with the first two apart (a tape's ends, an offset's base)."""
    return tuple(
        reading
        for reading in read
        if all(name in places for name in reading.points)
        and distance_ft(places[reading.points[0]], places[reading.points[1]]) > SAME_SPOT_FT
    )


def _solution(known: Mapping[str, Point], found: Adjustment, loose: tuple[str, ...]) -> Solution:
    return Solution({**known, **found.points}, found.ellipses, found.fits, found.degrees_of_freedom, loose, found.converged)


def misfits(known: Mapping[str, Point], solution: Solution, read: tuple[ReadValue, ...], limit: float) -> tuple[Misfit, ...]:
    """Readings that don't fit the others, worst first; each is left out before the next is looked for. Five at most.

    A reading's residual over its redundancy is what the other readings say it is off by.

    Source: W. Baarda, "A Testing Procedure for Use in Geodetic Networks" (1968), from memory.
    Valid for: a few wrong readings among many right ones; where nothing tells two readings apart both are named.
    """
    found: list[Misfit] = []
    left = tuple(reading for reading in read if reading.key in solution.fits)
    while len(found) < _MOST_MISFITS:
        tested = [(abs(fit.standardised), reading) for reading in left if (fit := solution.fits[reading.key]).standardised is not None]
        worst, reading = max(tested, key=lambda pair: pair[0], default=(0.0, None))
        if reading is None or worst <= limit:
            break
        rivals = tuple(other for size, other in tested if other is not reading and size >= _RIVAL * worst)
        fit = solution.fits[reading.key]
        found.append(Misfit(reading, fit.residual / fit.redundancy, rivals))
        solution = solve(known, solution.places, tuple(other for other in left if other is not reading))
        left = tuple(other for other in left if other.key in solution.fits)
    return tuple(found)


def across(shots: Mapping[str, Shot], solution: Solution) -> tuple[str, ...]:
    """Ties whose point the other shots have pulled to the side that the tie doesn't name."""
    return tuple(name for name, shot in shots.items() if isinstance(shot, TieShot) and _is_across(shot, solution.places))


def _is_across(tie: TieShot, at: Mapping[str, Point]) -> bool:
    if not all(name in at for name in (tie.from_a, tie.from_b, tie.point)):
        return False
    a, b, point = at[tie.from_a], at[tie.from_b], at[tie.point]
    if min(distance_ft(a, b), distance_ft(b, point)) < SAME_SPOT_FT:
        return False
    turn = deflection_deg(a, b, point)
    return 1 < abs(turn) < 179 and (turn > 0) != (tie.side == "right")


def wrong_side(
    known: Mapping[str, Point], shots: Mapping[str, Shot], read: tuple[ReadValue, ...], rules: SurveyRules, found: tuple[Misfit, ...]
) -> tuple[str, ...]:
    """The tie whose point, put on the other side, makes every shot fit; none where no one tie does."""
    points = {name for misfit in found for reading in (misfit.reading, *misfit.rivals) for name in reading.points}
    for name, shot in shots.items():
        if not isinstance(shot, TieShot) or shot.point not in points:
            continue
        other = "right" if shot.side == "left" else "left"
        turned = {**shots, name: shot.model_copy(update={"side": other})}
        solution = solve(known, first_places(known, turned, read, rules).places, read)
        sizes = [abs(fit.standardised) for fit in solution.fits.values() if fit.standardised is not None]
        if solution.settled and not solution.loose and max(sizes, default=0.0) <= rules.misfit:
            return (name,)
    return ()


def fit_findings(
    known: Mapping[str, Point], shots: Mapping[str, Shot], read: tuple[ReadValue, ...], rules: SurveyRules, solution: Solution
) -> Iterator[Finding]:
    """Findings on shots that don't fit: a tie on the wrong side, or the worst readings one by one."""
    if not solution.settled:
        yield _finding(
            "survey_unsettled", "fix", (), "The shots contradict each other so much that the points don't settle.",
            "Look for a shot to the wrong point or a tape read wrong, and take it out.",
        )  # fmt: skip
    found = misfits(known, solution, read, rules.misfit)
    turned = across(shots, solution) or (wrong_side(known, shots, read, rules, found) if found else ())
    yield from (_side_finding(name, shots[name]) for name in turned)
    told: set[str] = set()
    for misfit in () if turned else found:
        if misfit.reading.shot not in told:
            told.add(misfit.reading.shot)
            yield _misfit_finding(misfit, _swapped(known, shots, rules, misfit))


def _swapped(known: Mapping[str, Point], shots: Mapping[str, Shot], rules: SurveyRules, misfit: Misfit) -> str:
    """The reading, or one as likely wrong, that fits with two neighbouring figures swapped, as a sentence; empty where none does."""
    for reading in (misfit.reading, *misfit.rivals):
        field = _FIELDS[reading.part]
        written = getattr(shots[reading.shot], field)
        for meant in swapped_figures(abs(written)):
            shot = _as_meant(shots[reading.shot], field, math.copysign(meant, written))
            if shot is not None and _settles(known, {**shots, reading.shot: shot}, rules, reading):
                what = "" if reading is misfit.reading else f"{reading.words}, "
                return f" {what}{_written(written)}{',' if what else ''} may be {_written(meant)} with two digits swapped."
    return ""


def _as_meant(shot: Shot, field: str, meant: float) -> Shot | None:
    """The shot with another reading; None where nobody can have read that, as a tape shorter than it rises."""
    try:
        return type(shot).model_validate({**shot.model_dump(), field: meant})
    except ValidationError:
        return None


def _settles(known: Mapping[str, Point], shots: Mapping[str, Shot], rules: SurveyRules, reading: ReadValue) -> bool:
    """Whether every reading to the points of this one fits."""
    read = readings(shots, rules)
    solution = solve(known, first_places(known, shots, read, rules).places, read)
    near = {name for name in reading.points if name not in known}
    fits = [solution.fits.get(other.key) for other in read if near & set(other.points)]
    return solution.settled and all(fit and abs(fit.standardised or 0.0) <= rules.misfit for fit in fits)


def _written(reading: float) -> str:
    """A reading as it was written: 57.4, or in feet and inches where decimals don't give it."""
    return f"{reading:.2f}".rstrip("0").rstrip(".") if abs(round(reading, 2) - reading) < ROUNDING_FT else format_ft_in(reading)


def _side_finding(name: str, tie: Shot) -> Finding:
    assert isinstance(tie, TieShot)
    says = f"The tie {name} says {tie.point} is {tie.side} of {tie.from_a} to {tie.from_b}, but the other shots put it on the other side."
    return _finding("tie_side", "fix", (name, tie.point), says, f"Look which side {tie.point} is on, and change the tie.")


def _misfit_finding(misfit: Misfit, swapped: str) -> Finding:
    reading = misfit.reading
    rivals = sorted({rival.shot for rival in misfit.rivals} - {reading.shot})
    says = f"{reading.words} {_off(reading, misfit.off)} what the other shots say.{swapped}"
    do = f"Measure {reading.shot} again."
    if rivals:
        do = f"Measure {reading.shot} again; {listed(rivals)} could just as well be the one that is wrong."
    return _finding("misfit", "fix", tuple(dict.fromkeys((reading.shot, *reading.points))), says, do)


def _off(reading: ReadValue, off: float) -> str:
    if isinstance(reading.observation, Direction):
        return f"points about {abs(off):.1f}° {'right' if off > 0 else 'left'} of"
    return f"reads about {format_ft(abs(off))} {'past' if off * reading.way > 0 else 'short of'}"


def shot_fits(read: tuple[ReadValue, ...], solution: Solution, limit: float) -> tuple[ShotFit, ...]:
    """How every reading sits in the adjusted points, in the order of the shots."""
    return tuple(_shot_fit(reading, fit, limit) for reading in read if (fit := solution.fits.get(reading.key)))


def _shot_fit(reading: ReadValue, fit: Fit, limit: float) -> ShotFit:
    residual = fit.residual * reading.way + 0.0
    standardised = None if fit.standardised is None else fit.standardised * reading.way + 0.0
    fits = standardised is None or abs(standardised) <= limit
    says = _says(reading, residual, standardised)
    return ShotFit(reading.shot, reading.method, reading.part, residual, fit.redundancy, standardised, fits, says)


def _says(reading: ReadValue, residual: float, standardised: float | None) -> str:
    if standardised is None:
        return f"{reading.words} has nothing to check it."
    if isinstance(reading.observation, Direction):
        return f"{reading.words} points {abs(residual):.1f}° {'right' if residual > 0 else 'left'} of the adjusted points."
    return f"{reading.words} reads {format_ft(abs(residual), 2)} {'long' if residual > 0 else 'short'}."
