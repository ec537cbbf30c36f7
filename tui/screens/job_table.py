"""The jobs of a folder as a table with heads, drawn a line at a time: two thousand rows cost what is in view."""

from collections.abc import Sequence
from functools import cache
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual.events import Click, MouseScrollDown, MouseScrollUp
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from engine.folder.job_order import HEADS, Head, cells
from engine.folder.listing import Listed
from engine.job.errors import shown
from tui.base.commands import Command, bindings
from tui.base.theme import SIGNS
from tui.sheet.sheet_columns import GAP, SIGN, in_cells

WIDTHS: dict[Head, int] = {
    "number": 7, "title": 20, "client": 16, "planned": 10, "stage": 19, "open": 5, "worst": 6, "short": 6, "sealed": 10,
}  # fmt: skip
MOST_MORE = 24
"""Cells that a client's name has more than its least, at most."""
GIVES_WAY: tuple[Head, ...] = ("client", "stage", "number", "short")
"""Heads for which there may be no room, the first to go first; their words stand below the table."""
RIGHT: frozenset[Head] = frozenset(("open", "short"))
WHEEL = 3
COMMANDS = (
    Command("step(-1)", "up", "up", "The job above.", "Jobs", in_footer=False),
    Command("step(1)", "down", "down", "The job below.", "Jobs", in_footer=False),
    Command("leaf(-1)", "pageup", "page up", "A screenful up.", "Jobs", in_footer=False),
    Command("leaf(1)", "pagedown", "page down", "A screenful down.", "Jobs", in_footer=False),
    Command("step(-100000)", "home", "first", "The first job.", "Jobs", in_footer=False),
    Command("step(100000)", "end", "last", "The last job.", "Jobs", in_footer=False),
    Command("into", "enter", "open", "Open the job or the folder under the cursor.", "Jobs", in_footer=False),
)


