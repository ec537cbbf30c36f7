"""Striking a log entry by real keys: any day's, with what it changes shown before, and one key takes that back."""

from datetime import timedelta
from pathlib import Path

import pytest

from engine.job.edit import edits
from engine.job.file.store import load
from engine.job.model.job import Job
from tests.demo import AT, accepted
from tests.tui.driving import keys, on_disk, shown
from tui.app import LinewalkApp
from tui.boxes.preview import ChangeDialog
from tui.screens.walk_screen import WalkScreen


@pytest.fixture
def job() -> Job:
    """A move of last week, and a note since."""
    moved = edits.move_post(accepted(), "P6", AT - timedelta(days=7), "Teal", along_ft=2.0)
    return edits.note(moved, "soft ground", AT, "Mo")


async def test_a_move_of_last_week_is_struck_once_its_consequences_were_seen(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        stands = path.read_bytes()
        await keys(pilot, "l", "s", "down", "enter")
        assert isinstance(app.screen, ChangeDialog)
        assert "P6 moved 2' 0\" forward along the line." in shown(app)
        assert path.read_bytes() == stands
        await keys(pilot, "escape")
        assert path.read_bytes() == stands

        await keys(pilot, "l", "s", "down", "enter", "enter")
        move = next(entry for entry in on_disk(path).log if entry.kind == "move")
        assert (move.struck_by, screen.working.walk.layout.supports["P6"].moved) == ("Mo", False)
        await keys(pilot, "u")
        assert screen.working.walk.layout.supports["P6"].moved
        assert next(entry for entry in on_disk(path).log if entry.kind == "move").struck_at is None
