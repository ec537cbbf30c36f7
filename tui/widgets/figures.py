"""Tables of figures, stacked in one scrolling pane; a row can be chosen, cells are plain text and change in place."""

from collections.abc import Sequence
from typing import Literal

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.geometry import Region, Spacing
from textual.reactive import var
from textual.widgets import DataTable, Static

from engine.calc.frozen import dataclass
from tui.widgets.chosen import Chosen

Align = Literal["left", "right", "center"]


@dataclass(frozen=True)
class FigureColumn:
    """A column head and how its cells stand."""

    name: str
    align: Align = "right"


@dataclass(frozen=True)
class FigureRow:
    """The cells of a row; `id` names the thing it is about, empty when it can't be chosen (a total)."""

    id: str
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Figures:
    """One table: what it is, its columns and rows, and a line under it."""

    title: str
    columns: tuple[FigureColumn, ...]
    rows: tuple[FigureRow, ...]
    note: str = ""


class FiguresTable(DataTable[Text]):
    """The rows of one `Figures`; the cursor is the chosen row."""

    DEFAULT_CSS = """
    FiguresTable { height: auto; max-height: 10000; background: $background; scrollbar-size-horizontal: 1; }
    FiguresTable:focus { background-tint: transparent 0%; }
    """

    def __init__(self, figures: Figures) -> None:
        super().__init__(cursor_type="row", zebra_stripes=False)
        self.figures = Figures("", (), ())
        self._keys: list[str] = []
        self.show(figures)

    def show(self, figures: Figures) -> None:
        """Show new figures: cells change in place while columns and row ids stay, else the table is built anew."""
        old, self.figures = self.figures, figures
        if old.columns == figures.columns and [row.id for row in old.rows] == [row.id for row in figures.rows]:
            self._update(old)
        else:
            self._rebuild(at=self.cursor_row)

    def row_of(self, thing: str) -> int | None:
        """The first row about `thing`."""
        return next((at for at, row in enumerate(self.figures.rows) if row.id == thing), None)

    def action_cursor_down(self) -> None:
        """Down a row; from the last one to the table below."""
        if self.cursor_row >= self.row_count - 1:
            self._go_to(1)
        else:
            super().action_cursor_down()

    def action_cursor_up(self) -> None:
        """Up a row; from the first one to the table above."""
        if self.cursor_row <= 0:
            self._go_to(-1)
        else:
            super().action_cursor_up()

    def _go_to(self, by: int) -> None:
        tables = self._stack()
        at = tables.index(self) + by
        if 0 <= at < len(tables):
            tables[at].move_cursor(row=0 if by > 0 else tables[at].row_count - 1)
            self.screen.set_focus(tables[at])
            tables[at].action_select_cursor()

    def _stack(self) -> "list[FiguresTable]":
        """The tables of the pane this one stands in, those with rows."""
        pane = next(node for node in self.ancestors if isinstance(node, FiguresPane))
        return [table for table in pane.query(FiguresTable) if table.row_count or table is self]

    def _rebuild(self, at: int) -> None:
        self.clear(columns=True)
        for number, column in enumerate(self.figures.columns):
            self.add_column(Text(column.name, justify=column.align), key=str(number))
        for number, row in enumerate(self.figures.rows):
            self.add_row(*self._cells(row), key=str(number))
        self.move_cursor(row=min(at, max(self.row_count - 1, 0)))

    def _update(self, old: Figures) -> None:
        widest_before, widest = self._widest(old), self._widest(self.figures)
        for number, (was, row) in enumerate(zip(old.rows, self.figures.rows, strict=True)):
            if was == row:
                continue
            for column, (before, cell) in enumerate(zip(self._cells(was), self._cells(row), strict=True)):
                if before.plain != cell.plain:
                    sets_width = len(before) == widest_before[column] or len(cell) == widest[column]
                    self.update_cell(str(number), str(column), cell, update_width=sets_width)

    def _widest(self, figures: Figures) -> list[int]:
        """Characters of the longest cell of each column."""
        return [max((len(row.cells[at]) for row in figures.rows if at < len(row.cells)), default=0) for at in range(len(figures.columns))]

    def _cells(self, row: FigureRow) -> list[Text]:
        """The row's cells as plain text, as many as there are columns."""
        padded = [*row.cells, *[""] * len(self.figures.columns)]
        return [Text(cell, justify=column.align) for cell, column in zip(padded, self.figures.columns, strict=False)]


