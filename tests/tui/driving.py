"""Driving the app by real keys, for the Pilot tests."""

from pathlib import Path
from time import monotonic

from textual.events import Key
from textual.pilot import Pilot

from engine.job.file.store import load
from engine.job.model.job import Job
from tui.app import LinewalkApp

LONGEST_S = 20.0
NAMES = {" ": "space", "'": "apostrophe", '"': "quotation_mark", "/": "slash", "-": "minus", ".": "full_stop", "_": "underscore"}
KEYS_OF = {"\r": "enter", "\t": "tab", "\x1b": "escape"}


def shown(app: LinewalkApp) -> str:
    """The screen as text."""
    return "\n".join("".join(segment.text for segment in strip) for strip in app.screen._compositor.render_strips())


def on_disk(path: Path) -> Job:
    """The job as its file holds it."""
    return load(path).job


async def keys(pilot: Pilot[int], *pressed: str) -> None:
    """Press keys by their names, let the screen settle, and wait until what they changed is on disk."""
    for key in pressed:
        await pilot.press(key)
    await until_saved(pilot)


async def typed(pilot: Pilot[int], text: str) -> None:
    """Type text a key at a time, as fast as a hand does, and let the screen settle."""
    await pilot.press(*(NAMES.get(character, character) for character in text))
    await until_saved(pilot)


async def until_saved(pilot: Pilot[int]) -> None:
    """Wait until nothing is on its way to the disk or from it any more, and the screen has taken in how it went."""
    app = pilot.app
    assert isinstance(app, LinewalkApp)
    await pilot.pause()
    end = monotonic() + LONGEST_S
    while not app.at_rest:
        assert monotonic() < end, "the disk never came back"
        await pilot.pause(0.002)
    await pilot.pause()


async def burst(pilot: Pilot[int], text: str) -> None:
    """All of it at once, as a slow line or a program that stood still hands it on: Enter is \\r, Tab is \\t."""
    for character in text:
        pilot.app.post_message(Key(KEYS_OF.get(character) or NAMES.get(character, character), character))
    await until_saved(pilot)
