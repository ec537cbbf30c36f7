"""What leads on and back at 80x24: the last line's keys, the way back to the sheet, words over the screen that cover no work."""

from pathlib import Path

import pytest
from textual.content import Content
from textual.widgets import Static
from textual.widgets._toast import Toast

from engine.job.edit import edits
from engine.job.file.store import load
from tests.demo import AT
from tests.tui.driving import keys, shown, until
from tests.tui.elsewhere import saved_there
from tui.app import LinewalkApp
from tui.screens.walk_screen import WalkScreen

LAST = " Space tick  f fill  Tab page  n next  l log  e enter  h how to  ? keys  q quit"
LAST_ON_THE_PLAN = " Tab page  + Closer  - Wider  0 All  z To it  ] Next  k Signs  ? keys  q quit"


async def test_the_last_line_names_what_a_crew_needs_and_a_picture_leads_back(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot)
        assert shown(app).splitlines()[-1].rstrip() == LAST
        await keys(pilot, "tab")
        assert shown(app).splitlines()[-1].rstrip() == LAST_ON_THE_PLAN


async def test_escape_leads_back_to_the_cell_that_was_left(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "alt+2", "down", "down")
        left = (screen.sheet.cursor.at, screen.sheet.cursor.column, screen.chosen)
        for pages in (1, 2, 3, 4):
            await keys(pilot, *["tab"] * pages)
            assert screen.page != "sheet"
            await keys(pilot, "escape")
            assert (screen.page, screen.sheet.has_focus) == ("sheet", True)
            assert (screen.sheet.cursor.at, screen.sheet.cursor.column, screen.chosen) == left


async def test_the_page_that_is_open_is_the_one_marked(path: Path) -> None:
    """The words of the heading stay, only the mark goes on."""
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "tab", "tab")
        for page in ("card", "findings", "figures"):
            content = app.screen.query_one("#tabs", Static).content
            assert isinstance(content, Content)
            marked = [content.plain[span.start : span.end].split()[0] for span in content.spans if span.style == "bold reverse"]
            assert marked == [page]
            await keys(pilot, "tab")


async def test_what_a_key_did_is_told_alone_and_above_the_work(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await keys(pilot, "f", "u", "r", "u")
        await pilot.pause(0.1)
        told = [(toast.region.y, toast.region.height) for toast in app.screen.query(Toast)]
        assert told == [(0, 1)]
        assert [note.message for note in app._notifications] == ["Taken back: asked filled"]


async def test_what_comes_in_is_told_below_a_tall_box_s_words_and_not_over_its_title(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await keys(pilot, "question_mark")
        await saved_there(pilot, path, lambda job: edits.note(job, "a note", AT, "Teal"))
        await until(pilot, lambda: app.screen.query(Toast))
        await pilot.pause(0.1)
        told = [(toast.region.y, toast.region.height) for toast in app.screen.query(Toast)]
        assert told == [(23, 1)]
        assert " Keys " in shown(app).splitlines()[0]


@pytest.mark.parametrize("opened", [("l", "o", "tab", "tab", "5"), ("question_mark",)], ids=["a form", "a tall box"])
async def test_what_came_in_is_told_by_the_box_on_top_alone(path: Path, opened: tuple[str, ...]) -> None:
    """First on the sheet, then below another box: what opens over it tells it in its own place, and what lies under it tells it no more."""
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        for said, pressed in (("a first note", opened), ("a second note", ("escape",))):
            await saved_there(pilot, path, lambda job, said=said: edits.note(job, said, AT, "Teal"))
            await until(pilot, lambda said=said: said in shown(app))
            await keys(pilot, *pressed)
        await pilot.pause(0.1)
        assert [shown(app).count(said) for said in ("a first note", "a second note")] == [1, 1]


async def test_while_a_reading_is_typed_the_last_line_names_its_keys_and_alt_numbers_write_nothing(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "alt+2", "4", "0", "alt+6", "\N{SECTION SIGN}")
        assert (screen.stage, screen.sheet.typing and screen.sheet.typing.text) == ("layout", "40")
        assert shown(app).splitlines()[-1].strip() == "Enter keep  Esc leave it open"
        await keys(pilot, "enter", "\N{SECTION SIGN}")
        assert screen.sheet.typing is not None
        assert (screen.stage, screen.sheet.typing.reason) == ("layout", "")
        await keys(pilot, "escape", "escape")
        assert shown(app).splitlines()[-1].rstrip() == LAST


async def test_where_only_what_is_open_shows_and_nothing_is_the_sheet_says_so(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "end", "f", "o")
        assert "Nothing is open here. Press o to see every row again." in shown(app)
        await keys(pilot, "o")
        assert "Utility marks called for" in shown(app)
