"""A gate that is put elsewhere in the survey of a fence that is built, by real keys: the crew is told, and the file is read."""

from pathlib import Path

import pytest

from engine.job.file.store import load, new
from tests.demo import AT, accepted
from tests.test_done_means_done import all_ticked
from tests.tui.driving import keys, on_disk, shown, typed, until_saved
from tests.tui.entry.test_names_followed import in_form
from tui.app import LinewalkApp


async def test_a_gate_put_elsewhere_once_its_posts_stand_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    path = new(tmp_path / "built.toml", all_ticked(accepted()), AT, state=tmp_path / "state").path
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(100, 30)) as pilot:
        assert "its posts stand" not in shown(app)
        await in_form(pilot, on_disk(path), "gates", "side", "station_ft")
        await keys(pilot, "ctrl+u")
        await typed(pilot, "19")
        await keys(pilot, "enter", "escape")
        await until_saved(pilot)
        assert "Gate side: its posts stand 3' 0\"" in shown(app)
    assert on_disk(path).gates["side"].station_ft == 19
