"""A record that is typed while another laptop saves the same field otherwise: both are shown before one is kept; the file is read."""

from collections.abc import Callable
from pathlib import Path

import pytest
from textual.pilot import Pilot

from engine.job.edit import entering
from engine.job.file.store import load, save
from engine.job.model.job import Job
from tests.tui.driving import Patience, keys, on_disk, shown, typed
from tests.tui.entry.test_slips_at_entry import downs
from tui.app import LinewalkApp

SIZE = (80, 24)
TIE = "tie-M"


def east(job: Job, east_ft: float, note: str) -> Job:
    return entering.put(job, "points", "A", {"east_ft": east_ft, "north_ft": 0.0, "note": note})


def tape(job: Job, tape_ft: float) -> Job:
    return job.model_copy(update={"shots": {**job.shots, TIE: job.shots[TIE].model_copy(update={"tape_a_ft": tape_ft})}})


async def saved_elsewhere(pilot: Pilot[int], app: LinewalkApp, path: Path, edit: Callable[[Job], Job]) -> None:
    """The other laptop saves, and what it saved is here."""
    theirs = load(path)
    wanted, patience = edit(theirs.job), Patience()
    save(theirs, wanted)
    while app.hand is None or (app.hand.job.points, app.hand.job.shots) != (wanted.points, wanted.shots):
        assert patience.lasts
        await pilot.pause(0.05)


@pytest.mark.parametrize(("theirs_ft", "told"), [(0.7, True), (2.0, False)])
async def test_a_field_of_a_form_that_both_changed_is_shown_before_it_is_saved(path: Path, theirs_ft: float, told: bool) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", *downs("points"), "enter", "escape", "right", "home", "enter")
        await typed(pilot, "2")
        await saved_elsewhere(pilot, app, path, lambda job: east(job, theirs_ft, "by the downspout"))
        await keys(pilot, "enter")
        if told:
            assert 'On another laptop it was made 8 3/8". Save again to keep yours.' in " ".join(shown(app).split())
            assert on_disk(path).points["A"].east_ft == theirs_ft
            await keys(pilot, "enter")
    assert (on_disk(path).points["A"].east_ft, on_disk(path).points["A"].note) == (2.0, "by the downspout")


async def test_a_shot_put_right_in_the_row_that_both_changed_is_shown_before_it_is_saved(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "1")
        app.screen.field_book.open(TIE)  # type: ignore[attr-defined]  # the walk screen's
        await pilot.pause()
        await keys(pilot, "end")
        await typed(pilot, " ")
        await saved_elsewhere(pilot, app, path, lambda job: tape(job, 66.0))
        await keys(pilot, "enter")
        assert "On another laptop it was made tie M A 66' 0\"" in " ".join(shown(app).split())
        assert on_disk(path).shots[TIE].tape_a_ft == 66.0  # type: ignore[union-attr]  # a tie
        await keys(pilot, "enter")
    assert on_disk(path).shots[TIE].tape_a_ft == 65.7604  # type: ignore[union-attr]  # a tie
