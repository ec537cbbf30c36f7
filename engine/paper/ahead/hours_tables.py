"""Crew hours as tables of words: by stage, the day they end, what a piece took on finished jobs, and what gives no figure."""

from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path
from textwrap import wrap
from typing import NamedTuple

from engine.ahead.crew_hours import FEWEST_JOBS, FEWEST_PIECES, CrewHours, KindTimes, NoFigure, Spread, ends
from engine.ahead.estimate_words import NOT_SURVEYED, length_words
from engine.ahead.finished_jobs import FinishedJobs
from engine.ahead.work_times import RULE, work_times
from engine.calc.dates import format_date
from engine.calc.phrases import counted, plural
from engine.findings import STAGES, TITLES, StageName
from engine.job.errors import shown
from engine.job.model.job import Job
from engine.paper.built_tables import Table

OWN_HOURS = "Hours by stage"
EVEN_MIN = 10
"""Minutes are told to the whole one from here on."""
WIDE = 74
"""Letters of a sentence that fit on a line at 80 columns."""
_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


class AtWork(NamedTuple):
    """How many work, how long a day, and from which day on."""

    crew: int
    day_hours: float
    start: date


def hours_tables(hours: CrewHours, finished: FinishedJobs, work: AtWork, pause_min: float) -> tuple[Table, ...]:
    """What finished jobs tell of the hours a job takes; where they tell nothing, that alone."""
    says = tuple((line,) for words in _says(hours, finished, pause_min) for line in wrap(words, WIDE, break_on_hyphens=False))
    source = Table("Where it comes from", ("",), says)
    left_out = Table("Left out", ("what", "why"), tuple(_left_out(hours, finished)))
    if hours.total is None:
        return (source, left_out) if left_out.rows else (source,)
    kinds = tuple(_kind(one, hours.to_do.get(kind, 0.0)) for kind, one in hours.kinds.items())
    title = "Crew hours, left to do" if hours.lengths is None else "Crew hours, an ESTIMATE"
    tables = (
        Table(title, ("stage", "low", "likely", "high", "without"), tuple(_stages(hours, hours.total))),
        Table(_days_title(work, _without(hours)), ("", "days", "ends on"), tuple(_days(hours.total, work))),
        source,
        Table("A piece of work, crew minutes", ("work", "left", "usual", "sure of it", "a piece", "from"), kinds),
    )
    return (*tables, left_out) if left_out.rows else tables


def _says(hours: CrewHours, finished: FinishedJobs, pause_min: float) -> Iterator[str]:
    folder = "this folder" if finished.folder == Path() else shown(str(finished.folder), 200)
    there = f"{counted(len(finished.times), 'finished job')} in {folder}"
    if not hours.to_do:
        yield "No figure: nothing is left to do."
        return
    if hours.total is None:
        yield f"No figure: {there}. {FEWEST_PIECES} pieces on {FEWEST_JOBS} jobs that tell the time of this work are needed (judgement)."
    else:
        yield (
            f"Out of {hours.jobs} of {there}. {10 * hours.between:.0f} of 10 jobs like these come between low and high. "
            "The stages' lows and highs don't add up to the job's, for no job is quick or slow in everything."
        )
        if hours.lengths is not None:
            yield f"ESTIMATE: of a fence of {length_words(hours.lengths)} made up of what was said. {NOT_SURVEYED}"
        elif not hours.laid_out:
            yield "NOT IN IT: posts, braces, cables, wire, stakes and gates; nothing is laid out yet."
        if hours.no_figure:
            yield f"NOT IN IT: {_names(hours.no_figure)}; too little is known of that."
        timed, untimed = (sum(getattr(one, of) for one in hours.kinds.values()) for of in ("pieces", "left_out"))
        yield f"{untimed:,} of {timed + untimed:,} pieces carry no time of their own and are left out."
        yield (
            "Crew hours are the hours told times the people on the crew. Usual is the middle of the jobs' averages, sure of it where that "
            "middle lies 19 times in 20; of pieces a tenth took less and a tenth more."
        )
    yield RULE.format(pause=pause_min)


