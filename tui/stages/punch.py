"""Punch list figures: ways out, what is unfinished, plan against built, materials."""

from collections.abc import Iterator

from engine.calc.lengths import format_ft_in, format_in
from engine.findings import TITLES
from engine.job.job import Job
from engine.walk import Walk
from tui.stages.tables import table
from tui.widgets.figures import Column, Figures, Row

PURPOSE = "Close every way out, finish what is open, hand the yard over."


def figures(_job: Job, walk: Walk) -> Iterator[Figures]:
    """Tables of the closing walk."""
    punch = walk.punch
    yield table(
        "Where a dog could get out",
        "<where|opening|<closes with",
        ((way.subject, way.where, format_in(way.opening_in), way.closes_with) for way in punch.ways_out),
        "" if punch.ways_out else "Nowhere that the figures show. Walk it all the same.",
    )
    yield table("Unfinished", "<stage|open items", (("", TITLES[group.stage], f"{len(group.items)}") for group in punch.unfinished))
    yield table(
        "Changed from the plan", "<support|<what|by", ((c.support, c.support, c.what, format_ft_in(c.moved_ft)) for c in punch.changes)
    )
    yield materials_figures(walk)


def materials_figures(walk: Walk) -> Figures:
    """The take-off as one table."""
    columns = (Column("what", "left"), Column("needed"), Column("used"), Column("packs"), Column("loaded"), Column("short"))
    rows = tuple(
        Row(
            row.stock,
            (
                row.name,
                f"{row.needed + row.spare:,.0f} {row.unit}",
                f"{row.used:,.0f}",
                f"{row.packs}",
                "not counted" if row.loaded is None else f"{row.loaded}",
                f"{row.short} short" if row.short else "",
            ),
        )
        for row in walk.takeoff.rows
    )
    short = sum(1 for row in walk.takeoff.rows if row.short)
    note = f"{short} rows are short on the truck." if short else "The truck carries what it needs."
    return Figures("Needed, used, loaded", columns, rows, note if rows else "Nothing is needed yet: the layout comes first.")
