"""Stations said by a point's name, typed by real keys into the boxes of the log and into the forms, then read from the file."""

from pathlib import Path

import pytest

from engine.job.file.store import load
from tests.tui.driving import keys, on_disk, shown, typed
from tests.tui.entry.test_slips_at_entry import downs
from tui.app import LinewalkApp

SIZE = (80, 24)


async def test_a_rock_is_logged_at_a_point_and_not_at_one_beside_the_line(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "2", "l", "o", "tab", "tab", "ctrl+u")
        await typed(pilot, "Y1")
        await keys(pilot, "enter")
        assert "Station along it: Y1 isn't on back: it is 34' 9 5/8\" off it" in shown(app)
        assert app.focused is not None
        assert app.focused.id == "station"
        await keys(pilot, "ctrl+u")
        await typed(pilot, "t3")
        assert "about 160' 0 1/16\"" in shown(app)
        await keys(pilot, "enter", "enter")
        entry = on_disk(path).log[-1]
        assert (entry.kind, entry.station_ft) == ("obstacle", pytest.approx(160.0028, abs=1e-3))


async def test_a_height_changes_between_two_points(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", *downs("heights"), "enter")
        await typed(pilot, "low")
        await keys(pilot, "tab", "tab")
        await typed(pilot, "Y1")
        await keys(pilot, "tab")
        await typed(pilot, "F2")
        await keys(pilot, "tab")
        await typed(pilot, "4")
        assert "ft = 4' 0\"" in shown(app)
        await keys(pilot, "enter")
        assert "Y1 isn't on back" in shown(app)
        assert on_disk(path).heights == {}
        await keys(pilot, "ctrl+u")
        await typed(pilot, "c")
        await keys(pilot, "enter")
        change = on_disk(path).heights["low"]
        assert (change.from_ft, change.to_ft, change.height_ft) == (136.1031, 261.351, 4.0)
