"""Punch list figures: ways out, what is unfinished, plan against built, materials."""

from collections.abc import Iterator

from engine.calc.lengths import format_ft_in, format_in
from engine.findings import TITLES
from engine.job.job import Job
from engine.walk import Walk
from tui.screens.pages import materials_figures
from tui.stages.tables import table
from tui.widgets.figures import Figures

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
