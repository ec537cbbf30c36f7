"""Alt and a number as a terminal sends them: Escape and the number in one burst."""

from pathlib import Path

from textual._xterm_parser import XTermParser
from textual.events import Key

from engine.findings import STAGES
from engine.job.file.store import load
from tests.tui.driving import keys
from tui.app import LinewalkApp
from tui.screens.walk_screen import WalkScreen


async def test_alt_and_its_number_goes_to_every_stage(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        seen = []
        for number in range(1, 10):
            sent = [event.key for event in XTermParser().feed(f"\x1b{number}") if isinstance(event, Key)]
            await keys(pilot, *sent)
            seen.append(screen.stage)
        assert seen == list(STAGES)
