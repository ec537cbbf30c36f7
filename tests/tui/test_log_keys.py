"""What happened, by real keys: tree, post added, post left out, note; every one in the file and taken back by one key."""

from pathlib import Path

import pytest

from engine.job.file.store import load
from engine.job.model.job import Job
from engine.job.model.log_entries import AddEntry, DeliveryEntry, DropEntry, NoteEntry, SwapEntry
from tests.demo import demo
from tests.tui.driving import keys, shown, typed
from tui.app import LinewalkApp
from tui.screens.walk_screen import WalkScreen


@pytest.fixture
def job() -> Job:
    return demo()


async def test_tree_add_leave_out_and_note_are_in_the_file(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "2", "a")

        screen.chosen = "P14"
        await keys(pilot, "l", "a")
        await typed(pilot, "236")
        await keys(pilot, "tab", "tab")
        await typed(pilot, "long bay")
        await keys(pilot, "enter")
        added = load(path).job.log[-1]
        assert isinstance(added, AddEntry)
        assert (added.post, added.line, added.station_ft, added.why) == ("P17", "back", 236.0, "long bay")
        assert "P17" in screen.working.walk.layout.supports

        screen.chosen = "P15"
        await keys(pilot, "l", "d", "enter")
        await typed(pilot, "not needed now")
        await keys(pilot, "enter")
        dropped = load(path).job.log[-1]
        assert isinstance(dropped, DropEntry)
        assert (dropped.post, dropped.why) == ("P15", "not needed now")
        assert "P15" not in screen.working.walk.layout.supports

        screen.chosen = "P11"
        await keys(pilot, "l", "t", "enter")
        assert "dogwood" in shown(app)
        await keys(pilot, "end", "enter")
        swapped = load(path).job.log[-1]
        assert isinstance(swapped, SwapEntry)
        assert (swapped.post, swapped.tree) == ("P11", "dogwood")
        assert screen.working.walk.layout.supports["P11"].support == "tree"

        screen.chosen = "side"
        await keys(pilot, "l", "n")
        await typed(pilot, "opens inwards")
        await keys(pilot, "enter")
        note = load(path).job.log[-1]
        assert isinstance(note, NoteEntry)
        assert (note.about, note.text) == ("side", "opens inwards")

        await keys(pilot, "u", "u")
        assert screen.working.walk.layout.supports["P11"].support == "driven"
        await keys(pilot, "u", "u")
        assert "P17" not in screen.working.walk.layout.supports
        assert "P15" in screen.working.walk.layout.supports


async def test_escape_leaves_every_question_without_a_change(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "2", "a")
        before = path.read_bytes()
        for letter in "omtadin":
            await keys(pilot, "l", letter, "escape")
            while not isinstance(app.screen, WalkScreen):
                await keys(pilot, "escape")
    assert path.read_bytes() == before


async def test_a_delivery_is_in_the_file_counts_on_the_truck_and_is_taken_back(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "2", "a", "l", "i")
        await keys(pilot, "enter")
        assert "Pick what came" in shown(app)
        await typed(pilot, "stak")
        assert "apron stakes 12 in" in shown(app)
        await keys(pilot, "enter")
        assert "Say how much came" in shown(app)
        await keys(pilot, "tab")
        await typed(pilot, "1.5")
        await keys(pilot, "enter")
        assert "Packs are whole" in shown(app)
        await keys(pilot, "backspace", "backspace", "tab")
        await typed(pilot, "20")
        await keys(pilot, "tab")
        await typed(pilot, "the yard van")
        await keys(pilot, "tab")
        await typed(pilot, "two boxes wet")
        await keys(pilot, "enter")
        came = load(path).job.log[-1]
        assert isinstance(came, DeliveryEntry)
        assert (came.stock, came.packs, came.loose, came.brought_by, came.text) == ("stake", 1, 20, "the yard van", "two boxes wet")
        row = next(row for row in screen.working.walk.takeoff.rows if row.stock == "stake")
        assert (row.delivered, row.loose) == (1, 20)

        await keys(pilot, "u")
        struck = load(path).job.log[-1]
        row = next(row for row in screen.working.walk.takeoff.rows if row.stock == "stake")
        assert (struck.kind == "delivery" and struck.struck_at is not None) or struck.kind == "planned"
        assert (row.delivered, row.loose) == (0, 0)


async def test_a_post_that_was_left_out_is_not_moved(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "2", "a")
        screen.chosen = "P15"
        await keys(pilot, "l", "d", "enter")
        await typed(pilot, "not needed now")
        await keys(pilot, "enter")

        screen.chosen = "P15"
        await keys(pilot, "m")

        assert "Which post moves" in shown(app)
