"""A sag typed at 80x24 turns into the tension it means at once, and stands beside the item afterwards."""

from pathlib import Path

import pytest

from engine.job.file.store import load, new
from engine.walk import walk
from tests.demo import AT, demo
from tests.tui.driving import keys, reach, shown, typed
from tui.app import LinewalkApp


async def test_a_sag_turns_into_tension_while_it_is_typed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    path = new(tmp_path / "yard.toml", demo(), AT, state=tmp_path / "state").path
    sag = next(item for item in walk(demo()).cables.items if item.key.subject == "L1" and item.key.what == "sag")
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await reach(pilot, sag.key)
        await typed(pilot, "1/4")
        assert "Means about 25 lb, 20 to 33 by tape. Safe: 25 to 114 lb." in shown(app)
        await keys(pilot, "backspace", "backspace", "backspace")
        await typed(pilot, "99")
        assert "can't hang" in shown(app)
        await keys(pilot, "backspace", "backspace")
        await typed(pilot, "0")
        assert "Too little to read: the cable pulls 98 lb or more." in shown(app)
        await keys(pilot, "backspace")
        await typed(pilot, "1/8")
        await keys(pilot, "enter")
        await reach(pilot, sag.key)
        says = " ".join(shown(app).split())
        assert '1/8"' in says
        assert "about 49 lb" in says
