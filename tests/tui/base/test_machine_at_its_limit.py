"""A machine at its limit stands still for longer than a short timer takes: whatever waits for that comes late, and comes."""

from itertools import count
from pathlib import Path

import pytest
from textual import _time

from engine.job.file.store import load
from tests.tui.driving import keys, shown, until
from tui.app import LinewalkApp

STILL_S = 0.012
"""How long it stands still each time it looks at the clock: longer than any timer of one painting, shorter than the beat of a clock."""


async def test_a_box_is_drawn_though_the_time_of_its_timers_is_over_before_they_are_looked_at(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app, moments = LinewalkApp(loaded=load(path), by="Mo"), count()
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "2")
        now = _time.get_time()
        monkeypatch.setattr(_time, "get_time", lambda: now + STILL_S * next(moments))
        await keys(pilot, "m")
        assert "Move P1" in shown(app)
        await keys(pilot, "escape")
        assert "Move P1" not in shown(app)


async def test_a_terminal_of_another_size_is_drawn_anew(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    app, moments = LinewalkApp(loaded=load(path), by="Mo"), count()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.resize_terminal(80, 36)
        await until(pilot, lambda: len(shown(app).splitlines()) == 36)
        now = _time.get_time()
        monkeypatch.setattr(_time, "get_time", lambda: now + STILL_S * next(moments))
        await pilot.resize_terminal(100, 30)
        await until(pilot, lambda: len(shown(app).splitlines()) == 30)
        assert app.screen.size == (100, 30)
