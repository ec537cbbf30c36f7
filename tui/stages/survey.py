"""Survey figures: points, shots that don't fit, closures, pacing, lines, yards."""

from collections.abc import Iterator

from engine.calc.length_words import area_words, plain_length
from engine.calc.lengths import format_ft_in
from engine.calc.measuring.adjust import Ellipse
from engine.calc.phrases import counted
from engine.job.model.job import Job
from engine.stages.survey.stage import Survey
from engine.walk import Walk
from tui.stages.estimated import estimated
from tui.stages.figure_tables import table
from tui.widgets.figures import Figures

_ROUND = 0.8
"""An ellipse rounder than this has no way worth naming."""

PURPOSE = "Measure every point, the ground along each line, and what the yard must hold."


def figures(job: Job, walk: Walk) -> Iterator[Figures]:
    survey = walk.survey
    yield from estimated(job, walk)
    yield _lines(survey)
    yield _yards(job, survey)
    yield _points(survey)
    yield _closures(survey)
    yield _paced(survey)
    yield _fits(survey)


def _lines(survey: Survey) -> Figures:
    return table(
        "Lines",
        "<line|length|level shots|fall",
        (
            (
                name,
                name,
                format_ft_in(line.length_ft),
                f"{line.level_shots}",
                format_ft_in(max(line.profile.levels_ft) - min(line.profile.levels_ft)),
            )
            for name, line in survey.lines.items()
        ),
    )


def _yards(job: Job, survey: Survey) -> Figures:
    return table(
        "Yards",
        "<yard|<closes|area|around",
        (
            (
                name,
                job.yards[name].name or name,
                "yes" if yard.closed else f"gap {format_ft_in(yard.gap_ft)}" if yard.gap_ft is not None else "no",
                area_words(yard.area_ft2),
                format_ft_in(yard.perimeter_ft),
            )
            for name, yard in survey.yards.items()
        ),
        ""
        if survey.suited_height_ft is None
        else f"Dogs as described: about {plain_length(survey.suited_height_ft)} suits (judgement); "
        f"planned {plain_length(job.fence.height_ft)}.",
    )


def _points(survey: Survey) -> Figures:
    return table(
        "Points",
        "<point|east|north|good to|<by",
        (
            (
                name,
                name,
                format_ft_in(point.east_ft),
                format_ft_in(point.north_ft),
                "known" if point.sigma_ft == 0 else _good_to(point.ellipse),
                point.how,
            )
            for name, point in survey.points.items()
        ),
        f"{counted(len(survey.unplaced), 'point floats', 'points float')}." if survey.unplaced else "",
    )


def _good_to(ellipse: Ellipse) -> str:
    """The standard error, and which way it lies where it is clearly longer one way."""
    good = f"±{format_ft_in(ellipse.semi_major_ft, 16)}"
    return good if ellipse.semi_minor_ft > _ROUND * ellipse.semi_major_ft else f"{good} toward {_way(ellipse.azimuth_deg)}"


def _way(azimuth_deg: float) -> str:
    """A quadrant bearing in whole degrees, 0 to 180 for a way that runs both ways."""
    turn = round(azimuth_deg) % 180
    return f"N {turn}° E" if turn <= 90 else f"N {180 - turn}° W"


def _closures(survey: Survey) -> Figures:
    return table(
        "Legs that close",
        "<points|length|misses by|precision",
        (
            (
                trav.points[0],
                " ".join(trav.points),
                format_ft_in(trav.length_ft),
                format_ft_in(trav.misclosure_ft),
                "exact" if trav.precision is None else f"1 in {trav.precision:,.0f}",
            )
            for trav in survey.traverses
        ),
    )


def _paced(survey: Survey) -> Figures:
    return table(
        "Paced against measured",
        "<from|<to|paced|measured|off by",
        (
            (
                p.to_point,
                p.from_point,
                p.to_point,
                format_ft_in(p.paced_ft),
                format_ft_in(p.measured_ft),
                format_ft_in(p.paced_ft - p.measured_ft),
            )
            for p in survey.paced
        ),
    )


def _fits(survey: Survey) -> Figures:
    return table(
        "Shots against the whole",
        "<shot|<method|off by|checked|<fits",
        (
            (
                fit.shot,
                fit.shot,
                f"{fit.method} {fit.part}".strip(),
                _off(fit.residual, fit.part),
                "not" if fit.standardised is None else f"{fit.redundancy:.0%}",
                "yes" if fit.fits else "no",
            )
            for fit in survey.fits
        ),
        f"{counted(survey.degrees_of_freedom, 'more measurement')} than needed. Checked: how much of a wrong reading would show."
        if survey.fits
        else "",
    )


def _off(residual: float, part: str) -> str:
    return f"{residual:+.2f}°" if part == "bearing" else format_ft_in(residual, 16)
