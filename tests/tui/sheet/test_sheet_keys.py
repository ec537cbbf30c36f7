"""The sheet by real keys at 80x24: ticks, readings in their cells, columns filled, rows ticked; the file read after."""

from pathlib import Path

import pytest

from engine.job.file.store import load
from engine.job.model.item_key import item_key
from engine.sheets.stage_sheets import sheet_of
from engine.walk import walk
from tests.demo import accepted
from tests.tui.driving import at, burst, keys, on_disk, reach, shown, typed
from tui.app import LinewalkApp
from tui.screens.walk_screen import WalkScreen
from tui.sheet.sheet_cursor import SheetCursor

SIZE = (80, 24)
DEPTH = item_key("posts.P4.driven_depth")


def ticked(path: Path) -> set[str]:
    return {str(key) for key in on_disk(path).checks}


async def test_space_ticks_and_steps_on_the_way_it_last_moved(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, item_key("posts.P3.solid"))
        await keys(pilot, "space")
        assert at(app) == item_key("posts.P3.plumb")  # reached by moving right
        await keys(pilot, "down", "space")
        assert at(app) == item_key("posts.P5.plumb")
    assert ticked(path) == {"posts.P3.solid", "posts.P4.plumb"}


async def test_a_reading_is_typed_into_its_cell_and_the_strip_says_what_was_understood(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, DEPTH)
        await typed(pilot, "22 1/2")
        assert '= 22 1/2"' in shown(app)
        assert on_disk(path).checks == {}
        await keys(pilot, "enter")
        assert on_disk(path).checks[DEPTH].reading_in == 22.5


async def test_a_reading_out_of_range_asks_why_in_the_strip_and_keeps_both(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, item_key("layout.P4-P5.taped"))
        await typed(pilot, "26' 1\"")
        await keys(pilot, "enter")
        assert on_disk(path).checks == {}
        await typed(pilot, "tree in the way")
        await keys(pilot, "enter")
    tick = on_disk(path).checks[item_key("layout.P4-P5.taped")]
    assert (tick.reading_ft, tick.note) == (pytest.approx(26 + 1 / 12, abs=1e-4), "tree in the way")


async def test_two_readings_in_one_burst_both_stand(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, DEPTH)
        await keys(pilot, "up", "down")
        await burst(pilot, "30\r29 1/2\r")
    assert [on_disk(path).checks[item_key(f"posts.{post}.driven_depth")].reading_in for post in ("P4", "P5")] == [30.0, 29.5]


async def test_a_column_is_filled_to_here_and_taken_back_as_one(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, item_key("posts.P4.solid"))
        await keys(pilot, "f")
        assert ticked(path) == {"posts.P2.solid", "posts.P3.solid", "posts.P4.solid"}
        await keys(pilot, "u")
        assert ticked(path) == set()


async def test_space_on_a_name_ticks_the_plain_checks_of_its_row(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, item_key("posts.P4.driven_depth"))
        await keys(pilot, "left", "space")
        assert ticked(path) == {"posts.P4.solid", "posts.P4.plumb", "posts.P4.eyes"}
        await keys(pilot, "u")
    assert ticked(path) == set()


async def test_only_rows_with_something_open_and_all_again(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, item_key("posts.P1.eyes"))
        await keys(pilot, "space")
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        assert "P1" in [row.name for _, row in screen.sheet.cursor.rows()]
        await keys(pilot, "o")
        assert "P1" not in [row.name for _, row in screen.sheet.cursor.rows()]
        await keys(pilot, "o")
        assert "P1" in [row.name for _, row in screen.sheet.cursor.rows()]


async def test_a_click_chooses_a_second_ticks_and_none_unticks(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, item_key("posts.P2.solid"))
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        lines = shown(app).splitlines()
        y = next(number for number, line in enumerate(lines) if line.startswith("  P5"))
        x = next(line for line in lines if "plumb" in line and "solid" in line).index("plumb")
        await pilot.click(offset=(x, y))
        await keys(pilot)
        assert (at(app), ticked(path)) == (item_key("posts.P5.plumb"), set())
        await pilot.click(offset=(x, y))
        await keys(pilot)
        assert ticked(path) == {"posts.P5.plumb"}
        for _ in range(2):
            await pilot.click(offset=(x, y))
            await keys(pilot)
        assert ticked(path) == {"posts.P5.plumb"}


async def test_the_screen_opens_on_the_first_open_cell_with_what_comes_next_below_it(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, item_key("posts.P12.solid"))
        await keys(pilot, "f", "q")
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot)
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        first = next(line.item.key for line in walk(on_disk(path)).checklists["posts"].lines if line.state == "open")
        assert (screen.stage, screen.sheet.cursor.subject) == ("posts", first.subject)
        y = next(number for number, line in enumerate(shown(app).splitlines()) if line[2:].startswith(f"{first.subject} "))
        assert y < 12


def test_every_item_of_every_stage_is_reached_by_arrows_alone() -> None:
    """From the first name down the names, and from each name to the right: no cell that is asked is out of reach."""
    walked = walk(accepted())
    for stage, checklist in walked.checklists.items():
        cursor = SheetCursor()
        cursor.show(sheet_of(stage, accepted(), walked), only_open=False)
        cursor.jump(-1000)
        seen = set()
        for _ in range(len(cursor.lines)):
            cursor.column = 0
            for _ in range(12):
                seen.add(cursor.cell.line.item.key if cursor.cell.line else None)
                cursor.across(1)
            cursor.column = 0
            cursor.walk(1)
        assert {line.item.key for line in checklist.lines} <= seen


async def test_a_number_typed_beside_the_cell_that_is_read_goes_nowhere(path: Path) -> None:
    """It neither leaves the stage nor ends as a reading of another one."""
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, item_key("posts.P4.solid"))
        await burst(pilot, "29")
        assert at(app) == item_key("posts.P4.solid")
        assert "Nothing is read in this cell." in " ".join(notice.message for notice in app._notifications)
        await keys(pilot, "left")
        await burst(pilot, "29\r")
    assert {str(key): tick.reading_in for key, tick in on_disk(path).checks.items()} == {"posts.P4.driven_depth": 29.0}


@pytest.mark.parametrize("typed", ["29\r", "29 1/2\r", "29.5\r"])
async def test_the_enter_of_a_number_that_is_kept_nowhere_ticks_nothing(path: Path, typed: str) -> None:
    """Readings of three posts typed in a row end beside the cells that are read, once the cursor has gone on to a check."""
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, item_key("posts.P4.solid"))
        await burst(pilot, typed)
        assert not app.hand.job.checks
        assert "Not ticked" in " ".join(notice.message for notice in app._notifications)
        await keys(pilot, "enter")
    assert [str(key) for key in on_disk(path).checks] == ["posts.P4.solid"]


async def test_a_number_astray_is_forgotten_with_the_next_key(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, item_key("posts.P4.solid"))
        await burst(pilot, "2")
        await keys(pilot, "right", "left", "enter")
    assert [str(key) for key in on_disk(path).checks] == ["posts.P4.solid"]
