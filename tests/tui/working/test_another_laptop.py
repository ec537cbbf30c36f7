"""A second laptop on one file, by real keys: what it saves is here within seconds, told once in words, and undo keeps it."""

from pathlib import Path
from time import monotonic

import pytest

from engine.job.edit import edits
from engine.job.file.store import load, save
from tests.demo import AT
from tests.tui.driving import keys, on_disk, shown, typed, until_saved
from tests.tui.in_hand import FLAG, OTHER, notes
from tui.app import LinewalkApp
from tui.screens.walk_screen import WalkScreen
from tui.working import saver as saving


@pytest.fixture(autouse=True)
def looking_often(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saving, "LOOK_S", 0.05)


def other_laptop(path: Path) -> None:
    """Teal ticks P5's flag and logs a note."""
    there = load(path)
    job = edits.note(edits.tick(there.job, OTHER, AT, "Teal"), "the dog is out", AT, "Teal")
    save(there, job, AT)


async def until_here(pilot: object, screen: WalkScreen) -> None:
    end = monotonic() + 10
    while OTHER not in screen.working.job.checks:
        assert monotonic() < end, "it never came in"
        await pilot.pause(0.05)  # type: ignore[attr-defined]  # a pilot


async def test_who_only_looks_sees_it_within_seconds_and_is_told_once(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        other_laptop(path)
        stands = path.read_bytes()
        await until_here(pilot, screen)
        await pilot.pause()
        assert screen.working.saved
        assert path.read_bytes() == stands
        assert [str(one.message) for one in app._notifications] == ["Logged, by Teal: the dog is out\nP5 flag done, by Teal."]
        app.clear_notifications()
        await pilot.pause(1.2)
        assert len(app._notifications) == 0


async def test_what_was_done_here_before_is_taken_back_alone(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "l", "n")
        await typed(pilot, "soft ground")
        await keys(pilot, "enter")
        other_laptop(path)
        await until_here(pilot, screen)
        await keys(pilot, "u")
        assert (notes(on_disk(path)), list(on_disk(path).checks)) == (["the dog is out"], [OTHER])
        await keys(pilot, "ctrl+r")
        await until_saved(pilot)
        assert OTHER in on_disk(path).checks


async def test_one_reading_read_on_both_is_asked_with_both_shown(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        there = load(path)
        save(there, edits.tick(there.job, FLAG, AT, "Teal", needed=False), AT)
        screen.edit("flag", lambda job, at, by: edits.tick(job, FLAG, at, by))
        await until_saved(pilot)
        await pilot.pause()
        assert "P4 flag: here done, by Mo" in " ".join(shown(app).split())
        assert on_disk(path).checks[FLAG].by == "Teal"
        await keys(pilot, "enter")
        assert (on_disk(path).checks[FLAG].by, on_disk(path).checks[FLAG].state) == ("Mo", "done")
