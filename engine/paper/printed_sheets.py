"""The nine sheets as the office's record prints them: with when each row was ticked and by whom, and all reasons and notes below."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from engine.checklist import ChecklistLine, WantedReading
from engine.findings import STAGES, StageName
from engine.job.model.job import Job
from engine.paper.as_built import asked_when_signed
from engine.paper.built_tables import TIMES, Table, was_words
from engine.sheets.punch import LEFT_COLUMNS
from engine.sheets.sheet import Cell, Row, Sheet, SheetPart, filled
from engine.sheets.stage_sheets import sheet_of
from engine.sheets.survey import OFF_BY
from engine.walk import Walk

SIGNS = "· open, ✓ done, – not needed, ! out of range; in brackets what it was before it changed."
PAGE_LETTERS = 112
"""Letters of a row that stand beside each other on a printed page; a column takes two more."""
LONG_LETTERS = 24
"""So many of them are kept for a column whose words wrap."""

CLOCK = "%H:%M"


class Told(NamedTuple):
    """What of its ticks a sheet has to tell row by row: what is the same for all is said once below it."""

    several_days: bool
    several_names: bool


@dataclass(frozen=True)
class PrintedSheet:
    """A stage's tables with their heads, and what is said in words below them."""

    stage: StageName
    tables: tuple[Table, ...]
    says: tuple[str, ...]


def printed_sheets(job: Job, walk: Walk, room: int | None = None) -> tuple[PrintedSheet, ...]:
    """Every sheet with something in it; in `room` letters the columns that give way do, and gates stand in several tables."""
    return tuple(sheet for stage in STAGES if (sheet := _printed(job, sheet_of(stage, job, walk), room)).tables)


def _printed(job: Job, sheet: Sheet, room: int | None) -> PrintedSheet:
    """What is left to do stands in the record's own tables, item by item in the other sheets."""
    parts = [part for part in sheet.parts if part.columns[0] != LEFT_COLUMNS[0]]
    shown = [_as_signed(job, sheet.stage, part) for part in parts]
    ticks = [line.tick for part in shown for line in _own(sheet.stage, part) if line.tick]
    names, days = (
        list(dict.fromkeys(one))
        for one in ((tick.by for tick in ticks), (tick.at.date() for tick in sorted(ticks, key=lambda tick: tick.at)))
    )
    one_by_one = Told(several_days=len(days) > 1, several_names=len(names) > 1)
    tables = tuple(_table(sheet.stage, one, one_by_one) for part in shown if part.rows for one in in_room(filled(part), room))
    all_by = [f"by {names[0]}"] if len(names) == 1 else []
    all_on = [f"on {days[0]:%Y-%m-%d}"] if len(days) == 1 else []
    all_words = (f"All {' '.join((*all_by, *all_on))}.",) if all_by or all_on else ()
    together = " ".join((*all_words, *ranges_that_pass(sheet)))
    says = (together, *reasons(job, [line for part in parts for line in _own(sheet.stage, part)]))
    return PrintedSheet(sheet.stage, tables, tuple(filter(None, says)))


def _as_signed(job: Job, stage: StageName, part: SheetPart) -> SheetPart:
    """A signed-off job shows the ticks it was signed with, though this version asks for something else, and no figure worked out today."""
    rows = tuple(row._replace(cells=tuple(_cell(job, cell) for cell in row.cells)) for row in part.rows)
    if job.record is None:
        return SheetPart(part.columns, rows)
    asked = [at for at in range(len(part.columns)) if at == 0 or any(row.cells[at].line for row in part.rows)]
    if len(asked) > 1:
        return _columns(SheetPart(part.columns, rows), asked)
    if stage != "survey":
        return SheetPart(part.columns, ())
    return _columns(SheetPart(part.columns, rows), [at for at, column in enumerate(part.columns) if column.head != OFF_BY])


def _cell(job: Job, cell: Cell) -> Cell:
    line = cell.line
    if line is None or asked_when_signed(job, line):
        return cell
    return Cell() if line.was is None else Cell(line._replace(tick=line.was, passes=True, was=None))


def _own(stage: StageName, part: SheetPart) -> Iterator[ChecklistLine]:
    """The stage's own items; a post that is pinned in bracing stands among the posts too."""
    return (line for row in part.rows for line in _lines(stage, row))


def _lines(stage: StageName, row: Row) -> Iterator[ChecklistLine]:
    return (cell.line for cell in row.cells if cell.line is not None and cell.line.item.key.stage == stage)


def _table(stage: StageName, part: SheetPart, told: Told) -> Table:
    """A part with when each row was ticked, from the first to the last, and by whom where there are several."""
    ticks = [[line.tick for line in _lines(stage, row) if line.tick] for row in part.rows]
    more = ("ticked", "by")[: 2 if told.several_names else 1] if any(ticks) else ()
    rows = []
    for row, given in zip(part.rows, ticks, strict=True):
        name = row.name if row.name == row.name.lstrip() else f"{row.subject} {row.name.lstrip()}"
        when = _when([tick.at for tick in given], TIMES if told.several_days else CLOCK)
        rows.append(
            (name, *(cell.words for cell in row.cells[1:]), *(when, ", ".join(dict.fromkeys(tick.by for tick in given)))[: len(more)])
        )
    return Table("", (*(column.head for column in part.columns), *more), tuple(rows))


