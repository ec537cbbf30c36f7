"""Alt and a number as a terminal sends them: Escape and the number in one burst, or on a Mac the sign that they type there."""

from collections.abc import Sequence
from pathlib import Path

import pytest
from textual._xterm_parser import XTermParser
from textual.events import Key
from textual.pilot import Pilot

from engine.findings import STAGES
from engine.job.file.store import load
from tests.tui.driving import keys, on_disk, until_saved
from tests.tui.in_hand import notes
from tui.app import LinewalkApp
from tui.base.key_lists import ALT_NUMBERS
from tui.screens.walk_screen import WalkScreen


async def arrives(pilot: Pilot[int], sent: str) -> None:
    """What a terminal sends."""
    for event in XTermParser().feed(sent):
        if isinstance(event, Key):
            pilot.app.post_message(event)
    await until_saved(pilot)


@pytest.mark.parametrize("sent", [[f"\x1b{number}" for number in range(1, 10)], ALT_NUMBERS])
async def test_alt_and_its_number_goes_to_every_stage(path: Path, sent: Sequence[str]) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        seen = []
        for number in sent:
            await arrives(pilot, number)
            seen.append(screen.stage)
        assert seen == list(STAGES)


async def test_in_a_box_alt_and_a_number_types_nothing_and_a_sign_itself(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "l", "n")
        for sent in ("2", *(f"\x1b{number}" for number in range(10)), "0", "£"):
            await arrives(pilot, sent)
        await keys(pilot, "enter")
    assert notes(on_disk(path)) == ["20£"]
