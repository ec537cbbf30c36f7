"""A driven post that is moved, by real keys: what was done is open and shows what it was, is done anew, and its old sleeve is told."""

from pathlib import Path

import pytest
from textual.pilot import Pilot

from engine.job.file.store import load
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import SleeveLeftEntry, SupersededEntry
from engine.walk import walk
from tests.tui.driving import keys, on_disk, reach, shown, typed
from tui.app import LinewalkApp
from tui.boxes.change.preview import ChangeDialog
from tui.cli import main
from tui.screens.walk_screen import WalkScreen

SIZE = (80, 24)
DEPTH = item_key("posts.P6.driven_depth")


async def read(pilot: Pilot[int], key: ItemKey, inches: str) -> None:
    """A reading in its cell, in place of one that stands there."""
    await reach(pilot, key)
    await typed(pilot, inches)
    await keys(pilot, "enter")


def state(path: Path, key: ItemKey) -> str:
    return walk(on_disk(path)).checklists["posts"].by_key[key].state


async def test_a_driven_post_that_moves_is_driven_anew_and_its_old_sleeve_is_told(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await read(pilot, DEPTH, "30")
        assert (state(path, DEPTH), str(on_disk(path).checks[DEPTH].of)[:6]) == ("done", "P6 at ")

        screen = app.screen
        assert isinstance(screen, WalkScreen)
        screen.chosen = "P6"
        await keys(pilot, "m")
        await typed(pilot, "2")
        words = " ".join(shown(app).replace("┃", " ").split())
        assert "P6's old sleeve comes out: fill its hole." in words
        assert "1 item was done and counts no more:" in words
        await keys(pilot, "enter", "enter", "enter")
        assert (state(path, DEPTH), on_disk(path).checks[DEPTH].reading_in) == ("open", 30.0)

        await reach(pilot, DEPTH)
        assert '(30")' in shown(app)
        await read(pilot, DEPTH, "28")
        job = on_disk(path)
        assert (state(path, DEPTH), job.checks[DEPTH].reading_in) == ("done", 28.0)
        assert [(entry.item, entry.reading_in, entry.opened) for entry in job.log if isinstance(entry, SupersededEntry)] == [
            (DEPTH, 30.0, False)
        ]
        (old,) = walk(job).posts.old_sleeves
        assert (old.post, state(path, old.key)) == ("P6", "open")

        await keys(pilot, "l", "c", "enter")
        await typed(pilot, "it broke")
        await keys(pilot, "enter")
        assert isinstance(app.screen, ChangeDialog)
        await keys(pilot, "enter")
        job = on_disk(path)
        (left,) = [entry for entry in job.log if isinstance(entry, SleeveLeftEntry)]
        assert (left.post, left.why) == ("P6", "it broke")
        assert [sleeve.stays for sleeve in walk(job).posts.old_sleeves] == [True]

        await keys(pilot, "g", "s")
        assert "P6's old sleeve comes out: fill its hole." in shown(app)
        await keys(pilot, "escape", "escape")

        await keys(pilot, "u", "u", "u")
        assert (state(path, DEPTH), on_disk(path).checks[DEPTH].reading_in) == ("done", 30.0)


async def test_a_sleeve_whose_depth_was_not_read_is_told_listed_and_cut_off_when_its_post_is_left_out(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, item_key("posts.P5.driven_depth"))
        await keys(pilot, "x")
        await typed(pilot, "tape forgotten")
        await keys(pilot, "enter")
        said = "Not needed: P5: sleeve driven, depth, tape forgotten. u takes that back."
        assert [notice.message for notice in app._notifications] == [said]
        for what in ("solid", "plumb", "eyes"):
            await reach(pilot, item_key(f"posts.P5.{what}"))
            await keys(pilot, "space")
        assert not [*app._notifications]
        assert [on_disk(path).checks[item_key(f"posts.P5.{what}")].state for what in ("driven_depth", "solid", "plumb", "eyes")] == [
            "not needed", "done", "done", "done",
        ]  # fmt: skip
        assert used(on_disk(path)) == 1

        screen = app.screen
        assert isinstance(screen, WalkScreen)
        screen.chosen = "P5"
        await keys(pilot, "l", "d", "enter")
        await typed(pilot, "in the way")
        await keys(pilot, "enter")
        words = " ".join(shown(app).replace("┃", " ").split())
        assert "P5's old sleeve comes out: fill its hole." in words
        assert "3 items were done and count no more:" in words
        assert "not needed" not in words
        await keys(pilot, "enter")
        (old,) = walk(on_disk(path)).posts.old_sleeves
        assert (old.post, old.stays, state(path, old.key)) == ("P5", False, "open")

        screen.chosen = ""
        await keys(pilot, "l", "c", "enter")
        await typed(pilot, "it broke")
        await keys(pilot, "enter", "enter")
        job = on_disk(path)
        assert [(entry.post, entry.why) for entry in job.log if isinstance(entry, SleeveLeftEntry)] == [("P5", "it broke")]
        assert used(job) == 1

    capsys.readouterr()
    assert main(["record", str(path)]) == 0
    printed = capsys.readouterr().out
    listed = next(line for line in printed.partition("Sleeves left in the ground")[2].splitlines() if line.split()[:1] == ["P5"])
    assert "post left out" in listed
    assert " on back" in listed


def used(job: Job) -> float:
    return next(row.used for row in walk(job).takeoff.rows if row.stock == job.fence.sleeve)
