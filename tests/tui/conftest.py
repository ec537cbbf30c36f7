"""What several tests of the screens start from: a job in a file of its own. A module that starts from another job gives another `job`."""

import shutil
from pathlib import Path

import pytest
from textual.css.model import RuleSet
from textual.css.stylesheet import Stylesheet

from engine.job.file.store import new
from engine.job.model.job import Job
from tests.demo import AT, DEMO, accepted
from tui.working import saver as saving

_READ: dict[tuple[object, ...], list[RuleSet]] = {}
_read_rules = Stylesheet._parse_rules


def _read_once(sheet: Stylesheet, css: str, read_from: tuple[str, str], *more: object, **named: object) -> list[RuleSet]:
    """Rules of a style sheet under the colours of a theme, read by the first screen that has them; no screen changes them."""
    own = (css, read_from, *more, *named.values())
    if own not in sheet._parse_cache:
        key = (*own, frozenset(sheet._variables.items()))
        if key not in _READ:
            _READ[key] = _read_rules(sheet, css, read_from, *more, **named)  # type: ignore[arg-type]  # as it was called
        sheet._parse_cache[own] = _READ[key]
    return sheet._parse_cache[own]


@pytest.fixture(autouse=True)
def _styles_read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every test has an app of its own, and to read its style sheets was a fourteenth of what such a test worked."""
    monkeypatch.setattr(Stylesheet, "_parse_rules", _read_once)


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
