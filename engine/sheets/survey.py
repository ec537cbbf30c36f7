"""Survey: a row a question asked, then the field book: a row a shot, in the order taken."""

from collections.abc import Iterable, Mapping
from itertools import groupby

from engine.calc.lengths import format_bearing, format_ft_in
from engine.calc.tolerances import MARK_IN
from engine.findings import LEVELS, Finding
from engine.job.model.job import Job
from engine.job.model.shots import LegShot, LevelShot, OffsetShot, PacesShot, Shot, TapeShot, TieShot
from engine.sheets.sheet import Asked, Column, Row, Sheet, SheetPart, figures, left_over, sheet, worst_by_subject
from engine.stages.survey.stage import ShotFit
from engine.walk import Walk

OFF_BY = "off by"
BOOK_COLUMNS = (
    Column("shot"), Column("kind", 3), Column("to"), Column("from"), Column("tape", right=True), Column("from"), Column("tape", right=True),
    Column("side", 2), Column(OFF_BY, 1),
)  # fmt: skip

TOLD_AT = {
    "notice_not_called": "marks_called",
    "notice_too_early": "marks_called",
    "marks_not_seen": "marks_seen",
    "notice_expired": "marks_seen",
    "no_dogs": "dogs_asked",
}
"""The question that a finding belongs to, by its code."""


def survey_sheet(job: Job, walk: Walk) -> Sheet:
    """What was asked and seen; every shot as it was called out, and how far it is off."""
    asked, worst = Asked(walk.checklists["survey"]), worst_by_subject(walk.stage_findings["survey"])
    return sheet("survey", (_asked(asked, walk.stage_findings["survey"]), _book(job, walk, worst)))


def _asked(asked: Asked, found: Iterable[Finding]) -> SheetPart:
    """The questions, each with the finding that tells it isn't settled."""
    worst: dict[str, Finding] = {}
    for finding in sorted(found, key=lambda one: LEVELS.index(one.level)):
        worst.setdefault(TOLD_AT.get(finding.code, ""), finding)
    part = left_over(asked, "survey", "question", {}, "asked")
    told = (worst.get(row.cells[1].line.item.key.what) if row.cells[1].line else None for row in part.rows)
    return SheetPart(part.columns, tuple(row._replace(finding=finding) for row, finding in zip(part.rows, told, strict=True)))


def _book(job: Job, walk: Walk, worst: Mapping[str, Finding]) -> SheetPart:
    """The field book keeps all its columns: the next shot is written into it."""
    off = {shot: off_words(tuple(fits)) for shot, fits in groupby(walk.survey.fits, key=lambda fit: fit.shot)}
    rows = (Row(name, tuple(figures(name, *shot_words(shot), off.get(name, ""))), worst.get(name)) for name, shot in job.shots.items())
    return SheetPart(BOOK_COLUMNS, tuple(rows))


def shot_words(shot: Shot) -> tuple[str, ...]:
    """A shot as it is called out: kind, to, from, tape, from, tape, side; a bearing or a level stands where a second tape would."""
    match shot:
        case TieShot():
            return (
                "tie", shot.point, shot.from_a, format_ft_in(shot.tape_a_ft), shot.from_b, format_ft_in(shot.tape_b_ft), shot.side,
            )  # fmt: skip
        case TapeShot():
            return "tape", shot.to_point, shot.from_point, format_ft_in(shot.length_ft), "", "", ""
        case OffsetShot():
            along, off = format_ft_in(shot.along_ft), format_ft_in(shot.offset_ft)
            return "offset", shot.point, shot.base_from, along, shot.base_to, off, shot.side
        case LegShot():
            return "leg", shot.to_point, shot.from_point, format_ft_in(shot.length_ft), "", format_bearing(shot.azimuth_deg), ""
        case PacesShot():
            bearing = "" if shot.azimuth_deg is None else format_bearing(shot.azimuth_deg)
            return "paces", shot.to_point, shot.from_point, f"{shot.paces:g} steps", "", bearing, ""
        case LevelShot():
            beside = "" if not shot.offset_ft else f"{format_ft_in(abs(shot.offset_ft))} {'right' if shot.offset_ft > 0 else 'left'}"
            return "level", shot.line, "start", format_ft_in(shot.station_ft), "", format_ft_in(shot.ground_ft), beside


def off_words(fits: tuple[ShotFit, ...]) -> str:
    """How far a shot is off, by the worst of what was read in it; nothing where no other shot checks it."""
    checked = [fit for fit in fits if fit.standardised is not None]
    if not checked:
        return ""
    return _off(max(checked, key=lambda fit: (not fit.fits, abs(fit.standardised or 0.0))))


def _off(fit: ShotFit) -> str:
    """One that doesn't fit by its true size, to the inch: closer the other shots don't tell it."""
    off = fit.residual
    if fit.part == "bearing":
        return f"fits to {max(abs(off), 0.1):.1f}°" if fit.fits else f"{abs(off):.1f}° {'right' if off > 0 else 'left'}"
    if fit.fits:
        return f"fits to {format_ft_in(max(abs(off), MARK_IN / 12))}"
    return f"{format_ft_in(abs(off), 1 if abs(off) * 12 >= 1 else 8)} {'long' if off > 0 else 'short'}"
