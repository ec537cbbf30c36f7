"""Tables of figures under each other, drawn a line at a time; a row can be chosen, cells are plain text."""

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from functools import partial
from itertools import islice
from textwrap import wrap
from typing import ClassVar, Literal, NamedTuple

from rich.cells import cell_len
from rich.segment import Segment
from textual.binding import Binding, BindingType
from textual.events import Click
from textual.geometry import Region, Size, Spacing
from textual.reactive import var
from textual.scroll_view import ScrollView
from textual.strip import Strip

from engine.calc.frozen import dataclass
from tui.widgets.chosen import Chosen
from tui.widgets.figure_lines import LEAST_ROOM, Bands, height, laid_out, row_lines

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


class _Line(NamedTuple):
    """One line: the component class it is drawn in, its words, its table; of a row that, and which of its lines it is, for its words."""

    part: str
    words: str
    table: int
    row: FigureRow | None = None
    nth: int = 0


class FiguresPane(ScrollView, can_focus=True):
    """Several tables under each other. Moving the cursor chooses its row's thing; `chosen` puts it there and marks all rows about it."""

    Chosen = Chosen
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "row(-1)", show=False),
        Binding("down", "row(1)", show=False),
        Binding("pageup", "page(-1)", show=False),
        Binding("pagedown", "page(1)", show=False),
        Binding("home", "end_row(0)", show=False),
        Binding("end", "end_row(-1)", show=False),
        Binding("enter", "row(0)", show=False),
    ]
    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "figures--title",
        "figures--head",
        "figures--row",
        "figures--note",
        "figures--here",
        "figures--same",
    }
    DEFAULT_CSS = """
    FiguresPane { height: 1fr; background: $background; scrollbar-size-horizontal: 1; }
    FiguresPane > .figures--title { text-style: bold; }
    FiguresPane > .figures--head { background: $panel; color: $foreground; text-style: bold; }
    FiguresPane > .figures--note { color: $text-muted; }
    FiguresPane > .figures--here {
        background: $block-cursor-background; color: $block-cursor-foreground; text-style: $block-cursor-text-style;
    }
    FiguresPane > .figures--same { background: $block-cursor-blurred-background; color: $block-cursor-blurred-foreground; }
    """

    chosen: var[str | None] = var(None)

    def __init__(self, figures: Sequence[Figures] = (), *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self.figures = tuple(figures)
        self._lines: list[_Line] = []
        self._rows: list[int] = []
        """The lines with which rows begin."""
        self._whole = [_widths(table) for table in self.figures]
        self._layouts: list[Bands] = []
        self._room = 0
        self._cursor = 0

    @property
    def cursor(self) -> FigureRow | None:
        """The row under the cursor."""
        return self._lines[self._rows[self._cursor]].row if self._rows else None

    @property
    def table(self) -> int:
        """The number of the table that the cursor is in."""
        return self._lines[self._rows[self._cursor]].table if self._rows else 0

    def show(self, figures: Sequence[Figures]) -> None:
        """Show these tables. The cursor stays on its thing while they are of the same kinds; others are read from the top."""
        old, self.figures = self.figures, tuple(figures)
        if [table.title for table in old] != [table.title for table in self.figures]:
            self._lines, self._rows, self._cursor = [], [], 0
            self.scroll_to(0, 0, animate=False, force=True, immediate=True)
        if old != self.figures:
            self._whole, self._layouts = [_widths(table) for table in self.figures], []
            self._lay_out()

    def add(self, figures: Sequence[Figures]) -> None:
        """These tables too, below those that are shown, which stay as they are painted; so does the cursor."""
        shown = len(self._lines)
        self.figures = (*self.figures, *figures)
        self._whole += [_widths(table) for table in figures]
        size = self._line_up()
        self.set_reactive(FiguresPane.virtual_size, size)
        self._scroll_update(size)
        if shown < self.scroll_offset.y + self.size.height:
            self.refresh()

    def find(self, words: str) -> bool:
        """The cursor to the next row that holds these words, round to the first; whether there is one."""
        wanted = words.casefold()
        places = [at for at, line in enumerate(self._rows) if wanted in self._said(line)]
        found = next((at for at in places if at > self._cursor), next(iter(places), None))
        if found is not None:
            self.focus()
            self._move(found)
        return found is not None

    def _said(self, line: int) -> str:
        """All that a row says, with its table's title."""
        one = self._lines[line]
        return " ".join((self.figures[one.table].title, *(one.row.cells if one.row else ()))).casefold()

    def go_to_table(self, number: int) -> None:
        """The cursor to the first row of a table, its title at the top."""
        number %= max(len(self.figures), 1)
        self._cursor = next((at for at, line in enumerate(self._rows) if self._lines[line].table == number), self._cursor)
        first = next((at for at, line in enumerate(self._lines) if line.table == number), 0)
        self.scroll_to(y=first, animate=False, force=True, immediate=True)
        self.refresh()

    def _size_updated(self, size: Size, virtual_size: Size, container_size: Size, layout: bool = True) -> bool:
        """Notes are as wide as the pane: laid out with it, so that all is there when it is painted first."""
        if size != self._size:
            self._lay_out()
        return super()._size_updated(size, virtual_size, container_size, layout)

    def on_focus(self) -> None:
        """The cursor is seen where the keys are."""
        self.refresh()

    def on_blur(self) -> None:
        self.refresh()

    def watch_chosen(self) -> None:
        """The cursor on the chosen thing: in the table it is in, else in the first that has it."""
        if self.chosen and (self.cursor is None or self.cursor.id != self.chosen):
            own = [at for at, line in enumerate(self._rows) if self._about(line)]
            if own:
                self._cursor = next((at for at in own if self._lines[self._rows[at]].table == self.table), own[0])
                self._bring_into_view()
        self.refresh()

    def _about(self, line: int) -> bool:
        row = self._lines[line].row
        return row is not None and bool(row.id) and row.id == self.chosen

    def _lay_out(self) -> None:
        self.virtual_size = self._line_up()
        self.refresh()

    def _line_up(self) -> Size:
        """The lines of all tables, the cursor where it was; how large they are together."""
        was, table, room = self.cursor, self.table, max(self.size.width - self.styles.scrollbar_size_vertical, LEAST_ROOM)
        if room != self._room:
            self._lines, self._layouts, self._room = [], [], room
        if not self._layouts:
            self._lines = []
        for number in range(len(self._layouts), len(self.figures)):
            one = self.figures[number]
            self._layouts.append(laid_out(partial(_rows, one), self._whole[number], room))
            self._lines += _lines(one, number, self._layouts[number], room - 2)
        self._rows = [at for at, line in enumerate(self._lines) if line.row is not None and not line.nth]
        wanted = self.chosen or (was.id if was else "")
        about = [at for at, line in enumerate(self._rows) if (row := self._lines[line].row) and row.id and row.id == wanted]
        same = (at for at in about if self._lines[self._rows[at]].table == table)
        self._cursor = next(same, about[0] if about else min(self._cursor, max(len(self._rows) - 1, 0)))
        return Size(0, len(self._lines))

    def render_line(self, y: int) -> Strip:
        """A line of the tables, from where the pane is scrolled to."""
        at, width, blank = self.scroll_offset.y + y, self.size.width, self.rich_style
        if at >= len(self._lines):
            return Strip.blank(width, blank)
        line = self._lines[at]
        part = line.part
        if line.row is not None and self._row_at(at) == self._cursor:
            part = "figures--here" if self.has_focus else "figures--same"
        elif self._about(at):
            part = "figures--same"
        return Strip([Segment(self._words(line), self.get_component_rich_style(part))]).crop_extend(0, width, blank)

    def _row_at(self, line: int) -> int:
        """The number of the row that a line belongs to, or of the last above it."""
        return bisect_right(self._rows, line) - 1

    def _words(self, line: _Line) -> str:
        """A row's cells are put side by side when it is drawn: a record has a thousand of them."""
        if line.row is None:
            return line.words
        columns = self.figures[line.table].columns
        heads = [column.name for column in columns]
        lines = row_lines(_filled(line.row, columns), heads, [column.align for column in columns], self._layouts[line.table])
        return next(islice(lines, line.nth, None))

    def action_row(self, by: int) -> None:
        self._move(self._cursor + by)

    def action_page(self, by: int) -> None:
        if self._rows:
            there = self._row_at(self._rows[self._cursor] + by * max(self.size.height - 2, 1))
            self._move(max(there, self._cursor + 1) if by > 0 else min(there, self._cursor - 1))

    def action_end_row(self, at: int) -> None:
        self._move(at % len(self._rows) if self._rows else 0)

    def on_click(self, event: Click) -> None:
        line = event.y + self.scroll_offset.y
        if line < len(self._lines) and self._lines[line].row is not None:
            self._move(self._row_at(line))

    def _move(self, at: int) -> None:
        """The cursor to a row, in view; what it is about is chosen."""
        if not self._rows:
            return
        self._cursor = min(max(at, 0), len(self._rows) - 1)
        self._bring_into_view()
        thing = self._lines[self._rows[self._cursor]].row
        if thing and thing.id and thing.id != self.chosen:
            self.chosen = thing.id
            self.post_message(Chosen(thing.id))
        self.refresh()

    def _bring_into_view(self) -> None:
        """Scroll so that the cursor shows, with title and head above it where it is on the first row of its table."""
        line = self._rows[self._cursor]
        above, high = 0, 1
        while line > above and self._lines[line - above - 1].part in ("figures--title", "figures--head"):
            above += 1
        while line + high < len(self._lines) and self._lines[line + high].nth:
            high += 1
        region = Region(0, line, 1, high)
        self.scroll_to_region(region, spacing=Spacing(above, 0, 0, 0), animate=False, force=True, immediate=True)


def _lines(table: Figures, number: int, layout: Bands, width: int) -> Iterator[_Line]:
    """Title, heads, rows and note of a table, and an empty line."""
    aligned = [column.align for column in table.columns]
    yield from (_Line("figures--title", f" {words} ", number) for words in wrap(table.title, width))
    heads = [column.name for column in table.columns]
    if any(heads):
        yield from (_Line("figures--head", words, number) for words in row_lines(heads, heads, aligned, layout))
    for row in table.rows:
        high = height(_filled(row, table.columns), heads, layout) if layout.room else 1
        yield from (_Line("figures--row", "", number, row, nth) for nth in range(high))
    yield from (_Line("figures--note", f" {words} ", number) for words in wrap(table.note, width))
    yield _Line("figures--note", "", number)


def _rows(table: Figures) -> list[list[str]]:
    """The heads and the rows."""
    return [[column.name for column in table.columns], *(_filled(row, table.columns) for row in table.rows)]


def _filled(row: FigureRow, columns: Sequence[FigureColumn]) -> list[str]:
    """A cell a column, each on one line."""
    return [*(cell.replace("\n", " ") for cell in row.cells), *[""] * (len(columns) - len(row.cells))][: len(columns)]


def _widths(table: Figures) -> list[int]:
    """How wide each column is."""
    return [max(map(cell_len, column)) for column in zip(*_rows(table), strict=True)]
