"""The screen paints first: a change is saved once the hand rests, by real keys at 80x24; whoever leaves doesn't wait for that."""

from pathlib import Path

import pytest
from textual.pilot import Pilot

from engine.job.file.store import load
from tests.demo import demo
from tests.tui.driving import on_disk, shown, until_saved
from tui.app import LinewalkApp
from tui.screens.jobs import JobsScreen
from tui.working import saver as saving

SIZE = (80, 24)
NEVER_S = 600.0


def rests(monkeypatch: pytest.MonkeyPatch, pause_s: float, longest_s: float) -> None:
    monkeypatch.setattr(saving, "PAUSE_S", pause_s)
    monkeypatch.setattr(saving, "LONGEST_PAUSE_S", longest_s)


async def press(pilot: Pilot[int], *pressed: str) -> None:
    """Keys, without waiting for the disk."""
    for key in pressed:
        await pilot.press(key)
    await pilot.pause()


async def test_saved_is_not_said_before_it_is_so_and_what_is_not_said_to_be_saved_goes_to_the_disk_when_asked(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rests(monkeypatch, NEVER_S, NEVER_S)
    app = LinewalkApp(loaded=load(file), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "1", "home", "space")
        assert (" saving" in shown(app).splitlines()[0], shown(app).count("✓"), on_disk(file) == demo()) == (True, 1, True)
        await press(pilot, "ctrl+s")
        await until_saved(pilot)
        assert " saved " in shown(app).splitlines()[0]
        assert len(on_disk(file).checks) == 1


async def test_keys_in_a_row_are_one_version(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rests(monkeypatch, 1.0, NEVER_S)
    before = load(file).heading.revision
    app = LinewalkApp(loaded=load(file), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "1", "home", "space", "space", "space")
        await until_saved(pilot)
    assert (len(on_disk(file).checks), load(file).heading.revision) == (3, before + 1)


async def test_a_hand_that_never_rests_is_saved_all_the_same(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rests(monkeypatch, NEVER_S, 0.3)
    app = LinewalkApp(loaded=load(file), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "1", "home", "space", "space")
        await until_saved(pilot)
        assert len(on_disk(file).checks) == 2
        await press(pilot, "u")
        await until_saved(pilot)
    assert len(on_disk(file).checks) == 1


@pytest.mark.parametrize("key", ["q", "ctrl+c"])
async def test_leaving_the_program_does_not_wait_for_the_hand_to_rest(file: Path, monkeypatch: pytest.MonkeyPatch, key: str) -> None:
    rests(monkeypatch, NEVER_S, NEVER_S)
    app = LinewalkApp(loaded=load(file), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "1", "home", "space", key)
        await until_saved(pilot)
        assert app._exit
    assert len(on_disk(file).checks) == 1


async def test_going_over_to_another_job_does_not_either(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rests(monkeypatch, NEVER_S, NEVER_S)
    app = LinewalkApp(folder=file.parent, by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await press(pilot, "home", "enter")
        await until_saved(pilot)
        await press(pilot, "1", "home", "space", "q")
        await until_saved(pilot)
        assert isinstance(app.screen, JobsScreen)
        assert len(on_disk(file).checks) == 1


async def test_a_screen_that_ends_by_itself_leaves_the_rest_to_finish(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rests(monkeypatch, NEVER_S, NEVER_S)
    app = LinewalkApp(loaded=load(file), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "1", "home", "space")
        app.exit()
    assert app.hand is not None
    assert (app.hand.saver.finish(), len(on_disk(file).checks)) == ("", 1)
