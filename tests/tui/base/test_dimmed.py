"""What is behind a box: as the library dims it, letter by letter and colour by colour."""

from pathlib import Path

import pytest
from rich.style import Style
from textual._context import visible_screen_stack
from textual.color import Color
from textual.screen import ModalScreen
from textual.strip import Strip

from engine.job.file.store import load
from tests.tui.driving import keys, shown
from tui.app import LinewalkApp
from tui.base.dimmed import dimmed
from tui.boxes.dialog import Dialog


def behind(app: LinewalkApp) -> list[tuple[str, Style | None]]:
    """Every letter beside the box with how it is written."""
    panel = next(iter(app.screen.children)).region
    visible_screen_stack.set(app._background_screens)  # as the library does before it paints: its own way needs it
    strips: list[Strip] = app.screen._compositor.render_strips()
    letters = (
        (x, y, letter, style)
        for y, strip in enumerate(strips)
        for x, (letter, style) in enumerate((letter, segment.style) for segment in strip for letter in segment.text)
    )
    return [(letter, style) for x, y, letter, style in letters if not panel.contains(x, y)]


@pytest.mark.parametrize("key", ["slash", "question_mark", "m"])
async def test_what_is_behind_a_box_looks_as_the_library_makes_it(path: Path, key: str, monkeypatch: pytest.MonkeyPatch) -> None:
    found = []
    for ours in (True, False):
        if not ours:
            monkeypatch.setattr(Dialog, "render", ModalScreen.render)
        app = LinewalkApp(loaded=load(path), by="Mo")
        async with app.run_test(size=(120, 36)) as pilot:
            await keys(pilot, "3", key)
            assert isinstance(app.screen, Dialog)
            found.append(behind(app))
    ours, theirs = found
    assert len(ours) > 100
    assert ours == theirs


async def test_what_is_behind_a_box_is_drawn_whoever_asks_for_it_first(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(120, 36)) as pilot:
        await keys(pilot, "w")
        app.screen.refresh()
        assert "back yard" in shown(app).splitlines()[0]


def test_colours_are_laid_over_ink_and_ground_and_links_go() -> None:
    veil = Color.parse("#000000").with_alpha(0.5)
    style = Style(color="#204060", bgcolor="#ffffff", bold=True, link="there", meta={"@click": "bell"})
    over = dimmed(style, veil, Style())
    assert over == Style(color="#102030", bgcolor="#7f7f7f", bold=True)
    assert (over.link, over.meta) == (None, {})
