"""How long it will take, by real keys: out of the finished jobs beside the job file."""

from collections.abc import Callable
from pathlib import Path
from threading import Event

import pytest

from engine.ahead.finished_jobs import FinishedJobs
from engine.job.errors import UnreadableFile
from engine.job.file.store import load, new
from tests.ahead.crews import signed, worked
from tests.demo import AT
from tests.tui.driving import keys, shown
from tui.app import LinewalkApp
from tui.boxes.folder.hours import HoursScreen
from tui.boxes.materials import MaterialsScreen


@pytest.mark.closed_form
async def test_two_keys_show_the_hours_on_the_smallest_screen(path: Path) -> None:
    """Five jobs without spread: two people took the usual time, so low, likely and high are the same."""
    for seed in range(5):
        new(path.parent / f"done_{seed}.toml", signed(worked(seed, uneven=0.0)), AT, state=path.parent / "state")
    (path.parent / "broken.toml").write_text("format = 1\n", encoding="utf-8")
    before = path.read_bytes()
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "t", "h")
        assert isinstance(app.screen, HoursScreen)
        words = shown(app)
        rows = {line.strip().split("  ")[0]: line.split()[-3:] for line in words.splitlines() if line.strip()}
        assert rows["sleeves and posts"] == ["5.5"] * 3
        assert rows["cable loops"] == ["3.7"] * 3
        assert " The day it ends: 2 people, 8 h a day, Monday to Friday, from " in words
        await keys(pilot, "slash", *"bay of stakes", "enter")
        assert "bay of stakes 14 14 few jobs 14 to 14" in " ".join(shown(app).split())
        await keys(pilot, "end")
        assert "broken.toml  line 2, column 1" in shown(app)
        await keys(pilot, "escape")
        assert isinstance(app.screen, MaterialsScreen)
    assert path.read_bytes() == before


async def test_without_finished_jobs_it_says_so(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "t", "h")
        assert "No figure: 0 finished jobs in" in shown(app)
        assert "Crew hours" not in shown(app)


async def test_left_while_it_reads_the_rest_waits(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    heard: list[bool] = []
    left = Event()

    def slow(folder: Path, _pause_min: float, *, but: Path, told: Callable[[int, int], bool]) -> FinishedJobs:
        assert (folder, but) == (path.parent, path)
        heard.append(told(1, 2))
        assert left.wait(20)
        heard.append(told(2, 2))
        return FinishedJobs(folder, {})

    monkeypatch.setattr("tui.boxes.folder.hours.finished_jobs", slow)
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("t", "h")
        while not heard:
            await pilot.pause(0.01)
        assert "Reading the jobs in" in shown(app)
        await pilot.press("escape")
        await keys(pilot)
        left.set()
        while len(heard) < 2:
            await pilot.pause(0.01)
    assert heard == [True, False]


async def test_a_folder_that_can_not_be_listed_is_told(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(folder: Path, *_: object, **__: object) -> FinishedJobs:
        raise UnreadableFile(folder, "can't be listed: the disk reports a fault.")

    monkeypatch.setattr("tui.boxes.folder.hours.finished_jobs", refused)
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "t", "h")
        assert "can't be listed: the disk reports a fault." in shown(app)
