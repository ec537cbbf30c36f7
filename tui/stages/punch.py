"""Punch list figures: ways out, plan against built; and the materials."""

from collections.abc import Iterator

from engine.calc.lengths import format_ft_in, format_in
from engine.calc.phrases import counted, figure, unit_word
from engine.job.model.job import Job
from engine.stages.punch.closing_list import yard_counts
from engine.walk import Walk
from tui.stages.figure_tables import table
from tui.widgets.figures import Figures

PURPOSE = "Close every way out, finish what is open, hand it over."


def figures(_job: Job, walk: Walk) -> Iterator[Figures]:
    punch = walk.punch
    yield table(
        "Ways out, yard by yard",
        "<yard|ways out|largest|smallest dog",
        (
            (row.yard, row.yard, f"{row.count}", _inches(row.largest_in or None), _inches(row.dog_in))
            for row in yard_counts(punch.ways_out, walk.survey.yards)
        ),
        "" if punch.ways_out else "Nowhere that the figures show. Walk it all the same.",
    )
    yield table(
        "Changed from the plan", "<support|<what|by", ((c.support, c.support, c.what, format_ft_in(c.moved_ft)) for c in punch.changes)
    )


def _inches(value: float | None) -> str:
    return "" if value is None else format_in(value, 4)


def materials_figures(walk: Walk, nothing: str) -> Figures:
    """The take-off as one table, with what is said where it has no row."""
    rows = [
        (
            row.stock,
            row.name,
            f"{figure(row.needed + row.spare, row.unit)}{f' {unit_word(row.unit)}' if row.unit == 'ft' else ''}",
            f"{row.packs}",
            "?" if row.loaded is None else f"{row.loaded}",
            f"{row.delivered or ''}{f'+{row.loose:g}' if row.loose else ''}",
            figure(row.used, row.unit) if row.used else "",
            f"{row.short}" if row.short else "",
        )
        for row in walk.takeoff.rows
    ]
    short = sum(1 for row in walk.takeoff.rows if row.short)
    uncounted = sum(1 for row in walk.takeoff.rows if row.loaded is None)
    words = f"{counted(short, 'row is', 'rows are')} short." if short else "Nothing that was counted is short."
    asked = (
        f" {counted(uncounted, 'row was', 'rows were')} not counted (?): enter what is loaded under e, Stock on the truck."
        if uncounted
        else ""
    )
    note = f"{words}{asked}" if rows else nothing
    return table("Needed, loaded, came in, used, short", "<what|needed|packs|loaded|came|used|short", rows, note)
