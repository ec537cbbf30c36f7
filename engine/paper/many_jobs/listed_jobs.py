"""The jobs of a folder as a list for the office: CSV for other programs, and the same to read."""

from collections.abc import Iterable, Sequence
from pathlib import Path, PurePosixPath

from engine.calc.lengths import format_ft_in
from engine.calc.units import FEET_INCHES, METRES, in_units
from engine.findings import STAGES, TITLES
from engine.folder.job_order import HEADS, NOTHING, cells, in_order, sealed_word
from engine.folder.listing import Listed
from engine.job.file.disk import Disk
from engine.paper.built_tables import Table
from engine.paper.record_office import table_text
from engine.paper.tables.csv_text import csv_text
from engine.paper.tables.told_cells import figures_of, heads_of, told_ft
from engine.paper.written_files import write_csv

LENGTH = "length_ft"
COLUMNS = (
    "job", "title", "client", "planned", "stage_number", "stage", "open_items", "done_items", "worst", "worst_code", "worst_finding",
    "short_stock_rows", "sealed", "signed_at", "signed_by", LENGTH, "length", "units", "copy_of", "file", "cannot_be_read",
)  # fmt: skip


def jobs_csv(rows: Iterable[Listed]) -> str:
    """A row a job file, what was planned last first; of one that can't be read only its name and the reason. A column has one unit: metres
    where all jobs are in metres, else feet; beside it the length as its own job tells it."""
    ordered = _ordered(rows)
    units = {row.kept.units for row in ordered if row.kept}
    with in_units(METRES if units == {METRES} else FEET_INCHES):
        return csv_text(heads_of(COLUMNS), list(map(_row, ordered)))


def _ordered(rows: Iterable[Listed]) -> list[Listed]:
    """As the screen lists them first."""
    return in_order(rows, "planned", backwards=True)


def _row(row: Listed) -> tuple[str, ...]:
    """Nothing where it isn't known; a job without a number is called by its title, as in every other table."""
    kept, said = row.kept or NOTHING, cells(row)
    if row.kept is None:
        return (*("" for _ in COLUMNS[:-2]), row.name, row.error)
    stage = STAGES.index(kept.stage) + 1 if kept.stage in STAGES else 0
    copy_of = f"{PurePosixPath(row.name).with_name(row.copy.of.file)}" if row.copy else ""
    return (
        kept.number or said["title"], said["title"], kept.client, kept.day, f"{stage or ''}", TITLES[STAGES[stage - 1]] if stage else "",
        said["open"], f"{kept.done}", kept.worst, kept.worst_code, kept.worst_says,
        f"{kept.short}", sealed_word(kept), kept.signed_at, kept.signed_by,
        *figures_of(told_ft(kept.length_ft or None), (LENGTH,)), _length(row), kept.units, copy_of, row.name, "",
    )  # fmt: skip


def jobs_text(rows: Iterable[Listed]) -> str:
    """The list as plain text: what the screen shows under its heads, then the worst of each in words, then files that hold a job once more,
    then what can't be read."""
    ordered = _ordered(rows)
    read = [row for row in ordered if row.kept is not None]
    jobs = Table(
        "Jobs", (*HEADS, "length", "file"), tuple((*cells(row).values(), _length(row), row.name) for row in read), empty="none here"
    )
    worst = tuple(
        (_called(row), kept.worst, kept.worst_says) for row in read if not row.copy and (kept := row.kept) and kept.worst in ("stop", "fix")
    )
    copies = tuple((row.name, row.copy.says) for row in read if row.copy)
    wrong = tuple((row.name, row.error) for row in ordered if row.kept is None)
    tables = [
        jobs,
        *_filled(Table("Worst of each", ("job", "", "finding"), worst)),
        *_filled(Table("The same job once more", ("file", ""), copies)),
        *_filled(Table("Can't be read", ("file", "why"), wrong)),
    ]
    return "\n\n".join(map(table_text, tables)) + "\n"


def _filled(table: Table) -> Sequence[Table]:
    return (table,) if table.rows else ()


def _called(row: Listed) -> str:
    said = cells(row)
    return said["number"] or said["title"]


def _length(row: Listed) -> str:
    """In the units of its own job."""
    kept = row.kept or NOTHING
    with in_units(METRES if kept.units == METRES else FEET_INCHES):
        return format_ft_in(kept.length_ft) if kept.length_ft else ""


def write_jobs(rows: Iterable[Listed], out: Path, *, replacing: bool = False, disk: Disk | None = None) -> Path:
    """Write the list as a CSV file, over an older one only where `replacing` is said. Raises: NotWritten, one sentence."""
    return write_csv(disk or Disk(), out, {"": jobs_csv(rows)}, "a list of jobs", replacing=replacing)[0]