class JobTable(Widget, can_focus=True):
    """Folders first, then jobs; the cursor stays on its job while others come and go."""

    BINDINGS: ClassVar = bindings(COMMANDS)
    COMPONENT_CLASSES: ClassVar = {f"jobs--{part}" for part in ("head", "row", "stop", "fix", "folder")}
    DEFAULT_CSS = """
    JobTable { background: $background; height: 1fr; }
    JobTable > .jobs--head { color: $muted; background: $panel; }
    JobTable > .jobs--row { background: $block-cursor-background; color: $block-cursor-foreground; text-style: bold; }
    JobTable > .jobs--stop { color: $stop; text-style: bold; }
    JobTable > .jobs--fix { color: $fix; text-style: bold; }
    JobTable > .jobs--folder { text-style: bold; }
    """

    class Reached(Message):
        """The cursor is on another row, or its row changed."""

    class Entered(Message):
        """Enter, or a click on the chosen row."""

    class HeadClicked(Message):
        """A head was clicked."""

        def __init__(self, head: Head) -> None:
            super().__init__()
            self.head: Head = head

    def __init__(self, empty: str) -> None:
        super().__init__()
        self.empty = empty
        self.rows: Sequence[str | Listed] = ()
        self.at = self._top = 0
        self.sorted_by, self.backwards = "", False
        self._ground = Style()

    @property
    def current(self) -> str | Listed | None:
        """The folder's name or the job under the cursor."""
        return self.rows[self.at] if self.rows else None

    def show(self, folders: Sequence[str], jobs: Sequence[Listed], sorted_by: Head, backwards: bool) -> None:
        """These folders and jobs; the cursor stays where it was by name."""
        name = _name(self.current) if self.rows else ""
        self.rows, self.sorted_by, self.backwards = (*folders, *jobs), sorted_by, backwards
        self.at = next((at for at, row in enumerate(self.rows) if _name(row) == name), min(self.at, max(len(self.rows) - 1, 0)))
        self._moved()

    def go(self, name: str) -> None:
        """The cursor to a row that is there."""
        self.at = next((at for at, row in enumerate(self.rows) if _name(row) == name), self.at)
        self._moved()

    def action_step(self, by: int) -> None:
        self.at = max(min(self.at + by, len(self.rows) - 1), 0)
        self._moved()

    def action_leaf(self, by: int) -> None:
        self.action_step(by * self._room)

    def action_into(self) -> None:
        self.post_message(self.Entered())

    def on_resize(self) -> None:
        self._moved()

    @property
    def _room(self) -> int:
        return max(self.size.height - 1, 1)

    def _moved(self) -> None:
        self._top = max(min(self._top, self.at), self.at - self._room + 1, 0)
        self.refresh()
        self.post_message(self.Reached())

    def on_click(self, event: Click) -> None:
        """A head sorts; a row is chosen, the chosen one opened."""
        at = self._top + event.y - 1
        if event.y == 0:
            head = next((head for head, start, size in self._columns() if start <= event.x < start + size + GAP), None)
            if head is not None:
                self.post_message(self.HeadClicked(head))
        elif at == self.at:
            self.action_into()
        elif at < len(self.rows):
            self.at = at
            self._moved()

    def on_mouse_scroll_down(self, event: MouseScrollDown) -> None:
        event.stop()
        self.action_step(WHEEL)

    def on_mouse_scroll_up(self, event: MouseScrollUp) -> None:
        event.stop()
        self.action_step(-WHEEL)

    def columns(self) -> tuple[Head, ...]:
        """The heads for which there is room."""
        return tuple(head for head, _, _ in self._columns())

    def _columns(self) -> tuple[tuple[Head, int, int], ...]:
        return columns_of(self.size.width)

    def render_lines(self, crop: Region) -> list[Strip]:
        """What lies under all rows is asked for once a drawing: the library works it out anew each time."""
        self._ground = self.rich_style
        return super().render_lines(crop)

    def render_line(self, y: int) -> Strip:
        """Heads, then the rows in view."""
        width, at = self.size.width, self._top + y - 1
        if not self.rows:
            return Strip([Segment(f" {self.empty if y == 1 else ''}", self._ground)]).adjust_cell_length(width, self._ground)
        if y == 0:
            heads = (in_cells(self._head(head), size, head in RIGHT) for head, _, size in self._columns())
            style = self.get_component_rich_style("jobs--head")
            return Strip([Segment(f"  {(' ' * GAP).join(heads)}", style)]).adjust_cell_length(width, style)
        if at >= len(self.rows):
            return Strip([Segment(" " * width, self._ground)])
        return self._row(self.rows[at], at == self.at, width)

    def _head(self, head: Head) -> str:
        return f"{head}{'-' if self.backwards else '+'}" if head == self.sorted_by else head

    def _row(self, row: str | Listed, here: bool, width: int) -> Strip:
        ground = self.get_component_rich_style("jobs--row") if here else self._ground
        if isinstance(row, str):
            style = ground if here else self.get_component_rich_style("jobs--folder")
            return Strip([Segment(f"  {shown(row, 200)}/", style)]).adjust_cell_length(width, ground)
        level = "stop" if row.kept is None or row.kept.seal == "touched" else row.kept.worst
        told = level in ("stop", "fix")
        sign = ground if here or not told else self.get_component_rich_style(f"jobs--{level}")
        drawn = [
            Segment(f"{SIGNS[level]} " if told else "  ", sign),
            Segment(in_cells(line_of(row, self._columns()), width - SIGN, False), ground),
        ]
        return Strip(drawn).adjust_cell_length(width, ground)


@cache
def columns_of(width: int) -> tuple[tuple[Head, int, int], ...]:
    """Each head that fits, the cell at which it starts and its width; title and client share what is left."""
    heads, room = list(HEADS), width - SIGN
    for head in GIVES_WAY:
        if sum(WIDTHS[head] + GAP for head in heads) <= room + GAP:
            break
        heads.remove(head)
    spare = room + GAP - sum(WIDTHS[head] + GAP for head in heads)
    more = {"client": min(max(spare, 0) // 3, MOST_MORE) if "client" in heads else 0}
    more["title"] = spare - more["client"]
    at, found = SIGN, []
    for head in heads:
        size = max(WIDTHS[head] + more.get(head, 0), 4)
        found.append((head, at, size))
        at += size + GAP
    return tuple(found)


def line_of(row: Listed, columns: Sequence[tuple[Head, int, int]]) -> str:
    """A job on its line, or why it can't be read."""
    if row.kept is None:
        return f"{shown(row.name, 200)}  {row.error}"
    said = cells(row)
    return (" " * GAP).join(in_cells(shown(said[head], 200), size, head in RIGHT) for head, _, size in columns)


def _name(row: str | Listed | None) -> str:
    return row.name if isinstance(row, Listed) else f"{row}/"
