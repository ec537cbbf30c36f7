"""What another laptop did with a post and was left out for one's own, as was answered, once one's own is taken back."""

from dataclasses import replace
from pathlib import Path

import pytest

from engine.job.edit import edits
from engine.job.edit.striking import strike
from engine.job.file.store import load, save
from engine.job.model.job import Job
from engine.job.model.log_entries import live
from tests.demo import AT
from tests.tui.driving import keys, on_disk, until_shown
from tests.tui.in_hand import Clock
from tui.app import LinewalkApp
from tui.boxes import choice
from tui.screens.walk_screen import WalkScreen
from tui.working import saver as saving
from tui.working import working_copy as in_hand
from tui.working.working_copy import looked, open_working


@pytest.fixture(autouse=True)
def looking_often(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saving, "LOOK_S", 0.05)
    monkeypatch.setattr(choice, "RESTED_S", 0.0)


@pytest.mark.parametrize("saves_more", [False, True])
async def test_a_move_that_was_left_out_for_ones_own_stands_once_that_is_taken_back(path: Path, saves_more: bool) -> None:
    """Ash and Mo moved one post apart, and Mo kept his."""

    def moved(job: Job) -> Job:
        job = edits.move_post(job, "P6", AT, "Ash", along_ft=1.0)
        return edits.note(job, "by Ash", AT, "Ash") if saves_more else job

    def moves() -> list[tuple[str, float]]:
        return [(entry.by, entry.along_ft) for entry in live(on_disk(path).log) if entry.kind == "move"]

    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        there = load(path)
        save(there, moved(there.job), AT)
        screen.edit("P6 moved", lambda job, at, by: edits.move_post(job, "P6", at, by, along_ft=2.0))
        await until_shown(pilot, "Both laptops changed this")
        await keys(pilot, "t")
        assert moves() == [("Mo", 2.0)]
        await keys(pilot, "u")
        assert moves() == [("Ash", 1.0)]
        assert (
            str(list(app._notifications)[-1].message) == "Taken back: P6 moved. Stands now, by Ash: P6 moved 1' 0\" forward along the line"
        )
        await keys(pilot, "r")
        assert moves() == [("Mo", 2.0)]
        await keys(pilot, "u")
        assert moves() == [("Ash", 1.0)]


def test_one_that_was_struck_by_hand_stays_struck_when_ones_own_is_taken_back(path: Path) -> None:
    working = in_hand.edited(
        open_working(load(path), "Mo", Clock()), "moved", lambda job, at, by: edits.move_post(job, "P6", at, by, along_ft=2.0)
    )
    theirs = edits.move_post(working.job, "P6", AT, "Ash", along_ft=1.0)
    struck = strike(theirs, theirs.log[-1].id, AT, "Ash")
    came = looked(replace(working, loaded=replace(working.loaded, job=working.job), base=working.job), replace(working.loaded, job=struck))
    back = in_hand.undone(came).working.job
    assert [entry.by for entry in live(back.log) if entry.kind == "move"] == []
