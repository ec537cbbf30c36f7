"""A one-line input. A letter more or less leaves the room it has: the library lays out the whole screen anew for each."""

from textual.geometry import Size
from textual.reactive import Reactive
from textual.widgets import Input


class LineInput(Input):
    """The library's, but what is typed only scrolls it."""

    virtual_size: Reactive[Size] = Reactive(Size(0, 0))

    def watch_virtual_size(self, size: Size) -> None:
        """As far scrolled as what stands there allows."""
        if self.is_mounted:
            self._scroll_update(size)
