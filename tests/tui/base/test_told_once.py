"""Words on screen: drawn anew where they or their look differ, and else left alone."""

import ast
from collections.abc import Iterator

import pytest
from textual.app import App, ComposeResult
from textual.content import Content
from textual.style import Style
from textual.widgets import Static

from tests.source import files, tree
from tui.base.told_once import tell_once

HELD = Content.styled("30 in", "$done")
LINKED = Content("30 in").stylize(Style.from_meta({"@click": "app.bell"}))


class OneWord(App[None]):
    """The words, in a theme that has colours for what is done and what is to stop."""

    def compose(self) -> ComposeResult:
        yield Static(HELD, id="words", markup=False)

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return {"done": "#00aa00", "stop": "#aa0000"}


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (Content.styled("30 in", "$done"), False),
        (Content.styled("31 in", "$done"), True),
        (Content.styled("30 in", "$stop"), True),
        (Content("30 in"), True),
        (LINKED, True),
    ],
)
async def test_other_words_or_another_look_are_told_and_the_same_are_not(words: Content, told: bool) -> None:
    app = OneWord()
    async with app.run_test() as pilot:
        there = app.query_one("#words", Static)
        await pilot.pause()
        assert tell_once(there, words) is told
        assert there.content is (words if told else HELD)


async def test_a_change_of_colour_alone_is_painted() -> None:
    app = OneWord()
    async with app.run_test() as pilot:
        there = app.query_one("#words", Static)
        await pilot.pause()
        before = [segment.style.color for segment in there.render_line(0) if segment.style]
        tell_once(there, Content.styled("30 in", "$stop"))
        await pilot.pause()
        after = [segment.style.color for segment in there.render_line(0) if segment.style]
    assert before[0] != after[0]


def _compared(node: ast.AST) -> Iterator[ast.Compare]:
    """Comparisons by `==` and `!=` with what a widget shows."""
    for one in ast.walk(node):
        if isinstance(one, ast.Compare) and any(isinstance(op, ast.Eq | ast.NotEq) for op in one.ops):
            sides = (one.left, *one.comparators)
            if any(isinstance(side, ast.Attribute) and side.attr == "content" for side in sides):
                yield one


def test_what_a_widget_shows_is_compared_by_its_plain_words_nowhere() -> None:
    plain_strings = {"top.content != says", "trouble.content != working.standing"}
    found = {ast.unparse(one) for file in files("tui") for one in _compared(tree(file))}
    assert found == plain_strings
