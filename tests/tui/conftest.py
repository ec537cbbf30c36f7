"""What several tests of the screens start from."""

from pathlib import Path

import pytest

from engine.job.file.store import new
from tests.demo import AT, accepted


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The demo with its plan accepted, in a file of its own."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return new(tmp_path / "yard.toml", accepted(), AT, state=tmp_path / "state").path
