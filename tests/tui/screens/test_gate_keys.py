"""Ground beside a gate entered by real keys: it is in the file, and the swing, its figures and its note change with it."""

from pathlib import Path

import pytest

from engine.job.file.store import load
from engine.job.model.job import Job
from engine.job.model.shots import LevelShot
from engine.walk import walk
from tests.demo import demo
from tests.tui.driving import keys, shown, typed
from tui.app import LinewalkApp
from tui.entry.forms import FORMS
from tui.screens.walk_screen import WalkScreen

INSTRUMENT_FT = 4.5
"""Of the demo's last levels; a new level starts with it."""


@pytest.fixture
def job() -> Job:
    return demo()


async def test_a_bank_left_of_the_gate_is_entered_and_the_gate_drags_there(path: Path) -> None:
    """A foot of rise at 5 ft left of both posts of the demo's gate, read by rod: far more than its 2 in gap."""
    before = walk(load(path).job)
    (name, work), *_ = before.gate.gates.items()
    gate = load(path).job.gates[name]
    assert (work.better, len(work.to_shoot_ft)) == ("left", 3)
    levels = next(number for number, form in enumerate(FORMS) if form.method == "level")
    supports = before.layout.supports
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "e", "home", *["down"] * levels, "a")
        for post in (work.hinge_post, work.latch_post):
            rod_ft = INSTRUMENT_FT - supports[post].level_ft - 1
            values = {"station_ft": f"{supports[post].station_ft:.2f}", "rod_ft": f"{rod_ft:.2f}", "offset_ft": "-5"}
            for field, value in values.items():
                for _ in range(8):
                    if app.focused is not None and app.focused.id == f"in-{field}":
                        break
                    await keys(pilot, "tab")
                await keys(pilot, "ctrl+u")
                await typed(pilot, value)
            await keys(pilot, "enter")
        await keys(pilot, "escape", "escape", "8")
        await app.workers.wait_for_complete()
        await pilot.pause(0.2)
        swing = screen.hand.walk.gate.gates[name].swings[0]
        await keys(pilot, "tab", "tab", "tab")
        assert "strikes the ground" in shown(app)
    beside = [shot for shot in load(path).job.shots.values() if isinstance(shot, LevelShot) and shot.offset_ft]
    assert [(shot.line, shot.offset_ft) for shot in beside] == [(gate.line, -5.0)] * 2
    assert (swing.side, swing.clear, swing.known_share) == ("left", False, 1.0)
    after = walk(load(path).job)
    assert after.gate.gates[name].better == "right"
    assert after.survey.lines[gate.line].profile == before.survey.lines[gate.line].profile