class FiguresPane(VerticalScroll, can_focus=False):
    """Several tables under each other. Moving the cursor in one chooses that row's thing; `chosen` moves every cursor to it."""

    Chosen = Chosen
    DEFAULT_CSS = """
    FiguresPane {
        & .figures-title { text-style: bold; padding: 0 1; }
        & .figures-note { color: $text-muted; padding: 0 1; margin: 0 0 1 0; }
    }
    """

    chosen: var[str | None] = var(None)

    def __init__(self, figures: Sequence[Figures] = (), *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self.figures = tuple(figures)

    def compose(self) -> ComposeResult:
        """A title, a table and a note for each."""
        for figures in self.figures:
            yield Static(Content(figures.title), classes="figures-title")
            yield FiguresTable(figures)
            yield Static(Content(figures.note), classes="figures-note")

    def show(self, figures: Sequence[Figures]) -> None:
        """Show these tables; the present ones are kept while their titles stay the same."""
        self.figures = tuple(figures)
        tables = list(self.query(FiguresTable))
        if [table.figures.title for table in tables] != [new.title for new in self.figures]:
            focused = any(table.has_focus for table in tables)
            self.refresh(recompose=True)
            self.call_after_refresh(self._settle, focused)
            return
        for table, note, new in zip(tables, self.query(".figures-note").results(Static), self.figures, strict=True):
            table.show(new)
            if note.content != Content(new.note):
                note.update(Content(new.note))
        self._follow()

    def find(self, words: str) -> bool:
        """The cursor to the next row that holds these words, round to the first; whether there is one."""
        tables = [table for table in self.query(FiguresTable) if table.row_count]
        wanted = words.casefold()
        here = next(((at, table.cursor_row) for at, table in enumerate(tables) if table.has_focus), (0, -1))
        places = [
            (at, number)
            for at, table in enumerate(tables)
            for number, row in enumerate(table.figures.rows)
            if wanted in " ".join((table.figures.title, *row.cells)).casefold()
        ]
        found = next((place for place in places if place > here), next(iter(places), None))
        if found is not None:
            tables[found[0]].focus()
            tables[found[0]].move_cursor(row=found[1])
        return found is not None

    def _settle(self, focused: bool) -> None:
        """After a rebuild: cursors to the chosen thing, and the focus back in the pane when it was there."""
        self._follow()
        if focused and self.screen.focused is None:
            self.query(FiguresTable).focus()

    def on_mount(self) -> None:
        """Put the cursors on what is chosen already."""
        self._follow()

    def watch_chosen(self) -> None:
        """Move every cursor to the chosen thing."""
        self._follow()

    def _follow(self) -> None:
        for table in self.query(FiguresTable):
            row = table.row_of(self.chosen) if self.chosen else None
            if row is not None and row != table.cursor_row:
                table.move_cursor(row=row)

    def on_data_table_row_highlighted(self, event: DataTable.RowHighlighted) -> None:
        """Follow the cursor: keep its row in view and, when the crew moved it, choose its thing."""
        event.stop()
        self._choose(event.data_table, event.cursor_row)

    def on_data_table_row_selected(self, event: DataTable.RowSelected) -> None:
        """Choose by Enter or click."""
        event.stop()
        self._choose(event.data_table, event.cursor_row)

    def _choose(self, table: DataTable[Text], at: int) -> None:
        if not isinstance(table, FiguresTable) or at != table.cursor_row or self.screen.focused is not table:
            return
        self._bring_into_view(table)
        thing = table.figures.rows[at].id if at < len(table.figures.rows) else ""
        if thing and thing != self.chosen:
            self.chosen = thing
            self.post_message(Chosen(thing))

    def _bring_into_view(self, table: FiguresTable) -> None:
        """Scroll so that the cursor row shows, with the head and title too when it is the first."""
        row = Region(0, table.virtual_region.y + table.header_height + table.cursor_row, 1, 1)
        above = table.header_height + 1 if table.cursor_row == 0 else 0
        self.scroll_to_region(row, spacing=Spacing(above, 0, 0, 0), animate=False, force=True)
