"""The plan to read on a terminal or on paper: what it is, the lines, posts, braces, loops, wire, stakes, gates, the load, the findings."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from engine import __version__
from engine.ahead.rests_on_it import rests_on_it
from engine.calc.units import in_its_units
from engine.findings import LEVELS, TITLES, StageName
from engine.job.model.job import Job
from engine.paper.ahead.estimate_tables import MATERIALS, estimate_tables
from engine.paper.built_tables import Table
from engine.paper.crew.set_out_sheet import ALONG, TAPES, set_out_tables
from engine.paper.load_list import load_text
from engine.paper.plan.text_columns import table_lines, underlined, wrapped
from engine.paper.record_page import figures_of
from engine.paper.record_tables import head, since_words
from engine.sheets.sheet import Cell, SheetPart, filled
from engine.sheets.stage_sheets import sheet_of
from engine.walk import Walk

PROPOSED = "proposed, not accepted yet"
SIGNED = "What follows is worked out today; what was signed stands in the record."
STAGES_TOLD: tuple[StageName, ...] = ("posts", "bracing", "cables", "fabric", "staking", "gate")
"""Told by the figures of their sheets; the layout is told by the set-out."""
BOX_LETTERS = len("[ ] 12  ")
OF_SOME = ("pinned", "slits", "fastened")
"""What is asked only where it is needed: that it is, is part of the plan."""
BESIDES = ("besides", "closing walk", "check")
"""Parts of sheets that only ask."""


@in_its_units
def readable_plan(job: Job, walk: Walk, seal: Sequence[str] = ()) -> str:
    """Everything a lead wants of the plan, no line longer than 80 letters, worst findings first; figures are those of the sheets."""
    parts = (_head(job, walk, seal), _estimate(job, walk), _set_out(job, walk), _sheets(job, walk), _load(job, walk), _findings(walk))
    return "\n".join(line for part in parts for section in part for line in (*section, "")) + _count(walk) + "\n"


def _section(table: Table) -> Iterator[str]:
    yield from underlined(table.title)
    yield from table_lines(table)


def _head(job: Job, walk: Walk, seal: Sequence[str]) -> Iterator[Iterator[str]]:
    told = head(job, seal, estimated=rests_on_it(job, walk))
    rows = [row for row in told.rows if row[0] not in ("worked out by", "seal")]
    plan = "accepted" if walk.layout.accepted else PROPOSED if walk.layout.supports else "no layout yet"
    counted = [row for row in figures_of(job, walk) if walk.layout.supports or row[0] not in ("length", "supports")]
    rows += [("plan", plan), *counted, ("worked out", f"today by linewalk {__version__}")]
    yield _section(Table("Plan", ("", ""), tuple(rows)))
    if job.record is not None:
        yield wrapped(filter(None, (SIGNED, since_words(job, walk, changed=bool(seal)))))
    if seal:
        yield wrapped((f"seal  {says}" for says in seal), 6)


def _estimate(job: Job, walk: Walk) -> Iterator[Iterator[str]]:
    """What was said; its materials stand in the load list."""
    return (_section(table) for table in estimate_tables(job, walk) if table.title != MATERIALS)


def _set_out(job: Job, walk: Walk) -> Iterator[Iterator[str]]:
    """Where the tapes start, then each line with its bays before its tapes."""
    tables = set_out_tables(job, walk) if walk.layout.supports else ()
    if tables:
        yield wrapped((f"{TAPES} {ALONG}",))
    for table in tables:
        bays = [at for at, column in enumerate(table.columns) if "tape" not in column]
        if table.title.startswith("Line "):
            yield _section(_of(table, bays))
            yield table_lines(_of(table, [0, *(at for at in range(len(table.columns)) if at not in bays)]))
        else:
            yield _section(table)


def _of(table: Table, kept: Sequence[int]) -> Table:
    columns, *rows = (tuple(row[at] for at in kept) for row in (table.columns, *table.rows))
    return replace(table, columns=columns, rows=tuple(rows))


def _sheets(job: Job, walk: Walk) -> Iterator[Iterator[str]]:
    for stage in STAGES_TOLD:
        parts = (_figures(part) for part in sheet_of(stage, job, walk).parts if part.columns[0].head not in BESIDES)
        tables = [table for table in parts if len(table.columns) > 1]
        for number, table in enumerate(tables):
            yield table_lines(table) if number else _section(replace(table, title=TITLES[stage].capitalize()))


def _figures(part: SheetPart) -> Table:
    """A part without what is asked of every row and answered: a plan is told before, and read beside the sheets that are ticked."""
    kept = [at for at, column in enumerate(part.columns) if column.head in OF_SOME or not any(row.cells[at].line for row in part.rows)]
    rows = tuple(row._replace(cells=tuple(_told(row.cells[at]) for at in kept)) for row in part.rows)
    told = filled(SheetPart(tuple(part.columns[at] for at in kept), rows))
    return Table("", tuple(column.head for column in told.columns), tuple(tuple(cell.words for cell in row.cells) for row in told.rows))


def _told(cell: Cell) -> Cell:
    return cell if cell.line is None else Cell(figure="yes")


def _load(job: Job, walk: Walk) -> Iterator[Iterator[str]]:
    says = load_text(job, walk.takeoff).rstrip().split("\n")
    lines = (line for one in says for line in wrapped((one,), BOX_LETTERS if one.startswith("[") else 0))
    yield iter((*underlined("Load list"), *lines))


def _findings(walk: Walk) -> Iterator[Iterator[str]]:
    told = [finding for level in LEVELS for finding in walk.findings if finding.level == level]
    lines = [
        line
        for one in told
        for line in (*wrapped((f"{one.level:<4}  {TITLES[one.stage]}: {one.says}",), 6), *wrapped((f"      {one.do}",), 6))
    ]
    yield iter((*underlined("Findings"), *(lines or ("none",))))


def _count(walk: Walk) -> str:
    counts = [sum(finding.level == level for finding in walk.findings) for level in LEVELS]
    return "{} to stop for, {} to fix, {} to note.".format(*counts)
