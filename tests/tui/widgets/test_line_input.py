"""The one-line input: as the library's shows what is typed, in narrow and wide boxes, and nothing else is laid out for it."""

from random import Random

import pytest
from textual.app import App, ComposeResult
from textual.containers import Vertical
from textual.pilot import Pilot
from textual.widgets import Input

from tui.widgets.line_input import LineInput

PRESSED = ("a", "7", "space", "é", "left", "right", "home", "end", "backspace", "delete", "ctrl+w", "ctrl+k", "shift+left", "ctrl+left")


class OneBox(App[None]):
    """A box of a kind, narrower than what is typed into it."""

    CSS = "Input { width: 14; }"

    def __init__(self, kind: type[Input]) -> None:
        super().__init__()
        self.kind = kind

    def compose(self) -> ComposeResult:
        with Vertical():
            yield self.kind("rock at", placeholder="rock at 8 inches, or a root", compact=True)


def seen(app: App[None]) -> list[str]:
    return ["".join(segment.text for segment in strip) for strip in app.screen._compositor.render_strips()]


async def settled(pilot: Pilot[None]) -> None:
    """Until nothing waits to be laid out or drawn."""
    screen = pilot.app.screen
    nodes = (pilot.app, screen, *screen.walk_children())
    waits = True
    while waits:
        await pilot.pause()
        busy = any(not node._message_queue.empty() for node in nodes)
        waits = busy or bool(screen._layout_required or screen._repaint_required or screen._dirty_widgets)


async def shown_of(kind: type[Input], pressed: list[str]) -> list[list[str]]:
    """What stands on screen after each key."""
    app, found = OneBox(kind), []
    async with app.run_test(size=(30, 4)) as pilot:
        for key in pressed:
            await pilot.press(key)
            await settled(pilot)
            found.append(seen(app))
    return found


@pytest.mark.parametrize("seed", range(3))
async def test_shows_what_the_librarys_shows_after_any_keys(seed: int) -> None:
    chosen = Random(seed)
    pressed = [*"rock at the tree", *(chosen.choice(PRESSED) for _ in range(40)), *["backspace"] * 20]
    pressed = ["space" if key == " " else key for key in pressed]
    assert await shown_of(LineInput, pressed) == await shown_of(Input, pressed)


async def test_a_letter_lays_nothing_out(monkeypatch: pytest.MonkeyPatch) -> None:
    app = OneBox(LineInput)
    async with app.run_test(size=(30, 4)) as pilot:
        await pilot.press("x")
        await settled(pilot)
        laid_out = []
        lay_out = app.screen._refresh_layout
        monkeypatch.setattr(app.screen, "_refresh_layout", lambda *given, **named: laid_out.append(given) or lay_out(*given, **named))
        await pilot.press("x", "y")
        await settled(pilot)
        assert (laid_out, app.query_one(Input).value) == ([], "xxy")
