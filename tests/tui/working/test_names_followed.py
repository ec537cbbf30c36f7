"""What is typed for one thing while another laptop's work gives it another name, by real keys: the file says it of that thing."""

from datetime import timedelta
from pathlib import Path

import pytest
from textual.pilot import Pilot

from engine.job.edit import edits, entering
from engine.job.file.store import load
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import live
from engine.walk import walk
from tests.demo import AT
from tests.job.merge.test_records_apart import tree
from tests.tui.driving import keys, on_disk, reach, shown, typed, until_saved
from tests.tui.elsewhere import apart, saved_there
from tui.app import LinewalkApp
from tui.boxes.choice import Ask
from tui.screens.walk_screen import WalkScreen

SIZE = (100, 30)
MINE_FT, THEIRS_FT = 52.0, 131.0


def their_post(job: Job) -> Job:
    return edits.add_post(job, "back", THEIRS_FT, AT + timedelta(hours=1), "Teal")


async def with_my_post(pilot: Pilot[int]) -> WalkScreen:
    """A post that has the number of theirs."""
    screen = pilot.app.screen
    assert isinstance(screen, WalkScreen)
    screen.edit("add", lambda job, at, by: edits.add_post(job, "back", MINE_FT, at, by))
    await until_saved(pilot)
    screen.chosen = "P17"
    return screen


def stations(path: Path) -> dict[str, float]:
    """Where the two posts stand."""
    return {name: round(one.station_ft) for name, one in walk(on_disk(path)).layout.supports.items() if name in ("P17", "P18")}


async def test_a_note_goes_to_its_post_under_the_number_that_it_got_meanwhile(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    comes_in = apart(path, their_post)
    async with app.run_test(size=SIZE) as pilot:
        screen = await with_my_post(pilot)
        await keys(pilot, "l", "n")
        await typed(pilot, "stiff clay")
        await comes_in(pilot)
        assert "Note about P18" in shown(app)
        await keys(pilot, "enter")
        assert screen.chosen == "P18"
    assert stations(path) == {"P17": THEIRS_FT, "P18": MINE_FT}
    assert [(one.text, one.about) for one in on_disk(path).log if one.kind == "note"] == [("stiff clay", "P18")]


async def test_the_post_that_is_left_out_is_the_one_that_was_meant(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    comes_in = apart(path, their_post)
    async with app.run_test(size=SIZE) as pilot:
        await with_my_post(pilot)
        await keys(pilot, "l", "d", "enter")
        await typed(pilot, "rock")
        await comes_in(pilot)
        assert "Why is P18 left out" in shown(app)
        await keys(pilot, "enter", "enter")
    assert [(one.post, one.why) for one in on_disk(path).log if one.kind == "drop"] == [("P18", "rock")]
    assert stations(path) == {"P17": THEIRS_FT}


async def test_the_post_that_is_picked_from_a_list_is_the_one_that_stood_there(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    comes_in = apart(path, their_post)
    async with app.run_test(size=SIZE) as pilot:
        await with_my_post(pilot)
        await keys(pilot, "l", "d")
        await comes_in(pilot)
        await keys(pilot, "enter")
        await typed(pilot, "rock")
        await keys(pilot, "enter", "enter")
    assert stations(path) == {"P17": THEIRS_FT}


@pytest.mark.parametrize("before_it", ["", "3"])
async def test_a_reading_typed_after_the_number_changed_is_that_of_the_cell_the_cursor_was_in(path: Path, before_it: str) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    comes_in = apart(path, their_post)
    async with app.run_test(size=SIZE) as pilot:
        screen = await with_my_post(pilot)
        await reach(pilot, item_key("posts.P17.driven_depth"))
        await typed(pilot, before_it)
        await comes_in(pilot)
        assert (screen.chosen, screen.sheet.cursor.subject) == ("P18", "P18")
        await typed(pilot, "30"[len(before_it) :])
        await keys(pilot, "enter")
    assert {str(key): tick.reading_in for key, tick in on_disk(path).checks.items()} == {"posts.P18.driven_depth": 30.0}


async def test_why_a_reading_is_not_needed_goes_to_its_own_post(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    comes_in = apart(path, their_post)
    async with app.run_test(size=SIZE) as pilot:
        await with_my_post(pilot)
        await reach(pilot, item_key("posts.P17.driven_depth"))
        await keys(pilot, "x")
        assert isinstance(app.screen, Ask)
        await typed(pilot, "ledge")
        await comes_in(pilot)
        await keys(pilot, "enter")
    assert {str(key): tick.note for key, tick in on_disk(path).checks.items()} == {"posts.P18.driven_depth": "ledge"}


async def test_a_note_goes_to_its_tree_where_both_measured_one_of_that_name(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    comes_in = apart(path, lambda job: tree(job, "T4", 139.0))
    async with app.run_test(size=SIZE) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        screen.edit("tree", lambda job, _at, _by: tree(job, "T4", 141.0))
        await until_saved(pilot)
        screen.chosen = "T4"
        await keys(pilot, "l", "n")
        await typed(pilot, "leans")
        await comes_in(pilot)
        await keys(pilot, "enter")
    job = on_disk(path)
    assert job.trees["T5"].diameter_in == 14.1
    assert [one.about for one in live(job.log) if one.kind == "note"] == ["T5"]


@pytest.mark.parametrize("gone", [False, True])
async def test_a_note_about_a_gate_that_is_called_otherwise_or_was_taken_out(path: Path, gone: bool) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        screen.chosen = "side"
        await keys(pilot, "l", "n")
        await typed(pilot, "stiff")
        edit = entering.remove if gone else entering.rename
        await saved_there(pilot, path, lambda job: edit(job, "gates", "side", *(() if gone else ("east",))))
        await keys(pilot, "enter")
        if gone:
            assert "side was taken out on another laptop meanwhile." in " ".join(shown(app).split())
            assert not [one for one in on_disk(path).log if one.kind == "note"]
            await keys(pilot, "enter")
    assert [one.about for one in on_disk(path).log if one.kind == "note"] == ["side" if gone else "east"]


async def test_the_other_number_of_ones_own_post_is_told_first_and_as_no_finding(path: Path) -> None:
    comes_in = apart(path, their_post)
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE, notifications=True) as pilot:
        await with_my_post(pilot)
        app.clear_notifications()
        await comes_in(pilot)
        (told,) = (one.message for one in app._notifications if "Both sides" in one.message)
    assert told.startswith("Both sides added a post P17: yours is P18 now. ")
    assert "P4-P18" not in told
