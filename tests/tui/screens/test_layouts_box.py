"""Layouts side by side by real keys: one is kept, the other made, the first taken again, and nothing is lost; then the saved file."""

from collections.abc import Callable
from pathlib import Path
from threading import Event
from time import monotonic

import pytest
from textual.pilot import Pilot

from engine.ahead.finished_jobs import FinishedJobs
from engine.ahead.side_by_side import side_by_side
from engine.ahead.work_times import work_times
from engine.job.edit.alternatives import keep_layout, take_layout
from engine.job.edit.edits import tick
from engine.job.errors import UnreadableFile
from engine.job.file.store import load, new
from engine.job.model.fence import FenceLine
from tests.ahead.crews import worked
from tests.stages import yards
from tests.tui.driving import keys, on_disk, shown, typed
from tui.app import LinewalkApp
from tui.screens.layouts_box import in_columns
from tui.screens.walk_screen import WalkScreen

SIZE = (80, 24)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A surveyed job whose plan isn't accepted."""
    file = tmp_path / "yard.toml"
    new(file, yards.plain())
    return file


async def compared(pilot: Pilot[int], app: LinewalkApp) -> None:
    await keys(pilot, "j")
    end = monotonic() + 20
    while "ways out" not in shown(app):
        assert monotonic() < end, shown(app)
        await pilot.pause(0.05)


def turned(line: FenceLine) -> FenceLine:
    return line.model_copy(update={"points": line.points[::-1]})


