"""Driving the app by real keys, for the Pilot tests."""

from collections.abc import Callable
from pathlib import Path
from time import monotonic

from textual.events import Key
from textual.pilot import Pilot

from engine.checklist import Item
from engine.findings import STAGES
from engine.job.file.store import load
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from tui.app import LinewalkApp
from tui.screens.walk_screen import WalkScreen

LONGEST_S, MOST_A_LOOK_S = 20.0, 1.0
NAMES = {" ": "space", "'": "apostrophe", '"': "quotation_mark", "/": "slash", "-": "minus", ".": "full_stop", "_": "underscore"}
KEYS_OF = {"\r": "enter", "\t": "tab", "\x1b": "escape"}


class Patience:
    """How long something is waited for. Where the whole machine stood still between two looks little of that counts: nothing could come."""

    def __init__(self, longest_s: float = LONGEST_S) -> None:
        self.left_s, self.looked = longest_s, monotonic()

    @property
    def lasts(self) -> bool:
        """Whether it goes on; asked at every look."""
        before, self.looked = self.looked, monotonic()
        self.left_s -= min(self.looked - before, MOST_A_LOOK_S)
        return self.left_s > 0


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
    patience = Patience()
    while not await _still_at_rest(pilot, app):
        assert patience.lasts, f"it never came to rest: {_under_way(app)}"
        await pilot.pause(0.002)


async def until_shown(pilot: Pilot[int], words: str) -> None:
    """Wait until these words are painted: behind a box that is a moment after they are known."""
    app, patience = pilot.app, Patience()
    assert isinstance(app, LinewalkApp)
    while words not in shown(app):
        assert patience.lasts, shown(app)
        await pilot.pause(0.01)


async def until(pilot: Pilot[int], so: Callable[[], object]) -> None:
    """Wait until something is so that comes by itself: another laptop's save."""
    patience = Patience()
    while not so():
        assert patience.lasts, "it never came"
        await pilot.pause(0.05)


async def _still_at_rest(pilot: Pilot[int], app: LinewalkApp) -> bool:
    """Whether it is at rest, and still once all that was on its way has been done: a box may just be about to open."""
    if not app.at_rest:
        return False
    await pilot.pause()
    return app.at_rest


def _under_way(app: LinewalkApp) -> str:
    """What isn't at rest, for who has to find out why."""
    screens = [(type(screen).__name__, getattr(screen, "at_rest", True), getattr(screen, "stands", True)) for screen in app.screen_stack]
    working = "no job" if app.hand is None else f"sent {app.hand.working.sent is not None}, saver at rest {app.hand.saver.at_rest}"
    key = app.key_order._going_on
    stack = "none" if key is None else "".join(map(str, key.get_stack()))
    return f"screens (at rest, stand) {screens}; {working}; opening {app.opening}; batches {app._batch_count}; a key's work {stack}"


async def burst(pilot: Pilot[int], text: str) -> None:
    """All of it at once, as a slow line or a program that stood still hands it on: Enter is \\r, Tab is \\t."""
    for character in text:
        pilot.app.post_message(Key(KEYS_OF.get(character) or NAMES.get(character, character), character))
    await until_saved(pilot)


def at(app: LinewalkApp) -> ItemKey | None:
    """The item in the cell under the cursor of the sheet."""
    screen = app.screen
    assert isinstance(screen, WalkScreen)
    line = screen.sheet.cursor.cell.line
    return None if line is None else line.item.key


async def reach(pilot: Pilot[int], key: ItemKey) -> None:
    """By keys into the cell of an item, and wait until all is on disk."""
    await until_saved(pilot)
    await go_to(pilot, key)
    await until_saved(pilot)


async def go_to(pilot: Pilot[int], key: ItemKey) -> None:
    """By keys into the cell of an item: its stage, up to the first row, down the names, along the row."""
    screen = pilot.app.screen
    assert isinstance(screen, WalkScreen)
    for pressed in (f"alt+{STAGES.index(key.stage) + 1}", "home", "home"):  # type: ignore[arg-type]  # a key of ours names a stage
        await pilot.press(pressed)
    cursor = screen.sheet.cursor
    while cursor.column:
        await pilot.press("left")
    line, column = next((line, column) for line, column, asked in cursor.asked() if asked.item.key == key)
    for _ in range(400):
        if cursor.at == line:
            break
        await pilot.press("down")
    while cursor.column < column:
        await pilot.press("right")
    await pilot.pause()
    assert (cursor.at, cursor.column) == (line, column)


def wanted(item: Item) -> str:
    """A reading that passes, as a crew types it."""
    reading = item.reading
    assert reading is not None
    value = next(number for number in (reading.wanted, reading.low, reading.high) if number is not None)
    marks = 8 if reading.unit == "in" else 96
    for eighths in range(-4, 5):
        tried = (round(value * marks) + eighths) / marks
        if tried >= 0 and reading.passes(tried):
            return reading.words(tried)
    raise AssertionError(f"no reading passes for {item.key}")
