"""The least a screen with our libraries could be: one empty table, and nothing of ours. What start and memory are measured against.

It is run as a file, by a Python that knows nothing of this checkout.
"""

import numpy
import pydantic
import shapely
from textual.app import App, ComposeResult
from textual.widgets import DataTable

IMPORTED = (numpy, pydantic, shapely)
TITLE = "Nothing here yet"


class EmptyTable(App[int]):
    """One table with one column and no rows."""

    def compose(self) -> ComposeResult:
        """The table."""
        yield DataTable()

    def on_mount(self) -> None:
        """Its one column."""
        self.query_one(DataTable).add_column(TITLE)


if __name__ == "__main__":
    EmptyTable().run()
