"""A list of rows to walk through with the arrow keys: the checklist, the findings, whatever a dialog offers."""

from collections.abc import Iterable

from rich.segment import Segment
from rich.style import Style
from textual.binding import Binding
from textual.content import Content
from textual.strip import Strip
from textual.widgets import OptionList
from textual.widgets.option_list import Option

Row = tuple[str, Content]


class Rows(OptionList):
    """Rows with ids; rows that stay are changed in place, so the cursor and the scroll stay too."""

    BINDINGS = [Binding("home", "first", show=False), Binding("end", "last", show=False)]

    def __init__(self, rows: Iterable[Row] = (), *, id: str | None = None, empty: str = "") -> None:
        super().__init__(id=id, markup=False, compact=True)
        self._empty = empty
        self._rows: dict[str, Content] = {}
        self._first = tuple(rows)

    def on_mount(self) -> None:
        """Show the rows given at the start."""
        self.show(self._first)

    def show(self, rows: Iterable[Row]) -> None:
        """Show these rows; rebuild only when they are not the same ids in the same order."""
        fresh = dict(rows)
        if list(fresh) == list(self._rows) and (fresh or self.option_count):
            for name, content in fresh.items():
                if content != self._rows[name]:
                    self.replace_option_prompt(name, content)
        else:
            self._rebuild(fresh)
        self._rows = fresh

    def _rebuild(self, fresh: dict[str, Content]) -> None:
        kept = self.current
        self.clear_options()
        if not fresh:
            self.add_option(Option(Content(self._empty), disabled=True))
            return
        self.add_options(Option(content, id=name) for name, content in fresh.items())
        self.highlighted = self.get_option_index(kept) if kept in fresh else 0

    def render_line(self, y: int) -> Strip:
        """A line of the row under the cursor is all of one colour, so that what is muted or green is read there too."""
        strip = super().render_line(y)
        if not self.has_focus or not any(style and style.meta.get("option") == self.highlighted for _, style, _ in strip):
            return strip
        one = Style(color=self.get_component_rich_style("option-list--option-highlighted").color)
        return Strip([Segment(text, (style or Style()) + one, control) for text, style, control in strip], strip.cell_length)

    @property
    def current(self) -> str | None:
        """Id of the row under the cursor."""
        return None if self.highlighted is None else self.get_option_at_index(self.highlighted).id

    def go(self, name: str) -> None:
        """Put the cursor on a row that is there."""
        if name in self._rows and self.current != name:
            self.highlighted = self.get_option_index(name)
