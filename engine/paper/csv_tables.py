"""The record as tables for other programs: one CSV a table (RFC 4180), or all of them in one Markdown text."""

import re
from collections.abc import Mapping, Sequence

from engine.ahead.rests_on_it import rests_on_it
from engine.calc.units import in_its_units
from engine.job.model.job import Job
from engine.paper.built_tables import Table
from engine.paper.csv_text import csv_text
from engine.paper.record_office import CHANGED, office_tables
from engine.walk import Walk


@in_its_units
def record_csv(job: Job, walk: Walk, seal: Sequence[str] = ()) -> dict[str, str]:
    """Every table of the record as a CSV text, by a short name for its file.

    Lines end with CR LF; the first one names the columns. A cell that a spreadsheet would take for a formula starts with an apostrophe.
    Where the file was changed since it was signed, or nothing is surveyed yet, every row of every table says so.
    """
    marks = {"seal": "broken"} if seal else {}
    marks |= {"rests on": "estimate"} if rests_on_it(job, walk) else {}
    return {table.title.lower().replace(" ", "-"): _csv(table, marks) for table in office_tables(job, walk, seal)}


@in_its_units
def record_markdown(job: Job, walk: Walk, seal: Sequence[str] = ()) -> str:
    """The record's tables as Markdown, nothing in a cell read as markup."""
    title = "# Estimate of a fence" if rests_on_it(job, walk) else "# Fence record"
    return "\n\n".join([title, *(_markdown(table) for table in office_tables(job, walk, seal))]) + "\n"


def _csv(table: Table, marks: Mapping[str, str]) -> str:
    columns = table.columns if any(table.columns) else ("what", "says")
    if table.title == CHANGED:
        return csv_text(columns, table.rows)
    return csv_text((*columns, *marks), [(*row, *marks.values()) for row in table.rows])


def _markdown(table: Table) -> str:
    if not table.rows:
        return f"## {table.title}\n\n{table.empty[:1].upper()}{table.empty[1:]}."
    lines = [table.columns, ["---"] * len(table.columns), *([_marked(cell) for cell in row] for row in table.rows)]
    return f"## {table.title}\n\n" + "\n".join(f"| {' | '.join(cells)} |" for cells in lines)


def _marked(cell: str) -> str:
    """A cell with every sign that Markdown gives a meaning escaped, on one line."""
    return re.sub(r"([\\`*_{}\[\]<>()#+!|~&-])", r"\\\1", " ".join(cell.split()))
