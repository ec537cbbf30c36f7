"""Shots that don't fit, in words: a tie on the wrong side, the wrong reading with its true size, and how each of the others fits."""

import math
from collections.abc import Iterable, Iterator, Mapping
from itertools import compress, repeat

from pydantic import ValidationError

from engine.calc.geometry.plane import Point, deflection_deg, distance_ft
from engine.calc.lengths import format_ft_in
from engine.calc.measuring.adjust import Fit
from engine.calc.measuring.misread import swapped_figures
from engine.calc.measuring.observations import Direction, misfit_and_slopes
from engine.calc.remember import remembered_columns
from engine.calc.tolerances import MARK_IN, ROUNDING_FT, SAME_SPOT_FT
from engine.findings import Finding, FindingOf
from engine.job.model.rules import SurveyRules
from engine.job.model.shots import Shot, TieShot
from engine.stages.survey.adjusted import Solution, hanging_together, solve_part
from engine.stages.survey.network import ReadValue, first_places, readings
from engine.stages.survey.survey_facts import ShotFit
from engine.stages.survey.wrong_readings import Suspect, WrongReading

_finding = FindingOf("survey")

_FIELDS = {
    "tape a": "tape_a_ft", "tape b": "tape_b_ft", "tape": "length_ft", "length": "length_ft", "bearing": "azimuth_deg",
    "along": "along_ft", "offset": "offset_ft", "paces": "paces",
}  # fmt: skip
"""Where the file holds a reading."""
_MOST_SAID = 3
"""Suspects that are said besides the likeliest."""
_LIMITS_ASKED, _ROUGHLY = 3.0, 0.25
"""How near a swap comes to how far a reading is off: in limits of misfit, and a share for places that shift as it is put right."""


def across(shots: Mapping[str, Shot], solution: Solution) -> tuple[str, ...]:
    """Ties whose point the other shots have pulled to the side that the tie doesn't name."""
    at = solution.places.get
    ties = [(name, shot, at(shot.from_a), at(shot.from_b), at(shot.point)) for name, shot in shots.items() if shot.method == "tie"]
    placed = [tie for tie in ties if None not in tie[2:]]
    if not placed:
        return ()
    names, *columns = zip(*placed, strict=True)
    return tuple(compress(names, _is_across(*columns)))


@remembered_columns
def _is_across(tie: TieShot, a: Point, b: Point, point: Point) -> bool:
    if min(distance_ft(a, b), distance_ft(b, point)) < SAME_SPOT_FT:
        return False
    turn = deflection_deg(a, b, point)
    return 1 < abs(turn) < 179 and (turn > 0) != (tie.side == "right")


def wrong_side(
    known: Mapping[str, Point],
    shots: Mapping[str, Shot],
    read: tuple[ReadValue, ...],
    rules: SurveyRules,
    solution: Solution,
    found: tuple[WrongReading, ...],
) -> tuple[str, ...]:
    """The tie whose point, put on the other side, makes every shot fit; none where no one tie does."""
    points = {name for wrong in found for suspect in wrong.suspects for name in suspect.reading.points}
    for name, shot in shots.items():
        if not isinstance(shot, TieShot) or shot.point not in points:
            continue
        part = hanging_together((shot.point,), read, known) if solution.settled else read
        keys, points_of = {reading.key for reading in part}, {point for reading in part for point in reading.points}
        if not set(solution.loose) <= points_of or not _fit(rules, (fit for key, fit in solution.fits.items() if key not in keys)):
            continue
        other = "right" if shot.side == "left" else "left"
        turned = _shots_of(part, shots) | {name: shot.model_copy(update={"side": other})}
        anew = solve_part(known, first_places(known, turned, part, rules).places, part)
        if anew.settled and not anew.loose and _fit(rules, anew.fits.values()):
            return (name,)
    return ()


def _fit(rules: SurveyRules, fits: Iterable[Fit]) -> bool:
    return all(fit.standardised is None or abs(fit.standardised) <= rules.misfit for fit in fits)


def _shots_of(part: tuple[ReadValue, ...], shots: Mapping[str, Shot]) -> dict[str, Shot]:
    return {reading.shot: shots[reading.shot] for reading in part}


def fit_findings(
    known: Mapping[str, Point],
    shots: Mapping[str, Shot],
    read: tuple[ReadValue, ...],
    rules: SurveyRules,
    solution: Solution,
    found: tuple[WrongReading, ...],
) -> Iterator[Finding]:
    """Findings on shots that don't fit: a tie on the wrong side, or the wrong readings one by one."""
    if not solution.settled:
        yield _finding(
            "survey_unsettled", "fix", (), "The shots contradict each other so much that the points don't settle.",
            "Look for a shot to the wrong point or a tape read wrong, and take it out.",
        )  # fmt: skip
    turned = across(shots, solution) or (wrong_side(known, shots, read, rules, solution, found) if found else ())
    yield from (_side_finding(name, shots[name]) for name in turned)
    told: set[str] = set()
    for wrong in () if turned else found:
        if wrong.reading.shot not in told:
            told.add(wrong.reading.shot)
            yield _misfit_finding(wrong, known, _swapped(known, shots, read, rules, wrong))