def _names(rows: Iterable[NoFigure]) -> str:
    return ", ".join(f"{row.to_do:.0f} x {row.kind.name}" for row in rows)


def _without(hours: CrewHours) -> str:
    return "what isn't laid out yet" if not hours.laid_out else "what has no figure" if hours.no_figure else ""


def _stages(hours: CrewHours, total: Spread) -> Iterator[tuple[str, ...]]:
    asked = {kind.stage for kind in hours.to_do}
    for stage in STAGES:
        if stage in asked:
            figures = _spread(hours.stages[stage]) if stage in hours.stages else ("no figure", "", "")
            yield TITLES[stage], *figures, _names(row for row in hours.no_figure if row.kind.stage == stage)
    yield "all", *_spread(total), _without(hours)


def _spread(spread: Spread) -> tuple[str, str, str]:
    return f"{spread.low:.1f}", f"{spread.likely:.1f}", f"{spread.high:.1f}"


def _days_title(work: AtWork, without: str) -> str:
    people, of = counted(work.crew, "person", "people"), f", without {without}" if without else ""
    return f"The day it ends{of}: {people}, {work.day_hours:g} h a day, Monday to Friday, from {_day(work.start)}"


def _days(total: Spread, work: AtWork) -> Iterator[tuple[str, ...]]:
    for name, crew_hours in zip(Spread._fields, total, strict=True):
        end = ends(crew_hours, work.crew, work.day_hours, work.start)
        yield name, f"{end.days:.1f}", "past ten years" if end.on is None else _day(end.on)


def _day(day: date) -> str:
    return f"{_WEEKDAYS[day.weekday()]} {format_date(day)}"


def _kind(one: KindTimes, to_do: float) -> tuple[str, ...]:
    return (
        one.kind.name,
        f"{to_do:.1f}".removesuffix(".0") if to_do else "",
        _minutes(one.usual_min),
        f"{_minutes(one.usual_from_min)} to {_minutes(one.usual_to_min)}" if one.ranks else "few jobs",
        f"{_minutes(one.piece_low_min)} to {_minutes(one.piece_high_min)}",
        f"{one.pieces} on {one.jobs}",
    )


def _minutes(minutes: float) -> str:
    return f"{minutes:.1f}" if minutes < EVEN_MIN else f"{minutes:.0f}"


def _left_out(hours: CrewHours, finished: FinishedJobs) -> Iterator[tuple[str, str]]:
    for row in hours.no_figure if hours.total else ():
        known = f"{counted(row.pieces, 'piece')} on {counted(row.jobs, 'job')} {plural(row.pieces, 'tells', 'tell')} its time"
        yield row.kind.name, f"{known}; {FEWEST_PIECES} on {FEWEST_JOBS} are needed"
    for name, why in finished.left_out.items():
        yield shown(name, 60), why
    if finished.in_work:
        yield counted(finished.in_work, "job"), "not signed off"


def own_hours(job: Job) -> Table:
    """The hours of a job by stage as its own ticks tell them, and how many ticks don't."""
    told = work_times(job, job.rules.hours.pause_min).stages
    names: tuple[StageName, ...] = tuple(stage for stage in STAGES if stage in told)
    rows = [(TITLES[stage], f"{told[stage].worked_s / 3600:.1f}", f"{told[stage].told}", f"{told[stage].untold or ''}") for stage in names]
    if rows:
        worked = sum(told[stage].worked_s for stage in names) / 3600
        rows.append(("all", f"{worked:.1f}", f"{sum(told[s].told for s in names)}", f"{sum(told[s].untold for s in names) or ''}"))
    return Table(OWN_HOURS, ("stage", "crew hours", "timed ticks", "not timed"), tuple(rows), empty="no ticks")
