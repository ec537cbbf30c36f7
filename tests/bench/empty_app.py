"""The least our screens could be: every import of ours, and one empty table. What start and memory are measured against."""

from textual.app import App, ComposeResult
from textual.widgets import DataTable

import engine.walk
import tui.app
import tui.screens.walk_screen

IMPORTED = (engine.walk, tui.app, tui.screens.walk_screen)
TITLE = "Nothing here yet"


class EmptyApp(App[int]):
    """One table with one column and no rows."""

    def compose(self) -> ComposeResult:
        """The table."""
        yield DataTable()

    def on_mount(self) -> None:
        """Its one column."""
        self.query_one(DataTable).add_column(TITLE)


if __name__ == "__main__":
    EmptyApp().run()
