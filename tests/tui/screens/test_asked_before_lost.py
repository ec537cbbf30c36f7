"""What is typed and not kept yet, by real keys: whatever would lose it asks first, and on no it stands as it was, the cursor in it."""

from pathlib import Path

import pytest
from textual.pilot import Pilot

from engine.job.file.store import load
from engine.job.model.item_key import item_key
from tests.tui.driving import keys, on_disk, reach, shown, typed, until_saved
from tui.app import LinewalkApp
from tui.boxes.dialog import ThrowAwayDialog
from tui.entry.entry import EntryScreen
from tui.entry.entry_form import FormScreen
from tui.screens.jobs import JobsScreen
from tui.screens.walk_screen import WalkScreen

SIZE = (80, 24)
DEPTH = item_key("posts.P2.driven_depth")


async def typing(pilot: Pilot[int], text: str = "28") -> WalkScreen:
    """The cell of a depth, with this typed into it."""
    await reach(pilot, DEPTH)
    await typed(pilot, text)
    screen = pilot.app.screen
    assert isinstance(screen, WalkScreen)
    return screen


def asks(app: LinewalkApp) -> bool:
    return isinstance(app.screen, ThrowAwayDialog)


LEAVING = (["n"], ["p"], ["alt+5"], ["5"], ["g", "enter"], ["q"], ["ctrl+q"], ["slash", "P", "9", "enter", "enter"])


@pytest.mark.parametrize("pressed", LEAVING, ids="-".join)
async def test_keys_of_another_page_ask_before_a_typed_reading_is_lost_and_on_no_bring_it_back(path: Path, pressed: list[str]) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        screen = await typing(pilot)
        await keys(pilot, "tab", *pressed)
        assert asks(app)
        assert "28" in shown(app)
        await keys(pilot, "n")
        assert app.screen is screen
        assert app._exit is False
        assert (screen.stage, screen.sheet.cursor.subject) == ("posts", "P2")
        if pressed != ["ctrl+q"]:
            assert screen.page == "sheet"
            assert screen.sheet.has_focus
        await keys(pilot, "escape") if screen.page != "sheet" else None
        await keys(pilot, "enter")
    assert on_disk(path).checks[DEPTH].reading_in == 28.0


@pytest.mark.parametrize("pressed", [["n"], ["alt+5"], ["g", "enter"]], ids="-".join)
async def test_on_yes_the_keys_lead_on_and_nothing_is_kept(path: Path, pressed: list[str]) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        screen = await typing(pilot)
        await keys(pilot, "tab", *pressed, "y")
        assert app.screen is screen
        assert screen.sheet.typing is None
        assert screen.stage == ("bracing" if pressed == ["n"] else "cables" if pressed == ["alt+5"] else "layout") or pressed[0] == "g"
    assert DEPTH not in on_disk(path).checks


@pytest.mark.parametrize("page", [1, 2, 3, 4])
async def test_every_page_says_where_a_typed_reading_is_kept(path: Path, page: int) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        screen = await typing(pilot)
        assert "Enter keeps it." in shown(app)
        await keys(pilot, *["tab"] * page)
        words = shown(app)
        assert "keeps it" not in words
        assert "Enter keep" not in words
        assert "Not kept yet. Esc goes back to it." in words
        await keys(pilot, "escape")
        assert screen.page == "sheet"
        assert "Enter keeps it." in shown(app)
        await keys(pilot, "enter")
    assert on_disk(path).checks[DEPTH].reading_in == 28.0


