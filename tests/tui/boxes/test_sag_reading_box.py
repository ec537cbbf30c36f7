"""A sag typed at 80x24 turns into the tension it means at once, and stands beside the item afterwards."""

from pathlib import Path

import pytest

from engine.job.file.store import load, new
from engine.job.model.item_key import item_key
from engine.job.model.rules import CableRules
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
        assert "Means about 25 lb, 20 to 33 by tape. Safe: 25 to 107 lb." in shown(app)
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


async def test_a_depth_turns_into_tension_where_the_crew_reads_with_a_weight(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    rules = demo().rules
    job = demo().model_copy(update={"rules": rules.model_copy(update={"cables": CableRules(pull_read="hung weight")})})
    path = new(tmp_path / "yard.toml", job, AT, state=tmp_path / "state").path
    pull = item_key("cables.L1.sag")
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await reach(pilot, pull)
        await typed(pilot, "1 7/8")
        assert "by tape and by how the eyes grip. Safe: 25 to 107 lb." in " ".join(shown(app).split())
        await keys(pilot, "enter")
    tick = load(path).job.checks[pull]
    assert (tick.reading_in, tick.of.words) == (1.875, ("in P1-P2", "2 lb hung"))
