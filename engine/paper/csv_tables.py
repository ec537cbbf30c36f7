"""The record as tables for other programs: one CSV a table (RFC 4180), or all of them in one Markdown text."""

import re

from engine.job.model.job import Job
from engine.paper.csv_text import csv_text
from engine.paper.record_office import office_tables
from engine.paper.record_tables import Table
from engine.walk import Walk


def record_csv(job: Job, walk: Walk) -> dict[str, str]:
    """Every table of the record as a CSV text, by a short name for its file.

    Lines end with CR LF; the first one names the columns. A cell that a spreadsheet would take for a formula starts with an apostrophe.
    """
    return {_file_name(table.title): _csv(table) for table in office_tables(job, walk)}


def record_markdown(job: Job, walk: Walk) -> str:
    """The record's tables as Markdown, nothing in a cell read as markup."""
    return "\n\n".join(["# Fence record", *(_markdown(table) for table in office_tables(job, walk))]) + "\n"


def _file_name(title: str) -> str:
    return title.lower().replace(" ", "-")


def _csv(table: Table) -> str:
    return csv_text(table.columns if any(table.columns) else ("what", "says"), table.rows)


def _markdown(table: Table) -> str:
    if not table.rows:
        return f"## {table.title}\n\n{table.empty[:1].upper()}{table.empty[1:]}."
    lines = [table.columns, ["---"] * len(table.columns), *([_marked(cell) for cell in row] for row in table.rows)]
    return f"## {table.title}\n\n" + "\n".join(f"| {' | '.join(cells)} |" for cells in lines)


def _marked(cell: str) -> str:
    """A cell with every sign that Markdown gives a meaning escaped, on one line."""
    return re.sub(r"([\\`*_{}\[\]<>()#+!|~&-])", r"\\\1", " ".join(cell.split()))
