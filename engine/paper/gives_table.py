"""What gives first at every support in the wind, as the office reads it."""

from engine.calc.force_words import wind_words
from engine.job.model.job import Job
from engine.paper.built_tables import Table
from engine.paper.tables.told_cells import ToldCell
from engine.stages.cables.wind_findings import here_words, holds_words
from engine.walk import Walk

TITLE = "What gives first in wind"


def gives_table(job: Job, walk: Walk) -> Table:
    """Every post and end with what gives first, at what wind, and what comes next; the rule beside it."""
    rule_mph = job.rules.cables.wind_mph
    rows = []
    for name, parts in walk.cables.gives.items():
        if parts or walk.layout.supports[name].support == "driven":
            first, *then = [here_words(one, name) for one in parts] or [holds_words(rule_mph)]
            rule = f"{wind_words(rule_mph)}{', not held' if parts and round(parts[0].mph) < rule_mph else ''}"
            mph = parts[0].mph if parts else None
            rows.append((name, ToldCell(first, mph), ToldCell(rule, rule_mph), ", ".join(then)))
    figures = (("first", ("first_at_mph",)), ("rule", ("rule_mph",)))
    return Table(TITLE, ("support", "first", "rule", "then"), tuple(rows), empty="not worked out", figures=figures)
