"""Layout figures: bays, string lines, boundary."""

from collections.abc import Iterator

from engine.calc.lengths import format_ft_in
from engine.job.model.job import Job
from engine.job.model.rules import LayoutRules
from engine.stages.layout.set_out import aside_words
from engine.stages.layout.siting_findings import over_limit
from engine.stages.layout.stage import Bay
from engine.walk import Walk
from tui.stages.estimated import estimated
from tui.stages.figure_tables import table
from tui.widgets.figures import Figures

PURPOSE = "Set a flag for every support: no bay too long, nothing in a keep-out."


def figures(job: Job, walk: Walk) -> Iterator[Figures]:
    layout = walk.layout
    yield from estimated(job, walk)
    most = job.rules.layout.bay_max_ft
    yield table(
        "Bays",
        "<bay|length|level|rise|<",
        (
            (
                name,
                name,
                format_ft_in(bay.slope_ft),
                format_ft_in(bay.plan_ft),
                format_ft_in(bay.rise_ft),
                f"gate {bay.gate}" if bay.gate else _over(job.rules.layout, bay),
            )
            for name, bay in layout.bays.items()
        ),
        f"Limit {format_ft_in(most)} between supports, measured on the slope.",
    )
    yield table(
        "String lines",
        "<from|<to|length|<along it",
        (
            (
                string.from_id,
                string.from_id,
                string.to_id,
                format_ft_in(string.length_ft),
                ", ".join(f"{name} {format_ft_in(at)} {aside_words(off_ft)}".strip() for name, at, off_ft in string.along),
            )
            for string in layout.strings
        ),
    )
    yield table("Check across corners", "<from|<to|tape", ((a, a, b, format_ft_in(length)) for a, b, length in layout.diagonals))
    yield table(
        "Inside the boundary",
        "<support|<boundary|inside|good to",
        ((c.support, c.support, c.boundary, format_ft_in(c.inside_ft), f"±{format_ft_in(c.sigma_ft, 16)}") for c in layout.clearances),
    )


def _over(rules: LayoutRules, bay: Bay) -> str:
    return f"{format_ft_in(bay.slope_ft - rules.bay_max_ft)} over" if over_limit(rules, bay) else ""
