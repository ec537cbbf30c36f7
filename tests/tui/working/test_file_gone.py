"""A file that goes while one only looks: it is told within seconds, goes as it came, and the next change writes it again."""

from pathlib import Path

import pytest

from engine.job.edit import edits
from engine.job.file.store import load, save
from tests.demo import AT
from tests.tui.driving import keys, on_disk, shown, until, until_saved
from tests.tui.in_hand import FLAG, OTHER, noted, notes
from tui.app import LinewalkApp
from tui.screens.walk_screen import WalkScreen
from tui.working import saver as saving


@pytest.fixture(autouse=True)
def looking_often(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saving, "LOOK_S", 0.05)


async def test_a_file_that_was_renamed_is_told_and_written_again_by_the_next_change(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await until_saved(pilot)
        path.rename(path.with_name("away.toml"))
        await until(pilot, lambda: "FILE GONE" in shown(app))
        assert f"{path.name} isn't where it was: it was renamed or deleted" in " ".join(shown(app).split())
        screen.edit("note", noted("soft"))
        await keys(pilot)
        assert notes(on_disk(path)) == ["soft"]
        assert "FILE GONE" not in shown(app)
        assert not screen.hand.working.standing


async def test_a_file_that_comes_back_changed_is_taken_in_as_any_news(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        screen.edit("flag", lambda job, at, by: edits.tick(job, FLAG, at, by))
        await until_saved(pilot)
        away = path.rename(path.with_name("away.toml"))
        await until(pilot, lambda: screen.hand.working.gone)
        there = load(away)
        save(there, edits.tick(there.job, OTHER, AT, "Teal"), AT)
        away.rename(path)
        await until(pilot, lambda: OTHER in screen.hand.job.checks)
        await until(pilot, lambda: "saved" in shown(app).splitlines()[0])
        assert FLAG in screen.hand.job.checks