async def test_what_is_chosen_on_another_page_leaves_a_typed_reading_in_its_cell(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        screen = await typing(pilot)
        await keys(pilot, "tab", "tab", "tab", "down", "down", "down", "escape")
        assert screen.sheet.typing is not None
        assert screen.sheet.cursor.subject == "P2"
        screen.chosen = "P9"
        await pilot.pause()
        await keys(pilot, "enter")
        assert on_disk(path).checks[DEPTH].reading_in == 28.0
        assert screen.chosen in screen.sheet.cursor.subjects


@pytest.mark.parametrize("pressed", ["ctrl+q", "ctrl+c"])
async def test_leaving_straight_from_a_cell_asks_and_then_leaves(path: Path, pressed: str) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        screen = await typing(pilot)
        await keys(pilot, pressed)
        assert asks(app)
        await keys(pilot, "enter")
        assert screen.sheet.typing is not None
        assert screen.sheet.has_focus
        await keys(pilot, pressed, "y")
        assert app._exit is True
    assert DEPTH not in on_disk(path).checks


async def test_quitting_while_it_asks_is_no_answer_but_ctrl_c_leaves(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await typing(pilot)
        await keys(pilot, "ctrl+q", "ctrl+q")
        assert asks(app)
        assert app._exit is False
        await keys(pilot, "enter", "tab", "n", "ctrl+q")
        assert asks(app)
        assert app._exit is False
        await keys(pilot, "ctrl+c")
        assert app._exit is True


async def test_ctrl_q_asks_in_a_half_filled_form_and_goes_back_into_its_box(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", "enter")
        await typed(pilot, "26-77")
        box = app.focused
        await keys(pilot, "ctrl+q")
        assert asks(app)
        await keys(pilot, "escape")
        assert isinstance(app.screen, FormScreen)
        assert app.focused is box
        await keys(pilot, "f1", "ctrl+q")
        assert asks(app)
        await keys(pilot, "n", "escape", "escape", "ctrl+q")
        assert "This closes Linewalk." in shown(app)
        await keys(pilot, "n")
        assert asks(app)
        assert "This closes Linewalk." not in shown(app)
        await keys(pilot, "n", "enter")
        assert on_disk(path).job.number == "26-77"
        assert isinstance(app.screen, EntryScreen)
        await keys(pilot, "ctrl+q")
        assert app._exit is True


async def test_ctrl_q_asks_in_a_half_typed_note(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "2", "l", "n")
        box = app.screen
        await typed(pilot, "long note")
        await keys(pilot, "ctrl+q")
        assert asks(app)
        await keys(pilot, "n")
        assert app.screen is box
        await keys(pilot, "enter")
    assert [entry.text for entry in on_disk(path).log if entry.kind == "note"][-1].endswith("long note")


async def test_the_survey_row_stands_whatever_leaves_it(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        before = list(on_disk(path).shots)
        await keys(pilot, "alt+1", "c")
        await typed(pilot, "tie Z9 A 22")
        await keys(pilot, "ctrl+q")
        assert asks(app)
        await keys(pilot, "n")
        assert "tie Z9 A 22" in shown(app)
        await keys(pilot, "alt+2", "alt+1")
        assert "tie Z9 A 22" in shown(app)
        await keys(pilot, "alt+2", "q")
        assert asks(app)
        await keys(pilot, "n")
        assert "tie Z9 A 22" in shown(app)
        await typed(pilot, " B 30")
        assert "tie Z9 A 22 B 30" in shown(app)
        await keys(pilot, "alt+2", "alt+1", "c")
        assert "tie Z9 A 22 B 30" in shown(app)
        await keys(pilot, "escape", "y")
        assert "tie Z9" not in shown(app)
    assert list(on_disk(path).shots) == before


async def test_enter_on_a_shot_asks_before_it_takes_the_row_from_another(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "alt+1", "c")
        await typed(pilot, "tie Z9 A 22")
        await keys(pilot, "end")
        await pilot.click("#sheet", offset=(4, 5))
        await keys(pilot, "end", "end", "left", "left", "left", "left", "enter")
        assert asks(app)
        await keys(pilot, "n")
        assert "tie Z9 A 22" in shown(app)


async def test_a_row_left_for_the_lists_of_entry_is_asked_about_when_they_are_left(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", "b")
        await typed(pilot, "tie Z9 A 22")
        await pilot.click("#kinds", offset=(4, 3))
        await keys(pilot)
        for pressed in ("q", "escape", "e"):
            await keys(pilot, pressed)
            assert asks(app)
            await keys(pilot, "n")
            assert isinstance(app.screen, EntryScreen)
            assert "tie Z9 A 22" in shown(app)
            await pilot.click("#kinds", offset=(4, 3))
            await keys(pilot)
        await keys(pilot, "b")
        assert "tie Z9 A 22" in shown(app)


async def test_back_to_the_list_of_jobs_asks_first(path: Path) -> None:
    app = LinewalkApp(folder=path.parent, by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await keys(pilot, "home", "enter")
        await typing(pilot)
        await keys(pilot, "tab", "q")
        assert asks(app)
        await keys(pilot, "n", "enter")
        assert on_disk(path).checks[DEPTH].reading_in == 28.0
        await keys(pilot, "left", "space", "c")
        await typed(pilot, "27")
        await keys(pilot, "tab", "q", "y")
        assert isinstance(app.screen, JobsScreen)
    assert on_disk(path).checks[DEPTH].reading_in == 28.0


async def test_a_click_on_a_stage_asks(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=(120, 36)) as pilot:
        screen = await typing(pilot)
        lines = shown(app).splitlines()
        y = next(number for number, line in enumerate(lines) if "5 cable" in line)
        await pilot.click(offset=(lines[y].index("5 cable") + 3, y))
        await keys(pilot)
        assert asks(app)
        await keys(pilot, "enter", "enter")
        assert screen.stage == "posts"
    assert on_disk(path).checks[DEPTH].reading_in == 28.0
