"""Rows to walk through: what is written under the cursor is read in one colour, whatever colours it has elsewhere."""

import pytest
from textual.app import App, ComposeResult
from textual.content import Content
from textual.widgets import Input

from tui.widgets.rows import Rows

ROWS = (
    ("one", Content.assemble("cut ", Content.styled("113 ft", "#777777"))),
    ("two", Content.assemble("sag ", Content.styled("1 in", "#777777"))),
)


class OneList(App[None]):
    """The rows, and a box that may have the focus instead."""

    def compose(self) -> ComposeResult:
        yield Rows(ROWS, id="rows")
        yield Input(id="box")


def colours(app: App[None], line: int) -> set[str]:
    """Colours of the words on a line of the rows."""
    strip = app.query_one(Rows).render_line(line)
    return {str(segment.style.color) for segment in strip if segment.style and segment.text.strip()}


@pytest.mark.parametrize(("focus", "under"), [("#rows", 1), ("#box", 2)])
async def test_the_row_under_the_cursor_is_of_one_colour_while_the_list_has_the_focus(focus: str, under: int) -> None:
    app = OneList()
    async with app.run_test() as pilot:
        app.query_one(focus).focus()
        await pilot.pause()
        assert app.query_one(Rows).current == "one"
        assert len(colours(app, 0)) == under
        assert len(colours(app, 1)) == 2


async def test_a_row_of_the_same_words_in_another_colour_is_painted_so() -> None:
    app = OneList()
    async with app.run_test() as pilot:
        app.query_one("#box").focus()
        await pilot.pause()
        before = colours(app, 1)
        app.query_one(Rows).show((ROWS[0], ("two", Content.assemble("sag ", Content.styled("1 in", "#aa0000")))))
        await pilot.pause()
        assert len(colours(app, 1) - before) == 1
