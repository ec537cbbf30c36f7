"""The nine sheets with boxes to tick and lines to write readings on, in the order and with the columns that the screen has."""

from collections.abc import Iterator

from engine.checklist import ChecklistLine
from engine.findings import STAGES, TITLES, StageName
from engine.job.model.job import Job
from engine.paper.markup import element, escaped
from engine.paper.printed_sheets import in_room, ranges_that_pass, reasons
from engine.sheets.punch import LEFT_COLUMNS
from engine.sheets.sheet import OUT_OF_RANGE, Cell, Row, Sheet, SheetPart, answer_words, filled
from engine.sheets.stage_sheets import sheet_of
from engine.sheets.survey import BOOK_COLUMNS
from engine.walk import Walk

ROOM = 104
"""Letters beside each other on a sheet, in portrait, boxes and lines to write on among them."""
BOX_LETTERS, LINE_LETTERS = 4, 13
FEW_COLUMNS = 4
DASH = "–"
BLANK_LINE = element("span", "", class_="blank")
NOT_NEEDED = "not needed"
MORE_SHOTS = 8
"""Empty rows of the field book below the shots that are in it; all of a page where there are none yet."""
FIRST_SHOTS = 20


def tick_sheets(job: Job, walk: Walk) -> Iterator[tuple[StageName, str]]:
    """Every stage with something on its sheet, as markup; the survey's field book is always there to be written into."""
    for stage in STAGES:
        inside = [*_sheet(job, sheet_of(stage, job, walk))]
        if inside:
            yield stage, "\n".join(inside)


def _sheet(job: Job, sheet: Sheet) -> Iterator[str]:
    """Who did it, what passes, the parts, and why something was ticked as it is."""
    parts = [part for part in map(_worth_paper, sheet.parts) if part.rows]
    if not parts and sheet.stage != "survey":
        return
    lines = [line for part in parts for row in part.rows for line in _own(sheet.stage, row)]
    if any(line.state == "open" for line in lines):
        yield element("p", "Done by ", BLANK_LINE, " on ", BLANK_LINE, class_="by")
    yield from (element("p", escaped(words), class_="says") for words in ranges_that_pass(sheet))
    for part in parts:
        if part.columns != BOOK_COLUMNS:
            for one in in_room(filled(part), ROOM, letters):
                yield _table(sheet.stage, one)
    if sheet.stage == "survey":
        yield _field_book(next((part for part in sheet.parts if part.columns == BOOK_COLUMNS), None))
    yield from (element("p", escaped(words), class_="says") for words in reasons(job, [line for line in lines if line.was is None]))


def _worth_paper(part: SheetPart) -> SheetPart:
    """Of what is left to do only what isn't a box of another sheet."""
    if part.columns[0] != LEFT_COLUMNS[0]:
        return part
    return SheetPart(part.columns, tuple(row for row in part.rows if row.finding is not None or row.jump is None or row.jump.item is None))


def _own(stage: StageName, row: Row) -> Iterator[ChecklistLine]:
    return (cell.line for cell in row.cells if cell.line is not None and cell.line.item.key.stage == stage)


def letters(cell: Cell) -> int:
    """How much room a cell takes, in letters."""
    line = cell.line
    if line is None:
        return len(cell.figure)
    before = len(answer_words(line)) + 1 if line.was else 0
    if line.state != "open":
        return len(_answered(line))
    return before + (BOX_LETTERS if line.item.reading is None else LINE_LETTERS)


def _table(stage: StageName, part: SheetPart) -> str:
    """A part of a sheet under its heads; one of few columns keeps what is asked beside what it is about."""
    asked = [any(row.cells[at].line for row in part.rows) for at in range(len(part.columns))]
    kinds = ["asked" if is_asked else "right" if column.right else None for column, is_asked in zip(part.columns, asked, strict=True)]
    heads = (element("th", escaped(one.head), scope="col", class_=kind) for one, kind in zip(part.columns, kinds, strict=True))
    rows = "\n".join(element("tr", *(_cell(stage, *one) for one in zip(row.cells, kinds, strict=True))) for row in part.rows)
    class_ = "ticks" if len(part.columns) > FEW_COLUMNS else "ticks few"
    return element("table", element("thead", element("tr", *heads)), element("tbody", rows), class_=class_)


def _cell(stage: StageName, cell: Cell, kind: str | None) -> str:
    """A box, a line to write on, what was ticked or read already, a figure, or a dash where nothing is asked of this row. What is asked on
    the sheet of another stage has its box there."""
    line = cell.line
    if line is not None and line.state == "open" and line.item.key.stage != stage:
        return element("td", f"sheet {_number(line)}", class_="asked none")
    if line is not None:
        return element("td", _answer(line), class_="asked")
    if kind == "asked" and not cell.figure:
        return element("td", DASH, class_="asked none")
    return element("td", escaped(cell.figure), class_=kind)


def _number(line: ChecklistLine) -> int:
    """The sheet of an item by its number."""
    return next(number for number, stage in enumerate(STAGES, 1) if stage == line.item.key.stage)


def _answer(line: ChecklistLine) -> str:
    if line.state != "open":
        return element("span", escaped(_answered(line)), class_="bad" if line.passes is False else "done")
    was = element("small", escaped(f"{answer_words(line)} ")) if line.was else ""
    key, reading = str(line.item.key), line.item.reading
    if reading is None:
        return was + element("span", "", class_="box", data_item=key)
    unit = '"' if reading.unit == "in" else "'"
    inches = "" if reading.unit == "in" else element("span", "", class_="line short") + '"'
    return was + element("span", element("span", "", class_="line") + unit + inches, class_="read", data_item=key)


def _answered(line: ChecklistLine) -> str:
    """What is ticked, read or not needed already."""
    words = answer_words(line)
    if line.state in ("not needed", "not asked"):
        return line.state
    return words.removesuffix(f" {OUT_OF_RANGE}") + (" out of range" if line.passes is False else "")


def _field_book(part: SheetPart | None) -> str:
    """The shots that were taken, and empty rows for more, all columns kept."""
    taken = [tuple(cell.words for cell in row.cells) for row in part.rows] if part else []
    rows = [element("tr", *(element("td", escaped(words)) for words in row)) for row in taken]
    rows += [element("tr", *(element("td", "") for _ in BOOK_COLUMNS), class_="write")] * (MORE_SHOTS if taken else FIRST_SHOTS)
    head = element("thead", element("tr", *(element("th", escaped(column.head), scope="col") for column in BOOK_COLUMNS)))
    return element("h3", "Field book") + element("table", head, element("tbody", "\n".join(rows)), class_="ticks book")


def title_of_stage(stage: StageName) -> str:
    """A stage by its number and name: `4 bracing`."""
    return f"{STAGES.index(stage) + 1} {TITLES[stage]}"