def _swapped(
    known: Mapping[str, Point], shots: Mapping[str, Shot], read: tuple[ReadValue, ...], rules: SurveyRules, wrong: WrongReading
) -> str:
    """The reading, or one as likely wrong, that fits with two neighbouring figures swapped, as a sentence; empty where none does."""
    for suspect in wrong.suspects:
        reading = suspect.reading
        field = _FIELDS[reading.part]
        written = getattr(shots[reading.shot], field)
        for meant in swapped_figures(abs(written)):
            shot = _as_meant(shots[reading.shot], field, math.copysign(meant, written))
            if shot is None or not _as_far_off(suspect, shot, rules, wrong.without.places):
                continue
            beside = _shots_of(hanging_together(reading.points, read, known), shots)
            if _settles(known, beside | {reading.shot: shot}, rules, reading):
                what = "" if len(wrong.suspects) == 1 else f"{reading.words}, "
                return f" {what}{_written(written)}{',' if what else ''} may be {_written(meant)} with two digits swapped."
    return ""


def _as_meant(shot: Shot, field: str, meant: float) -> Shot | None:
    """The shot with another reading; None where nobody can have read that, as a tape shorter than it rises."""
    try:
        return type(shot).model_validate({**shot.model_dump(), field: meant})
    except ValidationError:
        return None


def _as_far_off(suspect: Suspect, meant: Shot, rules: SurveyRules, at: Mapping[str, Point]) -> bool:
    """Whether other figures shift a reading by about as much as it is off, so that it is worth asking whether all fits then."""
    reading = suspect.reading
    if not all(name in at for name in reading.points):
        return True
    other = next(one.observation for one in readings({reading.shot: meant}, rules) if one.key == reading.key)
    shift = misfit_and_slopes(reading.observation, at)[0] - misfit_and_slopes(other, at)[0]
    return abs(suspect.off - shift) <= _LIMITS_ASKED * rules.misfit * suspect.sigma + _ROUGHLY * abs(suspect.off)


def _settles(known: Mapping[str, Point], shots: Mapping[str, Shot], rules: SurveyRules, reading: ReadValue) -> bool:
    """Whether every reading to the points of this one fits."""
    read = readings(shots, rules)
    solution = solve_part(known, first_places(known, shots, read, rules).places, read)
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


def _misfit_finding(wrong: WrongReading, known: Mapping[str, Point], swapped: str) -> Finding:
    first, *rest = wrong.suspects
    reading = first.reading
    if not rest:
        says, do = f"{reading.words} {off_words(first)}.{swapped}", f"Measure {reading.shot} again."
    else:
        others = [f"{one.reading.words[:1].lower()}{one.reading.words[1:]} {off_words(one)}" for one in rest[:_MOST_SAID]]
        more = [f"it is one of {len(rest) - _MOST_SAID} more"] if len(rest) > _MOST_SAID else []
        says = f"{', or '.join([f'{reading.words} {off_words(first)}', *others, *more])}: the shots can't tell which.{swapped}"
        free = next((name for name in reversed(reading.points) if name not in known), reading.points[-1])
        why = ", for a foot is soon misread" if math.isfinite(first.from_a_slip_ft) else ""
        do = f"Measure {reading.shot} again first{why}. One more tape to {free} would tell."
    subjects = dict.fromkeys((*(one.reading.shot for one in wrong.suspects), *reading.points))
    return _finding("misfit", "fix", tuple(subjects), says, do)


def off_words(suspect: Suspect) -> str:
    """How far a reading is off and which way: to the inch, or to the mark of a tape where the others tell it that closely."""
    reading, off = suspect.reading, suspect.off
    if isinstance(reading.observation, Direction):
        return f"points about {abs(off):.1f}° {'right' if off > 0 else 'left'} of what the other shots say"
    to_the_inch = suspect.sigma * 12 > MARK_IN and abs(off) * 12 >= 1
    return f"reads {format_ft_in(abs(off), 1 if to_the_inch else 8)} {'long' if off * reading.way > 0 else 'short'}"


def shot_fits(
    read: tuple[ReadValue, ...], solution: Solution, found: tuple[WrongReading, ...], turned: bool, limit: float
) -> tuple[ShotFit, ...]:
    """How every reading sits in the adjusted points, in the order of the shots; beside a wrong one as it would without that. Where a tie is
    on the wrong side nothing else can be said to be wrong."""
    suspects = {} if turned else {one.reading.key: (one, len(wrong.suspects) == 1) for wrong in found for one in wrong.suspects}
    clean = found[-1].without if found and not turned else solution
    known = clean.fits if clean is solution else {**solution.fits, **clean.fits}
    fitted = [(reading, fit) for reading in read if (fit := known.get(reading.observation.id))]
    suspected = [suspects.get(reading.key) for reading, _ in fitted] if suspects else repeat(None)
    return tuple(_shot_fit(*zip(*fitted, strict=True), suspected, repeat(limit))) if fitted else ()


@remembered_columns
def _shot_fit(reading: ReadValue, fit: Fit, suspect: tuple[Suspect, bool] | None, limit: float) -> ShotFit:
    residual = (suspect[0].off if suspect else fit.residual) * reading.way + 0.0
    standardised = None if fit.standardised is None else fit.standardised * reading.way + 0.0
    fits = suspect is None and (standardised is None or abs(standardised) <= limit)
    if suspect is None:
        says = _says(reading, residual, standardised)
    else:
        says = f"{reading.words} {off_words(suspect[0])}{'' if suspect[1] else ', if it is the one that is wrong'}."
    return ShotFit(reading.shot, reading.method, reading.part, residual, fit.redundancy, standardised, fits, says)


def _says(reading: ReadValue, residual: float, standardised: float | None) -> str:
    if standardised is None:
        return f"{reading.words} has nothing to check it."
    if isinstance(reading.observation, Direction):
        return f"{reading.words} fits to {max(abs(residual), 0.1):.1f}°."
    return f"{reading.words} fits to {format_ft_in(max(abs(residual), MARK_IN / 12))}."
