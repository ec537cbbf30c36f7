"""What one laptop changed while another signed the job off is kept, and goes in once the job is reopened; what was signed stays whole."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot

from engine.job.edit import edits
from engine.job.file.store import load, save
from engine.job.versions.unsaved import unsaved
from tests.demo import AT
from tests.tui.driving import keys, on_disk, shown, typed, until_saved, until_shown
from tests.tui.in_hand import noted, notes, signed
from tui.app import LinewalkApp
from tui.boxes import choice
from tui.working import saver as saving
from tui.working.working_copy import Working


@pytest.fixture(autouse=True)
def looking_often(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saving, "LOOK_S", 0.05)
    monkeypatch.setattr(choice, "RESTED_S", 0.0)


@asynccontextmanager
async def signed_meanwhile(path: Path) -> AsyncIterator[Pilot[int]]:
    """Mo's laptop with a note that isn't in the file, for Teal signed the job off before it was saved."""
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        there = load(path)
        save(there, signed(there.job, AT, "Teal"), AT)
        app.screen.edit("note", noted("soft ground"))  # type: ignore[attr-defined]
        await until_saved(pilot)
        await until_shown(pilot, "The job was signed off on the other side meanwhile")
        yield pilot


def in_hand(pilot: Pilot[int]) -> Working:
    return pilot.app.screen_stack[1].hand.working  # type: ignore[attr-defined, no-any-return]


async def test_left_alone_nothing_is_saved_and_the_head_says_why(path: Path) -> None:
    async with signed_meanwhile(path) as pilot:
        stands = path.read_bytes()
        await keys(pilot, "t", "escape")
        assert shown(pilot.app).splitlines()[0].rstrip().endswith("NOT SAVED: signed meanwhile")
        await keys(pilot, "ctrl+s")
        await until_shown(pilot, "The job was signed off on the other side meanwhile")
        await keys(pilot, "escape")
        rescue = in_hand(pilot).rescue
        assert rescue is not None
        assert notes(load(rescue).job) == ["soft ground"]
    assert path.read_bytes() == stands


async def test_who_goes_on_with_the_signed_job_is_offered_it_once_that_is_reopened(path: Path) -> None:
    async with signed_meanwhile(path) as pilot:
        stands = path.read_bytes()
        await keys(pilot, "o")
        assert (in_hand(pilot).saved, in_hand(pilot).trouble, in_hand(pilot).job.record is not None) == (True, "", True)
        assert "signed off, sealed" in shown(pilot.app).splitlines()[0]
        assert any("it is offered once the job is reopened." in note.message for note in pilot.app._notifications)
        assert path.read_bytes() == stands
        await keys(pilot, "s")
        await typed(pilot, "one more gate")
        await keys(pilot, "enter", "enter")
        await until_shown(pilot, "Work that isn't in this file yet")
        await keys(pilot, "enter")
    assert (notes(on_disk(path)), on_disk(path).record) == (["soft ground"], None)
    assert sorted(entry.kind for entry in on_disk(path).log[-3:]) == ["note", "reopened", "signed"]


async def test_it_goes_in_by_itself_where_the_other_reopened_the_job_before_the_answer(path: Path) -> None:
    async with signed_meanwhile(path) as pilot:
        there = load(path)
        save(there, edits.reopen(there.job, "one more gate", AT, "Teal"), AT)
        await keys(pilot, "o")
        assert in_hand(pilot).saved
    assert (notes(on_disk(path)), on_disk(path).record) == (["soft ground"], None)


async def test_who_opens_the_signed_job_is_told_of_it_and_may_throw_it_away(path: Path) -> None:
    async with signed_meanwhile(path) as pilot:
        await keys(pilot, "o")
    assert unsaved(load(path)) is not None
    app, stands = LinewalkApp(loaded=load(path), by="Mo"), path.read_bytes()
    async with app.run_test(size=(80, 24)) as pilot:
        await until_shown(pilot, "once it is reopened (s)")
        assert "Take it in" not in shown(app)
        await keys(pilot, "down", "enter")
    assert unsaved(load(path)) is None
    assert path.read_bytes() == stands
