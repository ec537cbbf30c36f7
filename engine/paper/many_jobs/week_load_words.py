"""The load list of a week to read, and as a CSV file."""

from itertools import compress
from pathlib import Path

from engine.calc.dates import format_date
from engine.calc.phrases import counted, listed, measured
from engine.calc.units import FEET_INCHES, METRES, in_units
from engine.job.file.disk import Disk
from engine.paper.load_list import COLUMNS, OF_ESTIMATE, RULE, LoadList, bare, boxes_text, load_cells, total_words
from engine.paper.many_jobs.week_load import SHARED, LoadedJob, SharedRow, WeekLoad
from engine.paper.pack_words import held_in, load_words, on_truck_words
from engine.paper.tables.csv_text import RESTS_ON, csv_text
from engine.paper.tables.offcut_rows import OFFCUTS, offcuts_csv
from engine.paper.written_files import free_beside, write_csv
from engine.stages.takeoff import TakeoffRow

NOTHING = "Nothing is to be loaded: no job with something to load is planned in this week."
MISSING = "NOT IN THIS LIST"
OF_JOBS = "jobs"
_PARTS = ("", OF_JOBS, OFFCUTS)
_OF_ONE_JOB = ("short_packs", "left_units", *OF_ESTIMATE)
"""What only a job's own list says: of several, what isn't on the truck yet is told instead."""
_KEPT = tuple(column not in _OF_ONE_JOB for column in COLUMNS[2:])
_COLUMNS = ("week", "jobs", *compress(COLUMNS[2:], _KEPT), "to_load_packs", "each_job_takes")


def week_load_text(load: WeekLoad) -> str:
    """The list as plain text, for a terminal or a printer: the jobs, a box to tick for each thing, what each job takes of it."""
    first = [load.title, *(job_words(job) for job in load.jobs), *(f"{MISSING}: {name}: {why}" for name, why in load.left_out)]
    if not load.rows:
        return "\n".join([*first, NOTHING]) + "\n"
    boxes = [(row.load.group, f"{shared_words(row)}\n        {share_words(row)}") for row in load.rows]
    total = LoadList((), load.total, load.unpriced)
    return boxes_text([*first, "", RULE, *SHARED], boxes, "" if load.total is None else total_words(total))


def job_words(job: LoadedJob) -> str:
    """`2611, Willow Bend back yard, Tue 4/14/2026: its layout isn't accepted yet, ...`"""
    called = job.called if job.title in job.called else f"{job.called}, {job.title}"
    return f"{called}, {job.day:%a} {format_date(job.day)}{f': {job.says}' if job.says else ''}"


def shared_words(row: SharedRow) -> str:
    """`round steel post 1 5/8 in, 8 ft: 24 posts  (16 loaded, 8 still to load)`"""
    with in_units(row.units):
        total = row.load.row
        return f"{total.name}: {load_words(total, row.load.kind)}  ({there_words(row)})"


def there_words(row: SharedRow) -> str:
    """What is there of it, where that isn't known, and what is still to be put on."""
    total = row.load.row
    with in_units(row.units):
        there = [on_truck_words(total, row.load.kind)]
        there += [f"not counted for {listed(row.uncounted)}"] if row.uncounted and total.loaded is not None else []
        there += [f"{measured(total.used, total.unit)} built in"] if total.used else []
        held = held_in(total, row.load.kind)
    left = counted(row.to_load, held) if held else f"{row.to_load}"
    return ", ".join((*there, f"{left if row.to_load else 'nothing'} left to load"))


def share_words(row: SharedRow) -> str:
    """What each job takes: `2611: 12 posts; 2615: 12 posts`, `2611: 163 ft from 1 spool`."""
    with in_units(row.units):
        return "; ".join(f"{name}: {_takes(one, row)}" for name, one in row.of_jobs.items())


def _takes(one: TakeoffRow, row: SharedRow) -> str:
    pieces = measured(one.needed + one.spare, one.unit)
    return f"{pieces} from {counted(one.packs, held_in(one, row.load.kind))}" if one.unit == "ft" else pieces


def week_load_texts(load: WeekLoad) -> dict[str, str]:
    """CSV texts by the parts of their file's name: all jobs together, a row a thing in truck order, last what isn't in it; every job's own
    load list; what the cut plans of all together leave. A column has one unit: lengths are in metres where all jobs are, else in feet."""
    week = f"{load.monday:%Y-%m-%d}"
    with in_units(METRES if load.rows and all(row.units == METRES for row in load.rows) else FEET_INCHES):
        own = [(week, job.called, RESTS_ON[False], *load_cells(row)) for job in load.jobs for row in job.rows]
        return {
            "": _together(load, week),
            OF_JOBS: csv_text(("week", *COLUMNS), own),
            OFFCUTS: offcuts_csv(_COLUMNS[:2], (((week, _jobs(row)), row.load.row) for row in load.rows)),
        }


def _together(load: WeekLoad, week: str) -> str:
    rows = [(week, _jobs(row), *compress(load_cells(row.load), _KEPT), bare(row.to_load), share_words(row)) for row in load.rows]
    what = _COLUMNS.index("what")
    notes = [("", f"{MISSING}: {name}: {why}") for name, why in load.left_out]
    notes += [(job.called, f"{job.called}: {job.says}") for job in load.jobs if job.says]
    notes += [("", " ".join(SHARED))] if load.rows else []
    rows += [(week, whose, *("" for _ in range(what - 2)), note, *("" for _ in _COLUMNS[what + 1 :])) for whose, note in notes]
    return csv_text(_COLUMNS, rows)


def _jobs(row: SharedRow) -> str:
    """The numbers of those that take it: `2611; 2615`."""
    return "; ".join(row.of_jobs)


def write_week_load(load: WeekLoad, out: Path, *, replacing: bool = False, disk: Disk | None = None) -> tuple[Path, ...]:
    """Write the list as CSV files, its parts beside it, over older ones only where `replacing` is said. Raises: NotWritten."""
    return write_csv(disk or Disk(), out, week_load_texts(load), "a load list", replacing=replacing)


def free_week_name(folder: Path, load: WeekLoad) -> Path:
    """A name in the folder that nothing stands under yet: `week-2026-11-30-load.csv`."""
    return free_beside(folder / f"week-{load.monday:%Y-%m-%d}", "load", ".csv", _PARTS)
