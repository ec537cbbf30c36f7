"""Every colour on screen is one of ours, by its numbers: none that each terminal shows in its own way, none made dim by the terminal."""

from pathlib import Path

import pytest

from engine.job.file.store import load
from tests.tui.driving import keys
from tui.app import LinewalkApp

BOXES = "mtbaslfhgwejx"


@pytest.mark.parametrize("theme", ["dusk", "sun"])
async def test_no_colour_is_left_to_the_terminal(path: Path, theme: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LINEWALK_COLOURS", theme)
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(120, 36)) as pilot:
        for key in (
            *(f"alt+{number}" for number in range(1, 10)),
            *"vvvvv",
            "tab",
            "tab",
            "tab",
            "3",
            "space",
            *"2",
            "slash",
            "question_mark",
            *BOXES,
        ):
            await keys(pilot, key)
            for strip in app.screen._compositor.render_strips():
                for text, style, _ in strip:
                    colours = (style.color, style.bgcolor) if style else ()
                    assert all(colour is None or colour.triplet is not None for colour in colours), (key, text, style)
                    assert not (style and style.dim), (key, text, style)
            if len(app.screen_stack) > 2 or key in ("slash", "question_mark", *BOXES):
                await keys(pilot, "escape")
