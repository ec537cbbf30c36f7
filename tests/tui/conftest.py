"""What several tests of the screens start from: a job in a file of its own. A module that starts from another job gives another `job`."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from textual import _callback
from textual.css.model import RuleSet
from textual.css.stylesheet import Stylesheet
from textual.message_pump import MessagePump
from textual.pilot import Pilot

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


_ask_every_box = Pilot._wait_for_screen


def _busy(box: MessagePump) -> bool:
    """Whether it has messages before it, or is at one: at rest it waits for the next."""
    queue = box._message_queue
    return not box._closing and bool(queue.values or box._pending_message or not queue.ready_event._waiters)


async def _ask_if_any_is_busy(pilot: Pilot[int], timeout: float = 30.0) -> bool:
    """Until all that is on its way to any box of the screen has arrived; a screen at rest is not sent a message to every box."""
    app = pilot.app
    if app._exception is None and app.screen_stack and not any(map(_busy, (app, *app.screen.walk_children(with_self=True)))):
        return True
    return await _ask_every_box(pilot, timeout)


@pytest.fixture(autouse=True)
def _asked_if_any_is_busy(monkeypatch: pytest.MonkeyPatch) -> None:
    """After every key and every look the library sends each box of the screen a message and waits for all: half of a test's messages."""
    monkeypatch.setattr(Pilot, "_wait_for_screen", _ask_if_any_is_busy)


_COUNTED: dict[tuple[object, bool], int] = {}
_count_parameters = _callback._count_parameters


def _count_once(called: Callable[..., object]) -> int:
    """How many arguments something takes; of one function it is read once, not for each message that calls it."""
    function = getattr(called, "__func__", called)
    if not hasattr(function, "__code__") or hasattr(function, "__wrapped__"):
        return _count_parameters(called)
    own = function.__code__, function is called
    if own not in _COUNTED:
        _COUNTED[own] = _count_parameters(called)
    return _COUNTED[own]


@pytest.fixture(autouse=True)
def _parameters_counted_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(_callback, "_count_parameters", _count_once)


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