async def test_one_is_kept_another_made_and_the_first_taken_again(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await compared(pilot, app)
        assert "as it is" in shown(app)
        assert "No alternative is kept yet" in shown(app)
        await keys(pilot, "k")
        await typed(pilot, "six")
        await keys(pilot, "enter")
        await typed(pilot, "as first asked")
        await keys(pilot, "enter")
        assert on_disk(path).alternatives["six"].note == "as first asked"
        assert on_disk(path).fence.height_ft == 6.0

        screen = app.screen
        assert isinstance(screen, WalkScreen)
        screen.edit("lower", lambda job, *_: job.model_copy(update={"fence": job.fence.model_copy(update={"height_ft": 5.0})}))
        screen.edit(
            "the other way round",
            lambda job, *_: job.model_copy(update={"lines": {name: turned(line) for name, line in job.lines.items()}}),
        )
        walked = next(item for item in screen.hand.walk.survey.items if item.key.what == "client_walked")
        screen.edit("walked", lambda job, at, by: tick(job, walked.key, at, by, of=walked.of))
        await compared(pilot, app)
        assert "5' 0\"" in shown(app)
        assert "six: as first asked" in shown(app)
        await keys(pilot, "enter")
        assert "Keep the layout that was here as" in shown(app)
        await keys(pilot, "enter", "enter")
        assert [notice.message for notice in app._notifications] == [
            "six is the layout now; what was there is kept as first. u takes that back.\n1 item opens again (Client walked the line)."
        ]
        job = on_disk(path)
        assert (job.fence.height_ft, list(job.alternatives), job.alternatives["first"].fence.height_ft) == (6.0, ["first"], 5.0)
        assert [entry.text for entry in job.log if entry.kind == "note"] == ["Layout six taken: as first asked"]
        await keys(pilot, "u")
        assert [notice.message for notice in app._notifications] == ["Taken back: six taken. 1 item counts again (Client walked the line)."]
        assert (on_disk(path).fence.height_ft, list(on_disk(path).alternatives)) == (5.0, ["six"])


async def test_one_is_thrown_away_only_when_that_is_said(path: Path) -> None:
    path.unlink()
    new(path, keep_layout(yards.plain(), "six"))
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await compared(pilot, app)
        await keys(pilot, "x", "enter")
        assert list(on_disk(path).alternatives) == ["six"]
        await compared(pilot, app)
        await keys(pilot, "x", "y")
        assert on_disk(path).alternatives == {}
        await keys(pilot, "u")
        assert list(on_disk(path).alternatives) == ["six"]


async def test_one_is_called_otherwise(path: Path) -> None:
    path.unlink()
    new(path, keep_layout(keep_layout(yards.plain(), "six", "as first asked"), "other"))
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await compared(pilot, app)
        await keys(pilot, "r")
        assert "Call six otherwise" in shown(app)
        await keys(pilot, "end")
        await typed(pilot, "_feet")
        await keys(pilot, "enter", "end")
        await typed(pilot, " by phone")
        await keys(pilot, "enter")
        assert {name: row.note for name, row in on_disk(path).alternatives.items()} == {"six_feet": "as first asked by phone", "other": ""}
        await compared(pilot, app)
        await keys(pilot, "r", "end", *("backspace",) * 20)
        await typed(pilot, "other")
        await keys(pilot, "enter", "enter")
        assert "There is an alternative other already" in shown(app)
        await keys(pilot, "escape", "y", "u")
        assert on_disk(path).alternatives["six"].note == "as first asked"


@pytest.mark.parametrize("told", ["hours", "refused"])
async def test_the_layouts_are_there_before_the_hours(path: Path, monkeypatch: pytest.MonkeyPatch, told: str) -> None:
    read = Event()

    def slow(folder: Path, *_: object, **__: object) -> FinishedJobs:
        assert read.wait(20)
        if told == "refused":
            raise UnreadableFile(folder, "can't be listed: the disk reports a fault.")
        return FinishedJobs(folder, {f"{seed}": work_times(worked(seed), 20.0) for seed in range(3)})

    monkeypatch.setattr("tui.screens.layouts_box.finished_jobs", slow)
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await compared(pilot, app)
        assert "reading ..." in shown(app)
        read.set()
        end = monotonic() + 20
        while "reading ..." in shown(app):
            assert monotonic() < end
            await pilot.pause(0.02)
        assert ("not known" in shown(app)) == (told == "refused")


async def test_leaving_ends_the_reading(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    heard: list[bool] = []
    left = Event()

    def slow(folder: Path, *_: object, told: Callable[[int, int], bool], **__: object) -> FinishedJobs:
        heard.append(told(1, 2))
        assert left.wait(20)
        heard.append(told(2, 2))
        return FinishedJobs(folder, {})

    monkeypatch.setattr("tui.screens.layouts_box.finished_jobs", slow)
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await compared(pilot, app)
        while not heard:
            await pilot.pause(0.01)
        await keys(pilot, "escape")
        left.set()
        while len(heard) < 2:
            await pilot.pause(0.01)
        assert "Layouts side by side" not in shown(app)
    assert heard == [True, False]


async def test_the_worst_of_the_chosen_one_stands_where_the_choice_is_made(path: Path) -> None:
    path.unlink()
    new(path, keep_layout(keep_layout(yards.plain(), "six"), "other"))
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await compared(pilot, app)
        assert "Worst of six, fix: P7's post is lifted" in shown(app)
        assert "found" in shown(app)
        await keys(pilot, "down")
        assert "Worst of other, fix: P7's post is lifted" in shown(app)


async def test_leaving_changes_nothing_and_a_name_that_is_none_is_told(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await compared(pilot, app)
        await keys(pilot, "escape")
        await compared(pilot, app)
        await keys(pilot, "k")
        await typed(pilot, "!?")
        await keys(pilot, "enter", "enter")
        assert "A name is up to 40 letters" in shown(app)
        assert on_disk(path).alternatives == {}


def test_columns_that_dont_fit_are_counted_and_the_chosen_one_is_shown() -> None:
    job = yards.plain()
    for number in range(1, 6):
        job = keep_layout(job, f"way_{number}")
    lines = in_columns(side_by_side(job), 5, 70).splitlines()
    assert lines[0].split() == ["layout", "as", "it", "is", "way_5"]
    assert lines[-1] == "4 more: Down shows them."
    assert in_columns(side_by_side(job), 5, 155).splitlines()[-1] == "1 more: Down shows it."


def test_an_alternative_is_worked_out_as_the_job_would_be_with_it() -> None:
    job = keep_layout(yards.plain(), "six")
    low = job.model_copy(update={"fence": job.fence.model_copy(update={"height_ft": 4.0})})
    own, six = side_by_side(low)
    taken = side_by_side(take_layout(low, "six", "four"))
    assert (own.heights_ft, six.heights_ft) == ((4.0,), (6.0,))
    assert (taken[0].length_ft, taken[0].posts, taken[0].packs, taken[0].findings) == (six.length_ft, six.posts, six.packs, six.findings)
    assert (taken[1].length_ft, taken[1].posts, taken[1].packs, taken[1].findings) == (own.length_ft, own.posts, own.packs, own.findings)
