"""What to say of a record just entered: how its shot fits and how good its point is, how long its line, whether its yard closes; and
what that opened and found elsewhere."""

from textwrap import wrap

from textual.content import Content

from engine.calc.geometry.plane import distance_ft
from engine.calc.length_words import area_words
from engine.calc.lengths import format_ft_in
from engine.calc.tolerances import MARK_IN
from engine.change.what_it_did import Sign, what_it_did
from engine.job.model.cross_checks import shot_points
from engine.job.model.job import Job
from engine.job.model.shots import LevelShot
from engine.stages.survey.stage import ShotFit, Survey
from engine.walk import Walk
from tui.base.theme import SIGNS
from tui.entry.forms import Form

SAID_LINES = 3
"""So many lines there are at most for what is said of a record, what came of it among them."""
MARGIN, LEAST_ROOM = 2, 30
"""Cells beside them; and as many as they have at least."""
_WRONG = ("misfit", "tie_side", "tapes_apart")
"""Findings that a shot is wrong: the one just entered, or one to a point of it."""


def told(says: Content, back: str, before: Walk, after: Walk, width: int) -> Content:
    """What an edit of the entry did, with the key that takes it back; what it opened, found and settled elsewhere on a line below, where it
    did. Never more lines than there are on a screen so wide."""
    room = max(width - MARGIN, LEAST_ROOM)
    did = what_it_did(before, after, but=says.plain)
    line = _signed(did.sign, did.words(room - MARGIN)) if did.parts else None
    first = _cut(says, f" {back} takes that back.", room, SAID_LINES - (line is not None))
    return first if line is None else Content("\n").join([first, line])


def _cut(says: Content, end: str, room: int, lines: int) -> Content:
    """As much of it as goes on so many lines before its end."""
    if len(wrap(f"{says.plain}{end}", room)) <= lines:
        return Content.assemble(says, end)
    words = len(says.plain)
    while words > 0 and len(wrap(f"{says.plain[:words]} …{end}", room)) > lines:
        words = max(says.plain.rfind(" ", 0, words), 0)
    return Content.assemble(says[:words], " …", end)


def entered(form: Form, name: str, job: Job, walk: Walk, before: Walk | None = None) -> Content:
    """One line on a record of a job that was walked with it, and `before` without it: what it did to its points."""
    survey = walk.survey
    if form.table == "shots":
        return _shot(name, job, survey, before.survey if before else None)
    if form.table == "lines" and name in survey.lines:
        return _good(f"Line {name} is {format_ft_in(survey.lines[name].length_ft)} long.")
    if form.table == "yards" and name in survey.yards:
        yard = survey.yards[name]
        gap = f"has a gap of {format_ft_in(yard.gap_ft)}" if yard.gap_ft is not None else "doesn't close yet"
        return _good(f"Yard {name} closes: {area_words(yard.area_ft2)}.") if yard.closed else _fix(f"Yard {name} {gap}.")
    says = next((finding.says for finding in walk.findings if name in finding.subjects and finding.level != "note"), "")
    said = f"Entered: {form.one}{'' if form.single else f' {name}'}."
    return _fix(f"{said} {says}") if says else _good(said)


def _shot(name: str, job: Job, survey: Survey, before: Survey | None) -> Content:
    shot = job.shots[name]
    if isinstance(shot, LevelShot):
        line = survey.lines.get(shot.line)
        count = f", {line.level_shots} on it now" if line is not None else ""
        return _good(f"Level {format_ft_in(shot.ground_ft)} at {format_ft_in(shot.station_ft)} on line {shot.line}{count}.")
    new = [point for point in shot_points(shot).values() if point not in job.points]
    floating = next((survey.unplaced[point] for point in new if point in survey.unplaced), "")
    if floating:
        return _fix(floating)
    fit = _worst(name, survey)
    if fit is None:
        return _fix("The survey doesn't use it: its points have no place yet.")
    about = {name, *shot_points(shot).values()}
    wrong = next((one for one in survey.findings if one.code in _WRONG and about & set(one.subjects)), None)
    if wrong is not None or not fit.fits:
        return _fix(f"{wrong.says} {wrong.do}" if wrong is not None else fit.says)
    return _good(" ".join([*(_point(point, survey, before) for point in new[:1] if point in survey.points), _told(fit)]))


def _worst(name: str, survey: Survey) -> ShotFit | None:
    """The reading of a shot that fits least."""
    fits = [fit for fit in survey.fits if fit.shot == name]
    return max(fits, key=lambda fit: abs(fit.standardised or 0.0), default=None)


def _told(fit: ShotFit) -> str:
    return "Nothing checks it yet." if fit.standardised is None else fit.says


def _point(name: str, survey: Survey, before: Survey | None) -> str:
    """How good a point is, and how far a shot moved it that had a place before."""
    point = survey.points[name]
    was = before.points.get(name) if before else None
    moved_ft = distance_ft(was.xy, point.xy) if was else 0.0
    moves = f"moves {format_ft_in(moved_ft)} and " if moved_ft * 12 >= MARK_IN else ""
    return f"{name} {moves}is good to ±{format_ft_in(point.sigma_ft, 16)}."


def _good(says: str) -> Content:
    return _signed("done", says)


def _fix(says: str) -> Content:
    return _signed("fix", says)


def _signed(sign: Sign, says: str) -> Content:
    return Content.assemble(Content.styled(f"{SIGNS[sign]} ", f"bold ${sign}"), says)
