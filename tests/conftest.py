"""For every test: backups go to a folder of the test's own, and a pressed key is waited for in steps of 1 ms rather than 20, and for what a
timer is about to do.

What a test counts (`record_property("counted", ...)`) is printed once all are through, from whichever process it ran in.
"""

import asyncio
import gc
from math import inf
from pathlib import Path

import pytest
from textual import _wait

from engine.calc.units import FEET_INCHES, in_hand

STEP_S = 1 / 1000
WORKING = 1 / 3
"""Of a step, what a process that rests may have worked: to fall asleep and wake is a tenth of it."""
MOST_NEW = 20_000
SOON_S = 1 / 200
"""What is to be done within this is waited for: a screen opens a moment of 2 ms after its key."""


@pytest.fixture(autouse=True)
def _own_state(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path_factory.getbasetemp() / "state"))


@pytest.fixture(autouse=True)
def _no_job_in_hand() -> None:
    in_hand(FEET_INCHES)


@pytest.fixture
def state(tmp_path: Path) -> Path:
    """Where backups go, for a test that looks into it."""
    return tmp_path / "state"


async def _nap(step_s: float) -> None:
    """A step, and on until no timer goes off soon."""
    await asyncio.sleep(step_s)
    while (until_s := _next_timer_s()) < SOON_S:
        await asyncio.sleep(until_s + step_s)


def _next_timer_s() -> float:
    """Seconds until the next timer goes off. The loop keeps them to itself: there is no other way to ask."""
    loop = asyncio.get_running_loop()
    return max(0.0, min((timer.when() for timer in loop._scheduled if not timer.cancelled()), default=inf) - loop.time())


@pytest.fixture(autouse=True)
def _short_steps(monkeypatch: pytest.MonkeyPatch) -> None:
    """Textual's pilot sleeps until the process rests: here by shorter naps, and never while something is about to begin."""
    monkeypatch.setattr(_wait, "SLEEP_GRANULARITY", STEP_S)
    monkeypatch.setattr(_wait, "SLEEP_IDLE", STEP_S * WORKING)
    monkeypatch.setattr(_wait, "sleep", _nap)


def pytest_collection_finish() -> None:
    """All tests and what they import stay to the end: nobody looks through them for what can be thrown away, and through the rest less
    often. That was a fourteenth of what they worked."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(MOST_NEW)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    for report in terminalreporter.getreports("passed"):
        for name, told in report.user_properties:
            if name == "counted":
                terminalreporter.write_line(str(told))
