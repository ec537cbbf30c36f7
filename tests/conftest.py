"""For every test: backups go to a folder of the test's own, and a pressed key is waited for in steps of 5 ms rather than 20.

What a test counts (`record_property("counted", ...)`) is printed once all are through, from whichever process it ran in.
"""

from pathlib import Path

import pytest
from textual import _wait

from engine.calc.units import FEET_INCHES, in_hand

STEP_S = 1 / 200


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


@pytest.fixture(autouse=True)
def _short_steps(monkeypatch: pytest.MonkeyPatch) -> None:
    """Textual's pilot sleeps until the process rests; the share of rest it asks for stays as it is, only the nap is shorter."""
    monkeypatch.setattr(_wait, "SLEEP_GRANULARITY", STEP_S)
    monkeypatch.setattr(_wait, "SLEEP_IDLE", STEP_S / 10)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    for report in terminalreporter.getreports("passed"):
        for name, told in report.user_properties:
            if name == "counted":
                terminalreporter.write_line(str(told))
