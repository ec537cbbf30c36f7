"""The strip under the sheet: all there is to say of the cell under the cursor, and what is typed into it."""

from collections.abc import Iterator, Sequence

from textual.content import Content

from engine.calc.dates import format_date
from engine.calc.phrases import counted, listed
from engine.calc.units import metric, unit_called
from engine.checklist import ChecklistLine, put_right
from engine.findings import Finding
from engine.sheets.sheet import Cell, Column, Row
from tui.base.theme import SIGNS
from tui.sheet.cell_typing import Typing
from tui.sheet.reading_judged import wanted_words
from tui.sheet.sheet_cursor import SheetCursor, is_open


def strip_words(cursor: SheetCursor, gave_way: tuple[tuple[Column, Cell], ...], next_step: str) -> Content:
    """The next step where there is one; the whole sentence with its range, who ticked it and when or what it was; the worst finding of
    its row."""
    row, part, line = cursor.row, cursor.part, cursor.cell.line
    if row is None or part is None:
        return Content(next_step)
    parts = [Content.styled(next_step, "bold")] if next_step else []
    parts.append(_asked(line) if line is not None else _named(row, part.columns))
    if row.finding is not None and row.jump is None:
        parts.append(finding_words(row.finding, row.subject))
    if gone := "; ".join(
        f"{column.head}: {other.words}" for column, other in gave_way if other.words and not (line is None and column.long)
    ):
        parts.append(Content.styled(f"{gone[:1].upper()}{gone[1:]}.", "$muted"))
    return Content("\n").join(parts)


def in_room(says: Content, width: int, height: int) -> Content:
    """What there is to say in so many lines; where it is longer the last one ends with a sign."""
    lines = says.wrap(max(width, 1))
    if len(lines) <= height:
        return says
    return Content("\n").join([*lines[: height - 1], lines[height - 1].rstrip().truncate(width - 2) + " …"])


def _named(row: Row, columns: Sequence[Column]) -> Content:
    """A row as a whole: its name, its long words, and what Space or Enter does there."""
    open_checks = sum(1 for cell in row.cells if is_open(cell) and cell.line is not None and cell.line.item.reading is None)
    words = [row.name, *(cell.words for cell, column in zip(row.cells[1:], columns[1:], strict=True) if column.long and cell.words)]
    leads = " Enter goes there." if row.jump is not None else f" Space ticks its {open_checks} open checks." if open_checks > 1 else ""
    return Content(f"{'. '.join(word.rstrip('.') for word in words)}.{leads}")


def _asked(line: ChecklistLine) -> Content:
    item = line.item
    wanted = f" {wanted_words(item.reading)}" if item.reading is not None else ""
    told = ticked_words(line)
    if item.tells is not None and line.tick is not None and line.tick.reading is not None:
        told = f"{told} {item.tells.words(line.tick.reading)}"
    if line.was is not None:
        why = f"it was done with {listed(line.other_stock)}" if line.other_stock else "what it is about changed"
        told = f"Was {_was(line)}, {line.was.by}, {format_date(line.was.at)}; open again, for {why}."
    return Content.assemble(f"{item.says}.{wanted}", Content.styled(f" {told or line.why_left}", "$muted"))


def ticked_words(line: ChecklistLine) -> str:
    """What a line was ticked with, by whom and when, and the reason given."""
    tick, reading = line.tick, line.item.reading
    if tick is None:
        return ""
    read = tick.state if reading is None or tick.reading is None else reading.words(tick.reading)
    photos = f" {counted(len(tick.photos), 'photo')}." if tick.photos else ""
    return f"{read[:1].upper()}{read[1:]}, {tick.by}, {format_date(tick.at)} {tick.at:%H:%M}.{photos}{f' {tick.note}' if tick.note else ''}"


def _was(line: ChecklistLine) -> str:
    was, reading = line.was, line.item.reading
    return reading.words(was.reading) if was and reading and was.reading is not None else was.state if was else ""


def finding_words(finding: Finding, of: str) -> Content:
    """What a finding says of one thing, with its sign and what to do, on one line."""
    return Content.assemble(Content.styled(f"{SIGNS[finding.level]} {finding.says_of(of)}", f"bold ${finding.level}"), f" {finding.do}")


def typing_words(typing: Typing, *, elsewhere: bool = False) -> Content:
    """What is asked, what was understood, whether it passes, and why it stays where it doesn't; `elsewhere` that it waits."""
    return Content("\n").join(_waiting_lines(typing) if elsewhere else _typing_lines(typing))


def _waiting_lines(typing: Typing) -> Iterator[Content]:
    yield Content(f"{typing.line.item.says}. {wanted_words(typing.asks)}")
    waits = Content.styled("Not kept yet. Esc goes back to it.", "bold $fix")
    yield Content.assemble(f"{typing.text} {typing.judged.understood}".strip(), "  ", waits)


def _typing_lines(typing: Typing) -> Iterator[Content]:
    judged, item = typing.judged, typing.line.item
    yield Content(f"{item.says}. {wanted_words(typing.asks)}")
    role = "$done" if judged.ok else "$stop" if judged.value is not None else "$fix"
    unit = "feet and inches" if typing.asks.unit == "ft" and not metric() else unit_called(typing.asks.unit)
    understood = f"{typing.text} {judged.understood}  " if judged.understood else f"In {unit}. Enter keeps it, Esc leaves it open. "
    tells = f" {item.tells.words(judged.value)}" if item.tells is not None and judged.value is not None else ""
    keeps = " Enter keeps it." if judged.value is not None and typing.reason is None and not typing.leaving else ""
    mends = f" {put_right(item.key)}." if judged.value is not None and not judged.ok and typing.reason is None and not tells else ""
    yield Content.assemble(understood, Content.styled(judged.verdict, f"bold {role}"), tells, mends, keeps)
    if typing.urged and typing.reason is None and not typing.text.strip():
        yield Content.styled("What does the tape say?", "bold $fix")
    if typing.leaving:
        yield Content.styled("Esc again throws away what you typed. Enter keeps it.", "bold $fix")
    elif typing.reason is not None:
        ask = "It is out of range: say why it stays so." if typing.urged else "Why does it stay so?"
        yield Content.styled(f"{ask} {typing.reason}_", "bold $fix")
