"""The record as tables for other programs: one CSV a table (RFC 4180), or all of them in one Markdown text."""

import re
from collections.abc import Mapping, Sequence

from engine.ahead.rests_on_it import rests_on_it
from engine.calc.units import in_its_units
from engine.job.model.job import Job
from engine.paper.built_tables import Table
from engine.paper.record_office import CHANGED, office_tables
from engine.paper.tables.csv_text import RESTS_ON, csv_text, in_one_word, job_name
from engine.paper.tables.told_cells import figures_of, for_programs, heads_of
from engine.walk import Walk


@in_its_units
def record_csv(job: Job, walk: Walk, seal: Sequence[str] = ()) -> dict[str, str]:
    """Every table of the record as a CSV text, by a short name for its file.

    Lines end with CR LF; the first one names the columns, the job first. A length stands as a number under a head with its unit, and as a
    tape says it. A cell that a spreadsheet would take for a formula starts with an apostrophe. Last every row says whether it rests on a
    survey yet, and of a job that was signed off whether its seal holds.
    """
    holds = "broken" if seal else "holds" if job.record else ""
    marks = {"rests_on": RESTS_ON[rests_on_it(job, walk)], "seal": holds}
    return {
        file_name(table.title): _csv(table, job_name(job), {} if table.title == CHANGED else marks)
        for table in office_tables(job, walk, seal)
    }


def file_name(title: str) -> str:
    """What the file of a table is called: `plan-against-built`."""
    return title.lower().replace(" ", "-")


@in_its_units
def record_markdown(job: Job, walk: Walk, seal: Sequence[str] = ()) -> str:
    """The record's tables as Markdown, nothing in a cell read as markup."""
    title = "# Estimate of a fence" if rests_on_it(job, walk) else "# Fence record"
    return "\n\n".join([title, *(_markdown(table) for table in office_tables(job, walk, seal))]) + "\n"


def _csv(table: Table, job: str, marks: Mapping[str, str]) -> str:
    """The job first; figures before the words that a person reads; last what holds of the whole file."""
    columns = table.columns if any(table.columns) else ("what", "says")
    heads = {column: (*dict(table.figures).get(column, ()),) for column in columns}
    words = {column: () if column in table.for_people else (in_one_word(column),) for column in columns}
    named = [name for column in columns for name in (*heads_of(heads[column]), *words[column])]
    rows = (
        [
            cell
            for column, told in zip(columns, row, strict=True)
            for cell in (*figures_of(told, heads[column]), *(for_programs(told) for _ in words[column]))
        ]
        for row in table.rows
    )
    return csv_text(("job", *named, *marks), [(job, *row, *marks.values()) for row in rows])


def _markdown(table: Table) -> str:
    if not table.rows:
        return f"## {table.title}\n\n{table.empty[:1].upper()}{table.empty[1:]}."
    lines = [table.columns, ["---"] * len(table.columns), *([_marked(cell) for cell in row] for row in table.rows)]
    return f"## {table.title}\n\n" + "\n".join(f"| {' | '.join(cells)} |" for cells in lines)


def _marked(cell: str) -> str:
    """A cell with every sign that Markdown gives a meaning escaped, on one line."""
    return re.sub(r"([\\`*_{}\[\]<>()#+!|~&-])", r"\\\1", " ".join(cell.split()))
