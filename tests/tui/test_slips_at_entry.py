"""Slips at entry, by real keys: a new name goes everywhere, what is used isn't taken out, and nothing typed is lost without asking."""

from pathlib import Path

import pytest

from engine.job.file.store import load
from tests.tui.driving import keys, on_disk, shown, typed
from tui.app import LinewalkApp
from tui.boxes.dialog import ThrowAwayDialog
from tui.entry.entry import EntryScreen
from tui.entry.entry_form import FormScreen
from tui.entry.forms import FORMS
from tui.screens.walk_screen import WalkScreen
from tui.widgets.rows import Rows

SIZE = (80, 24)


def downs(kind: str) -> list[str]:
    return ["down"] * [form.kind for form in FORMS].index(kind)


async def test_a_tree_is_renamed_where_it_is_used_and_the_cursor_stays_on_it(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", *downs("trees"), "right", "down", "enter")
        await keys(pilot, "shift+tab", "ctrl+u")
        await typed(pilot, "stump")
        await keys(pilot, "enter")
        assert isinstance(app.screen, EntryScreen)
        assert app.screen.query_one("#records", Rows).current == "stump"
        assert list(on_disk(path).trees) == ["oak", "stump", "dogwood"]

        await keys(pilot, "left", "home", *downs("shots-tie"), "right", "enter")
        await typed(pilot, "M9")
        await keys(pilot, "enter", "e")
        job = on_disk(path)
        assert job.shots["tie-M"].point == "M9"  # type: ignore[union-attr]
        assert job.lines["back"].points == ("F1", "M9", "C", "F2")
        assert isinstance(app.screen, EntryScreen)
        assert app.screen.query_one("#records", Rows).current == "tie-M"


async def test_what_is_used_is_not_taken_out_and_what_is_not_leaves_the_cursor_beside_it(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", *downs("points"), "right", "x")
        assert "A is still used by" in shown(app)
        assert isinstance(app.screen, EntryScreen)
        rows = app.screen.query_one("#records", Rows)
        assert rows.current == "A"
        await keys(pilot, "left", "home", *downs("trees"), "right", "end", "x")
        assert (rows.current, list(on_disk(path).trees)) == ("hickory", ["oak", "hickory"])
        await keys(pilot, "u")
        assert list(on_disk(path).trees) == ["oak", "hickory", "dogwood"]


async def test_esc_asks_before_a_form_throws_typed_fields_away(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", "enter")
        await keys(pilot, "escape")
        assert isinstance(app.screen, EntryScreen)
        await keys(pilot, "enter")
        await typed(pilot, "26-77")
        await keys(pilot, "escape")
        assert isinstance(app.screen, ThrowAwayDialog)
        await keys(pilot, "escape")
        assert isinstance(app.screen, FormScreen)
        await keys(pilot, "escape", "enter")
        await keys(pilot, "enter")
        assert on_disk(path).job.number == "26-77"
        await keys(pilot, "enter")
        await typed(pilot, "lost")
        await keys(pilot, "escape", "y")
        assert isinstance(app.screen, EntryScreen)
    assert on_disk(path).job.number == "26-77"


@pytest.mark.parametrize("opens", ["lo", "la", "ln", "li", "lw", "m", "3  ", "s", "w"])
async def test_esc_asks_before_a_box_throws_typed_words_away(path: Path, opens: str) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        app.screen.chosen = "P3"  # type: ignore[attr-defined]  # the walk screen's
        before = on_disk(path).log
        await typed(pilot, opens)
        box = app.screen
        assert not isinstance(box, WalkScreen)
        await keys(pilot, "escape")
        assert isinstance(app.screen, WalkScreen)
        await typed(pilot, opens.rstrip() or opens)
        if opens[-1] == " ":
            await typed(pilot, " ")
        box = app.screen
        await typed(pilot, "5")
        await keys(pilot, "escape")
        assert isinstance(app.screen, ThrowAwayDialog)
        await keys(pilot, "n")
        assert app.screen is box
        await keys(pilot, "escape", "y")
        assert isinstance(app.screen, WalkScreen)
    assert on_disk(path).log == before
