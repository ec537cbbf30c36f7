"""What several tests of the screens start from: a job in a file of its own. A module that starts from another job gives another `job`."""

import shutil
from pathlib import Path

import pytest

from engine.job.file.store import new
from engine.job.model.job import Job
from tests.demo import AT, DEMO, accepted
from tui.working import saver as saving


@pytest.fixture(autouse=True)
def hurried(monkeypatch: pytest.MonkeyPatch) -> None:
    """A hand that rests after every key, so that a test doesn't wait for it."""
    monkeypatch.setattr(saving, "PAUSE_S", 0.002)


@pytest.fixture
def job() -> Job:
    """The demo with its plan accepted."""
    return accepted()


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, job: Job) -> Path:
    """The job in a file of its own, with a state folder beside it."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return new(tmp_path / "yard.toml", job, AT, state=tmp_path / "state").path


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """The main demo as it is shipped, in a folder of jobs."""
    (tmp_path / "jobs").mkdir()
    return Path(shutil.copy(DEMO, tmp_path / "jobs" / "yard.toml"))
