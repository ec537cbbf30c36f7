"""Driving the app by real keys, for the Pilot tests."""

from textual.pilot import Pilot

from tui.app import LinewalkApp

NAMES = {" ": "space", "'": "apostrophe", '"': "quotation_mark", "/": "slash", "-": "minus", ".": "full_stop", "_": "underscore"}


def shown(app: LinewalkApp) -> str:
    """The screen as text."""
    return "\n".join("".join(segment.text for segment in strip) for strip in app.screen._compositor.render_strips())


async def keys(pilot: Pilot[int], *pressed: str) -> None:
    """Press keys by their names and let the screen settle."""
    for key in pressed:
        await pilot.press(key)
    await pilot.pause()


async def typed(pilot: Pilot[int], text: str) -> None:
    """Type text a key at a time, as fast as a hand does, and let the screen settle."""
    await pilot.press(*(NAMES.get(character, character) for character in text))
    await pilot.pause()
