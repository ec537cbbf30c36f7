"""Where the cursor of a sheet is, and where each key takes it. Pure: no widget, no terminal."""

from collections.abc import Callable, Iterator
from typing import NamedTuple

from engine.checklist import ChecklistLine
from engine.job.model.item_key import ItemKey
from engine.sheets.sheet import BLANK, Cell, Column, Row, Sheet, SheetPart


class SheetLine(NamedTuple):
    """One line on screen: the heads of a part, or one of its rows."""

    part: SheetPart
    row: Row | None = None


class SheetCursor:
    """The lines of a sheet and the cell under the cursor: line `at`, column `column`. `down` is whether it last moved up or down."""

    def __init__(self) -> None:
        self.lines: list[SheetLine] = []
        self.at, self.column, self.down = 0, 0, True

    # The sheet ---------------------------------------------------------------------------------------------------------

    def show(self, sheet: Sheet, *, only_open: bool, called: Callable[[str], str] = str) -> None:
        """The lines of a sheet; the cursor stays on its row, which may be `called` otherwise now, or near it where that is gone."""
        old, at = self.row, self.at
        self.lines = []
        for part in sheet.parts:
            rows = [row for row in part.rows if not only_open or row_is_open(row)]
            if rows:
                self.lines += [SheetLine(part), *(SheetLine(part, row) for row in rows)]
        if old is not None:
            subject = called(old.subject)
            mine = [(number, row.name == old.name) for number, row in self.rows() if row.subject == subject]
            same = [(abs(number - at), number) for number, named in mine if named or subject != old.subject]
            self.at = min(same)[1] if same else min(at, len(self.lines) - 1)
        self.settle()

    def settle(self) -> None:
        """On a row and in a cell that are there."""
        if self.row is None:
            self.at = min((number for number, _ in self.rows()), key=lambda number: abs(number - self.at), default=0)
        if self.row is not None and not self._stops(self.at, self.column):
            self.column = self._near(self.row)

    def rows(self) -> Iterator[tuple[int, Row]]:
        """Every row with the line it is on."""
        return ((number, line.row) for number, line in enumerate(self.lines) if line.row is not None)

    def asked(self) -> Iterator[tuple[int, int, ChecklistLine]]:
        """Every cell in which something is asked: line, column, item."""
        return (
            (number, column, cell.line) for number, row in self.rows() for column, cell in enumerate(row.cells) if cell.line is not None
        )

    # What is under it ----------------------------------------------------------------------------------------------------

    @property
    def row(self) -> Row | None:
        """The row under the cursor."""
        return self.lines[self.at].row if 0 <= self.at < len(self.lines) else None

    @property
    def subjects(self) -> tuple[str, ...]:
        """What its row is about and what its cell is: a post and the bay from it, or of several gates beside each other one."""
        of_cell = self.cell.line.item.subject if self.cell.line is not None else ""
        return tuple(dict.fromkeys(filter(None, (self.row.subject if self.row is not None else "", of_cell))))

    @property
    def subject(self) -> str:
        """The first of them; empty where there is none."""
        return next(iter(self.subjects), "")

    @property
    def part(self) -> SheetPart | None:
        """The part it stands in."""
        return self.lines[self.at].part if 0 <= self.at < len(self.lines) else None

    @property
    def head(self) -> Column | None:
        """The column under the cursor."""
        return self.part.columns[self.column] if self.part else None

    @property
    def cell(self) -> Cell:
        """The cell under the cursor."""
        return self.row.cells[self.column] if self.row is not None and self.column < len(self.row.cells) else BLANK

    @property
    def beside_readings(self) -> bool:
        """Whether it is in a cell of a sheet on which others are read: a number typed there was meant for one of them."""
        return self.column > 0 and any(line.item.reading is not None for _, _, line in self.asked())

    def to_here(self) -> tuple[ChecklistLine, ...]:
        """Every item of this column, from the top of its part to the cursor."""
        own = [line.row for line in self.lines[: self.at + 1] if line.row is not None and line.part is self.part]
        return tuple(line for row in own if (line := row.cells[self.column].line) is not None)

    def of_row(self) -> tuple[ChecklistLine, ...]:
        """Every item of this row."""
        return tuple(cell.line for cell in self.row.cells if cell.line is not None) if self.row is not None else ()

    # Moving ------------------------------------------------------------------------------------------------------------

    def walk(self, by: int) -> None:
        """Up or down to the next cell of this column that is asked; beyond the last, to the next row."""
        self.down = True
        way = [number for number, _ in self.rows() if (number - self.at) * by > 0][::by]
        same = next((number for number in way if self.lines[number].part is self.part and self._stops(number, self.column)), None)
        if same is not None:
            self.at = same
        elif way:
            self._onto(way[0])

    def across(self, by: int) -> None:
        """Left or right to the next cell in which something is asked, or to the name."""
        self.down = False
        columns = range(len(self.row.cells) if self.row else 0)
        way = [column for column in columns if (column - self.column) * by > 0 and self._stops(self.at, column)][::by]
        if way:
            self.column = way[0]

    def to_end(self, by: int) -> None:
        """To the last cell of this column that is asked, or the first; from there to the last row of the sheet, or the first."""
        self.down = True
        way = [number for number, _ in self.rows() if (number - self.at) * by >= 0][::by]
        same = [number for number in way if self.lines[number].part is self.part and self._stops(number, self.column)]
        if same and same[-1] != self.at:
            self.at = same[-1]
        elif way:
            self._onto(way[-1])

    def jump(self, by: int) -> None:
        """So many lines up or down, at most to the first or the last row."""
        self.at = min((number for number, _ in self.rows()), key=lambda number: abs(number - self.at - by), default=0)
        self.settle()

    def to(self, at: int, column: int) -> bool:
        """To a place on the sheet; whether there is a row."""
        if not (0 <= at < len(self.lines)) or self.lines[at].row is None:
            return False
        self.at, self.column = at, column
        if not self._stops(at, column):
            self.column = 0
        return True

    def to_item(self, key: ItemKey) -> bool:
        """Into the cell of an item; whether there is one."""
        return any(self.to(at, column) for at, column, line in self.asked() if line.item.key == key)

    def to_subject(self, subject: str) -> bool:
        """To the first row about a thing, or else into the first cell about it, unless there; whether there is one."""
        if subject in self.subjects:
            return True
        found = next((number for number, row in self.rows() if row.subject == subject), None)
        if found is None:
            return any(self.to(at, column) for at, column, line in self.asked() if line.item.subject == subject)
        self.at = found
        self.settle()
        return True

    def to_first_open(self) -> bool:
        """Into the first open cell, or onto the row before it that leads to one; whether there is one. Else to the first row."""
        self.down = True
        if (found := next(((at, row) for at, row in self.rows() if row_is_open(row)), None)) is not None:
            at, row = found
            return self.to(at, next((column for column, cell in enumerate(row.cells) if is_open(cell)), 0))
        self.at, self.column = 0, 0
        self.settle()
        return False

    def step_on(self) -> None:
        """To the next open cell the way it last moved: down the column or along the row; at its end to the first one further on."""
        here = (self.at, self.column)
        open_cells = [(at, column) for at, column, line in self.asked() if line.state == "open"]
        below = [place for place in open_cells if place[0] > self.at and place[1] == self.column and self.lines[place[0]].part is self.part]
        beside = [place for place in open_cells if place[0] == self.at and place[1] > self.column]
        further = [place for place in open_cells if place > here]
        for way in (below if self.down else beside, further, open_cells):
            if way:
                self.to(*way[0])
                return

    def _onto(self, at: int) -> None:
        """Onto a row; from the names of one part into the first cell that is asked in another."""
        part, self.at = self.part, at
        if self.part is not part and self.column == 0:
            self.column = next((column for column, cell in enumerate(self.row.cells) if cell.line is not None), 0) if self.row else 0
        self.settle()

    def _stops(self, at: int, column: int) -> bool:
        row = self.lines[at].row
        return row is not None and column < len(row.cells) and (column == 0 or row.cells[column].line is not None)

    def _near(self, row: Row) -> int:
        stops = [column for column, cell in enumerate(row.cells) if column == 0 or cell.line is not None]
        return min(stops, key=lambda column: (abs(column - self.column), column == 0, column))


def is_open(cell: Cell) -> bool:
    """Whether a cell waits for the crew."""
    return cell.line is not None and cell.line.state == "open"


def row_is_open(row: Row) -> bool:
    """Whether something of a row waits for the crew, or it leads to where something does."""
    return row.jump is not None or any(is_open(cell) for cell in row.cells)
