"""Keys typed while a job of the folder is being read are for that job, in their order; a slow disk keeps nobody from leaving."""

import asyncio
from pathlib import Path
from threading import Event
from time import monotonic

import pytest
from textual.events import Key
from textual.pilot import Pilot

from engine.findings import STAGES
from engine.job.file.store import Loaded, load
from tests.tui.driving import on_disk, until, until_saved
from tests.tui.in_hand import notes
from tui import app as apps
from tui.app import LinewalkApp
from tui.base import key_order
from tui.screens.jobs import JobsScreen
from tui.screens.walk_screen import WalkScreen

SIZE = (80, 24)


class SlowReading:
    """A disk that gives a job only once it may."""

    def __init__(self) -> None:
        self.may = Event()

    def __call__(self, path: Path, **of: object) -> Loaded:
        assert self.may.wait(20)
        return load(path, **of)  # type: ignore[arg-type]  # as the app asked


@pytest.fixture
def slow(monkeypatch: pytest.MonkeyPatch) -> SlowReading:
    slow = SlowReading()
    monkeypatch.setattr(apps, "load", slow)
    return slow


async def typed_after_enter(pilot: Pilot[int], *pressed: str) -> LinewalkApp:
    """Enter on the one job of the folder and these keys in one burst, while the job is being read."""
    app = pilot.app
    assert isinstance(app, LinewalkApp)
    await until_saved(pilot)
    for key in ("enter", *pressed):
        app.post_message(Key(key, key if len(key) == 1 else None))
    await until(pilot, lambda: app.opening)
    await pilot.pause(0.2)
    return app


@pytest.mark.parametrize("s", [0.0, 1.0])
async def test_keys_of_one_burst_reach_the_job_that_opens(file: Path, slow: SlowReading, s: float) -> None:
    async with LinewalkApp(folder=file.parent, by="Mo").run_test(size=SIZE) as pilot:
        app = await typed_after_enter(pilot, "1", "n", "n", "l", "n", *"wet", "enter")
        assert isinstance(app.screen, JobsScreen)
        await pilot.pause(s)
        slow.may.set()
        await until_saved(pilot)
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        assert screen.stage == STAGES[2]
    assert notes(on_disk(file))[-1] == "wet"


async def test_who_has_enough_of_a_slow_disk_leaves_at_once(file: Path, slow: SlowReading) -> None:
    app = LinewalkApp(folder=file.parent, by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await typed_after_enter(pilot, "n")
        began = monotonic()
        app.post_message(Key("ctrl+c", None))
        await until(pilot, lambda: app._exit)
        assert monotonic() - began < key_order.LONGEST_S / 2
    slow.may.set()


class SlowToClose(LinewalkApp):
    """Takes a while to end once its screens are gone."""

    async def on_unmount(self) -> None:
        await asyncio.sleep(10 * key_order.MOMENT_S)


async def test_a_key_that_still_waits_ends_with_the_app(file: Path, slow: SlowReading) -> None:
    app = SlowToClose(folder=file.parent, by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await typed_after_enter(pilot, "n", "n")
        app.post_message(Key("ctrl+c", None))
        await until(pilot, lambda: app._exit)
    assert app.key_order.at_rest
    slow.may.set()


async def test_all_keys_together_wait_no_longer_than_one_may(file: Path, slow: SlowReading, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(key_order, "LONGEST_S", 0.5)
    async with LinewalkApp(folder=file.parent, by="Mo").run_test(size=SIZE) as pilot:
        app = await typed_after_enter(pilot, *["s"] * 6)
        screen = app.screen
        assert isinstance(screen, JobsScreen)
        began, head = monotonic(), screen.head
        await until(pilot, lambda: app.key_order.at_rest)
        assert monotonic() - began < 2 * key_order.LONGEST_S
        assert screen.head != head
        slow.may.set()
        await until_saved(pilot)
