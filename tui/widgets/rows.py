"""A list of rows to walk through with the arrow keys: the checklist, the findings, whatever a dialog offers."""

from collections.abc import Hashable, Iterable
from typing import Generic, TypeVar

from rich.segment import Segment
from rich.style import Style
from textual.binding import Binding
from textual.content import Content
from textual.strip import Strip
from textual.widgets import OptionList
from textual.widgets.option_list import Option

K = TypeVar("K", bound=Hashable)
Row = tuple[K, Content]


class Rows(OptionList, Generic[K]):
    """Rows with keys; rows that stay are changed in place, so the cursor and the scroll stay too. A key's text tells it from the others."""

    DEFAULT_CSS = """
    Rows { background: $background; }
    Rows.-textual-compact { padding: 0 1; }
    Rows:focus { background-tint: $foreground 0%; }
    """
    BINDINGS = [Binding("home", "first", show=False), Binding("end", "last", show=False)]

    def __init__(self, rows: Iterable[Row[K]] = (), *, id: str | None = None, empty: str = "") -> None:
        super().__init__(id=id, markup=False, compact=True)
        self._empty = empty
        self._rows: dict[K, Content] = {}
        self._keys: dict[str, K] = {}
        self._first = tuple(rows)

    def on_mount(self) -> None:
        """Show the rows given at the start, where no others were since."""
        if not self.option_count:
            self.show(self._first)

    def on_resize(self) -> None:
        """In less room the row under the cursor stays in sight."""
        self.call_after_refresh(self.scroll_to_highlight)

    def show(self, rows: Iterable[Row[K]]) -> None:
        """Show these rows; rebuild only when they are not the same keys in the same order."""
        fresh = dict(rows)
        if list(fresh) == list(self._rows) and (fresh or self.option_count):
            for key, content in fresh.items():
                if not content.is_same(self._rows[key]):
                    self.replace_option_prompt(str(key), content)
        else:
            self._rebuild(fresh)
        self._rows = fresh

    def _rebuild(self, fresh: dict[K, Content]) -> None:
        kept = self.current
        self.clear_options()
        self._keys = {str(key): key for key in fresh}
        if not fresh:
            self.add_option(Option(Content(self._empty), disabled=True))
            return
        self.add_options(Option(content, id=str(key)) for key, content in fresh.items())
        self.highlighted = self.get_option_index(str(kept)) if kept in fresh else 0

    def render_line(self, y: int) -> Strip:
        """A line of the row under the cursor is all of one colour, so that what is muted or green is read there too."""
        strip = super().render_line(y)
        if not self.has_focus or not any(style and style.meta.get("option") == self.highlighted for _, style, _ in strip):
            return strip
        one = Style(color=self.get_component_rich_style("option-list--option-highlighted").color)
        return Strip([Segment(text, (style or Style()) + one, control) for text, style, control in strip], strip.cell_length)

    @property
    def current(self) -> K | None:
        """Key of the row under the cursor; None for the words that stand where there is none."""
        return None if self.highlighted is None else self._keys.get(self.get_option_at_index(self.highlighted).id or "")

    def go(self, key: K) -> None:
        """Put the cursor on a row that is there."""
        if key in self._rows and self.current != key:
            self.highlighted = self.get_option_index(str(key))
