"""The load list of a week to read, and as a CSV file."""

from collections.abc import Iterator
from itertools import compress
from pathlib import Path

from engine.calc.dates import format_date
from engine.calc.phrases import counted, listed, measured
from engine.calc.units import FEET_INCHES, METRES, in_units, named_in_force
from engine.job.file.disk import Disk
from engine.paper.load_list import COLUMNS, RULE, LoadList, bare, boxes_text, load_cells, total_words
from engine.paper.many_jobs.week_load import SHARED, LoadedJob, SharedRow, WeekLoad
from engine.paper.pack_words import held_in, load_words, on_truck_words
from engine.paper.tables.csv_text import csv_text, in_one_word
from engine.paper.written_files import free_beside, write_csv
from engine.stages.takeoff import TakeoffRow

NOTHING = "Nothing is to be loaded: no job with something to load is planned in this week."
MISSING = "NOT IN THIS LIST"
_OF_ONE_JOB = ("job", "short_packs", "left_units")
"""What only a job's own list says: of several, what isn't on the truck yet is told instead."""
_KEPT = tuple(column not in _OF_ONE_JOB for column in COLUMNS[1:])
_FIRST = ("week", *compress(COLUMNS[1:], _KEPT), "to_load_packs")


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


def week_load_csv(load: WeekLoad) -> str:
    """A row a thing in truck order, numbers bare, all jobs together and then each in columns of its own; last what isn't in it. Lengths are
    in metres where all jobs are, as a column has one unit; else in feet."""
    with in_units(METRES if load.rows and all(row.units == METRES for row in load.rows) else FEET_INCHES):
        return _csv(load)


def _csv(load: WeekLoad) -> str:
    heads = _job_heads(load)
    columns = (*map(named_in_force, _FIRST), *(f"{head}_{what}" for head in heads.values() for what in ("needed_units", "packs")))
    week = f"{load.monday:%Y-%m-%d}"
    rows = [(week, *_cells(row), *_of_jobs(row, heads)) for row in load.rows]
    what = _FIRST.index("what")
    notes = [f"{MISSING}: {name}: {why}" for name, why in load.left_out] + [f"{job.called}: {job.says}" for job in load.jobs if job.says]
    notes += [" ".join(SHARED)] if load.rows else []
    rows += [(week, *("" for _ in range(what - 1)), note, *("" for _ in columns[what + 1 :])) for note in notes]
    return csv_text(columns, rows)


def _job_heads(load: WeekLoad) -> dict[str, str]:
    """A head a job: letters and figures of what it is called, its place among the jobs behind where two come to the same."""
    names = {job.called: in_one_word(job.called) for job in load.jobs}
    said = list(names.values())
    return {
        called: f"job_{name}" if said.count(name) == 1 else f"job_{name}_{place}" for place, (called, name) in enumerate(names.items(), 1)
    }


def _cells(row: SharedRow) -> tuple[str, ...]:
    return (*compress(load_cells(row.load), _KEPT), bare(row.to_load))


def _of_jobs(row: SharedRow, heads: dict[str, str]) -> Iterator[str]:
    for called in heads:
        one = row.of_jobs.get(called)
        yield from ("", "") if one is None else (bare(one.needed + one.spare, one.unit), bare(one.packs))


def write_week_load(load: WeekLoad, out: Path, *, replacing: bool = False, disk: Disk | None = None) -> Path:
    """Write the list as a CSV file, over an older one only where `replacing` is said. Raises: NotWritten, one sentence."""
    return write_csv(disk or Disk(), out, week_load_csv(load), "a load list", replacing=replacing)


def free_week_name(folder: Path, load: WeekLoad) -> Path:
    """A name in the folder that nothing stands under yet: `week-2026-11-30-load.csv`."""
    return free_beside(folder / f"week-{load.monday:%Y-%m-%d}", "load", ".csv")
