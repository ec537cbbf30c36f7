"""Lines of a sheet in its colours: heads, rows, the cell under the cursor."""

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip
from textual.widget import Widget

from engine.sheets.sheet import Cell, Row, SheetPart, level_of
from tui.base.theme import SIGNS
from tui.sheet.sheet_columns import GAP, Fitted, in_cells


class SheetInk:
    """Inks lines as wide as the view they stand in, in the colours of its parts."""

    def __init__(self, view: Widget) -> None:
        self.view = view

    def blank(self, words: str = "") -> Strip:
        """A line without cells."""
        return Strip([Segment(set_cell_size(words, self.view.size.width), self._of("open"))], self.view.size.width)

    def head(self, part: SheetPart, fits: Fitted, *told: str) -> Strip:
        """The heads of a part, and at the right end what is told of the sheet, in the first of these words that fit."""
        width = self.view.size.width
        heads = (in_cells(part.columns[at].head, size, part.columns[at].right) for at, size in zip(fits.shown, fits.widths, strict=True))
        text = f"  {(' ' * GAP).join(heads)}"
        ways = [f"more columns {words}".rstrip() for words in (*told, "")] if fits.more else []
        room = width - cell_len(text.rstrip()) - 2
        if says := next((words for words in (*ways, *told) if words and len(words) <= room), ""):
            text = f"{set_cell_size(text, width - len(says) - 1)}{says}"
        return Strip([Segment(set_cell_size(text, width), self._of("head"))], width)

    def row(self, part: SheetPart, row: Row, fits: Fitted, here: int | None, typed: str | None) -> Strip:
        """A row; `here` is the column under the cursor where it is on this row, `typed` what is typed there."""
        level, ground = level_of(row), self._of("open" if here is None else "row")
        back = Style(bgcolor=ground.bgcolor)
        drawn = [Segment(f"{SIGNS[level]} ", self._of(level) + back) if level in ("stop", "fix") else Segment("  ", ground)]
        for at, size in zip(fits.shown, fits.widths, strict=True):
            cell, right = row.cells[at], part.columns[at].right
            if at != here:
                drawn.append(Segment(in_cells(cell.words, size, right), self._style(cell) + back))
            elif typed is not None:
                drawn.append(Segment(f"{typed}_".ljust(size), self._under_cursor(cell)))
            else:
                drawn.append(Segment(in_cells(cell.words, size, right), self._under_cursor(cell)))
            drawn.append(Segment(" " * GAP, ground))
        return Strip(drawn).adjust_cell_length(self.view.size.width, ground)

    def _under_cursor(self, cell: Cell) -> Style:
        return self._of("cell") if self.view.has_focus else self._style(cell) + Style(underline=True)

    def _style(self, cell: Cell) -> Style:
        line = cell.line
        if line is None:
            return self._of("figure")
        if line.passes is False:
            return self._of("fix")
        return self._of("done" if line.tick is not None else "open")

    def _of(self, part: str) -> Style:
        return self.view.get_component_rich_style(f"sheet--{part}")
