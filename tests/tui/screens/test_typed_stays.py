"""What is typed stands until it is kept, by real keys: a question left unanswered, a job sealed or a row shut meanwhile."""

from pathlib import Path

from engine.job.edit import edits
from engine.job.file.store import load, save
from engine.job.model.item_key import item_key
from engine.paper.as_built import build_record
from engine.walk import walk
from tests.demo import AT
from tests.tui.driving import keys, on_disk, reach, shown, typed, until, until_saved
from tests.tui.entry.test_slips_at_entry import downs
from tui.app import LinewalkApp
from tui.boxes.dialog import ThrowAwayDialog
from tui.boxes.who_box import WhoDialog
from tui.entry.entry_form import FormScreen
from tui.screens.walk_screen import WalkScreen

SIZE = (80, 24)
DEPTH = item_key("posts.P2.driven_depth")


async def test_a_reading_stands_in_its_cell_while_and_after_it_is_asked_who_read_it(path: Path) -> None:
    app = LinewalkApp(loaded=load(path))
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, DEPTH)
        await typed(pilot, "28")
        await keys(pilot, "enter")
        assert isinstance(app.screen, WhoDialog)
        await keys(pilot, "ctrl+q")
        assert isinstance(app.screen, ThrowAwayDialog)
        await keys(pilot, "n", "escape")
        assert "28_" in shown(app)
        await keys(pilot, "enter", "down", "enter")
        assert "28_" not in shown(app)
    assert on_disk(path).checks[DEPTH].reading_in == 28.0


async def test_a_reading_stands_where_it_cannot_be_kept(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, DEPTH)
        await typed(pilot, "28")
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        job = load(path).job
        save(load(path), edits.sign(job, build_record(job, walk(job), AT, "Teal", "the client", {}), AT, "Teal", "the client"), AT)
        await until(pilot, lambda: screen.hand.job.record is not None)
        await until_saved(pilot)
        await keys(pilot, "enter")
        assert "28_" in shown(app)
    assert DEPTH not in on_disk(path).checks


async def test_a_question_which_reading_stands_left_by_esc_leaves_what_was_typed(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, DEPTH)
        await typed(pilot, "28")
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        save(load(path), edits.tick(load(path).job, DEPTH, AT, "Teal", reading_in=30.0))
        await until(pilot, lambda: DEPTH in screen.hand.job.checks)
        await until_saved(pilot)
        await keys(pilot, "enter")
        assert "It was read twice" in shown(app)
        await pilot.pause(0.8)
        await keys(pilot, "escape")
        assert "28_" in shown(app)
        await keys(pilot, "enter")
        await pilot.pause(0.8)
        await keys(pilot, "m")
        assert "28_" not in shown(app)
    assert on_disk(path).checks[DEPTH].reading_in == 28.0


async def test_sign_off_asks_before_it_seals_without_what_is_typed(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, DEPTH)
        await typed(pilot, "28")
        await keys(pilot, "tab", "s")
        assert isinstance(app.screen, ThrowAwayDialog)
        await keys(pilot, "n")
        assert "28_" in shown(app)
        await keys(pilot, "tab", "s", "y")
        assert "Sign off" in shown(app)


async def test_rows_shut_meanwhile_show_again_where_one_is_typed_into(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await reach(pilot, DEPTH)
        await keys(pilot, "o")
        await typed(pilot, "28")
        row = screen.sheet.cursor.row
        assert row is not None
        lines = [cell.line for cell in row.cells if cell.line is not None]

        def all_done(job, at, by):  # type: ignore[no-untyped-def]  # an edit
            for line in lines:
                reading = {} if line.item.reading is None else {"reading_in": 30.0}
                job = edits.tick(job, line.item.key, at, by, of=line.item.of, **reading)
            return job

        assert screen.hand.edit("row", all_done) is None
        await until_saved(pilot)
        assert "28_" in shown(app)
        assert screen.sheet.cursor.subject == "P2"


async def test_a_form_whose_record_is_taken_back_keeps_what_is_typed_as_a_new_one(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", *downs("points"), "a")
        before = set(on_disk(path).points)
        await typed(pilot, "Q1")
        await keys(pilot, "tab", "5", "tab", "6", "enter", "escape")
        assert set(on_disk(path).points) - before == {"Q1"}
        await keys(pilot, "right", "end", "enter", "ctrl+u", "7", "ctrl+z")
        assert set(on_disk(path).points) == before
        assert isinstance(app.screen, FormScreen)
        assert "New known point" in shown(app)
        await keys(pilot, "enter")
        assert on_disk(path).points["Q1"].east_ft == 7.0
