"""Keys that come before what stands beside the sheet is there."""

from pathlib import Path

import pytest

from engine.job.file.store import load
from tests.tui.driving import keys
from tui.app import LinewalkApp
from tui.screens.walk_screen import WalkScreen


@pytest.mark.parametrize(("pressed", "goes_to"), [(("tab",), "plan"), (("tab", "tab"), "card")])
async def test_a_page_that_is_asked_for_too_early_is_gone_to(path: Path, pressed: tuple[str, ...], goes_to: str) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "2")
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await screen.beside.remove_children()
        screen.pictures = screen.under = None
        await keys(pilot, *pressed)
        await screen.first_drawn()
        await pilot.pause()
        assert screen.focused is not None
        assert screen.focused.id == goes_to