def _when(times: Sequence[datetime], form: str) -> str:
    if not times:
        return ""
    first, last = min(times), max(times)
    if first == last:
        return f"{first:{form}}"
    return f"{first:{form}} to {last:{CLOCK if first.date() == last.date() else form}}"


def in_room(part: SheetPart, room: int | None, letters_of: Callable[[Cell], int] | None = None) -> Iterator[SheetPart]:
    """A part as it fits in so many letters; where what never gives way is too wide, in several tables under the same names. `letters_of` is
    how much room a cell takes, its words unless it says so."""
    if room is None:
        yield part
        return
    wide = [_width(part, at, letters_of or (lambda cell: len(cell.words))) for at in range(len(part.columns))]
    kept = list(range(len(part.columns)))
    for at in sorted(kept, key=lambda at: -part.columns[at].drops):
        if sum(wide[at] for at in kept) > room and part.columns[at].drops:
            kept.remove(at)
    first, group = kept[0], list[int]()
    for at in kept[1:]:
        if group and wide[first] + sum(wide[one] for one in group) + wide[at] > room:
            yield _columns(part, [first, *group])
            group = []
        group.append(at)
    yield _columns(part, [first, *group])


def _width(part: SheetPart, at: int, letters_of: Callable[[Cell], int]) -> int:
    column = part.columns[at]
    letters = max(len(column.head), *(letters_of(row.cells[at]) for row in part.rows))
    return 2 + (min(letters, LONG_LETTERS) if column.long else letters)


def _columns(part: SheetPart, kept: Sequence[int]) -> SheetPart:
    rows = (row._replace(cells=tuple(row.cells[at] for at in kept)) for row in part.rows)
    return SheetPart(tuple(part.columns[at] for at in kept), tuple(rows))


def ranges_that_pass(sheet: Sheet) -> Iterator[str]:
    """What passes, where no column of the sheet says it."""
    asked: dict[str, list[tuple[str, WantedReading]]] = {}
    for part in sheet.parts:
        for row in part.rows:
            for column, cell in zip(part.columns, row.cells, strict=True):
                reading = cell.line.item.reading if cell.line else None
                if reading is not None and reading.range_words not in [other.figure for other in row.cells]:
                    head, name = (row.name, column.head) if sheet.stage == "gate" else (column.head, row.name)
                    asked.setdefault(head, []).append((name, reading))
    if asked:
        yield f"In range: {'; '.join(f'{head} {_range(readings)}' for head, readings in asked.items())}."


def _range(readings: Sequence[tuple[str, WantedReading]]) -> str:
    """One range for all, or how far each may be off what it wants, or one by one."""
    ranges = dict.fromkeys(reading.range_words for _, reading in readings)
    slacks = dict.fromkeys(_slack(reading) for _, reading in readings)
    if len(ranges) == 1:
        return next(iter(ranges))
    slack = next(iter(slacks))
    if len(slacks) == 1 and slack:
        return slack
    return ", ".join(f"{name} {reading.range_words}" for name, reading in readings)


def _slack(reading: WantedReading) -> str:
    if reading.wanted is None or reading.low is None or reading.high is None:
        return ""
    under, over = (reading.words(abs(end - reading.wanted)) for end in (reading.low, reading.high))
    if under == over:
        return f"within {over} of what is wanted"
    return f"from {under} under to {over} over what is wanted" if reading.low < reading.wanted else f"what is wanted, or up to {over} more"


def reasons(job: Job, lines: Iterable[ChecklistLine]) -> Iterator[str]:
    """Why something isn't needed, or was left open before, what was out of range, notes, and what an item was before it changed."""
    not_needed: dict[str, list[str]] = {}
    left_open: dict[str, list[str]] = {}
    not_asked: list[str] = []
    later: list[str] = []
    told: list[str] = []
    for line in lines:
        tick, reading, says = line.tick, line.item.reading, line.item.says
        if not asked_when_signed(job, line):
            later.append(says)
        if line.was is not None:
            told.append(f"{says}: {was_words(line)}{f' ({line.was.note})' if line.was.note else ''}.")
        elif tick is not None and tick.state == "not needed":
            not_needed.setdefault(tick.note, []).append(says)
        elif line.left is not None:
            left_open.setdefault(line.left.note, []).append(says)
        elif line.state == "not asked":
            not_asked.append(says)
        elif tick is not None and line.passes is False and reading is not None and tick.reading is not None:
            read = f"{says}: {reading.words(tick.reading)} was read, {reading.range_words} is wanted"
            told.append(f"{read}: {tick.note}" if tick.note else f"{read}.")
        elif tick is not None and tick.note:
            told.append(f"{says}: {tick.note}")
    yield from (f"Not needed{f' ({note})' if note else ''}: {'; '.join(items)}." for note, items in not_needed.items())
    yield from (f"Left open before this repair{f' ({note})' if note else ''}: {'; '.join(items)}." for note, items in left_open.items())
    yield from (f"Not asked before this repair: {'; '.join(not_asked)}.",) if not_asked else ()
    yield from (f"Not open when it was signed: {'; '.join(later)}.",) if later else ()
    yield from told
