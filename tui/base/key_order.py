"""What is typed is taken in the order it was typed: the next key goes on once all that the one before set off is done.

A key bound before its widget would otherwise be served at once, while the letters typed before it still wait in the widget's queue: a value
that arrives in one burst with its Enter would be saved without its last letters, or not at all.

A line feed is an Enter: that is what a terminal makes of one that is typed before the program has it to itself.
"""

import asyncio
from collections import deque
from collections.abc import Awaitable, Callable
from time import monotonic
from typing import Any

from textual.app import App
from textual.events import Event, Key, Paste
from textual.message_pump import MessagePump
from textual.widget import Widget
from textual.widgets import Input

LONGEST_S = 5.0
"""How long the next key waits at most, should a key's work never end; and how long keys wait for one job that is being opened."""
MOMENT_S = 0.01
ENDS = ("ctrl+c", "ctrl+q")
"""Keys that wait for no job that a slow disk hasn't read yet."""
LINE_FEED = "ctrl+j"


class KeyOrder:
    """Hands on keys and pastes one at a time; what comes meanwhile waits."""

    def __init__(self, app: App[Any], hand_on: Callable[[Event], Awaitable[None]], fail: Callable[[Exception], None]) -> None:
        self._app, self._hand_on, self._fail = app, hand_on, fail
        self._waiting: deque[Event] = deque()
        self._going_on: asyncio.Task[None] | None = None
        self._opening_since = 0.0

    @property
    def at_rest(self) -> bool:
        """Whether nothing typed waits or is being worked on."""
        return self._going_on is None

    async def take(self, event: Event) -> None:
        """One event as it comes in: at once where nothing is being worked on."""
        if isinstance(event, Key) and event.key == LINE_FEED:
            event = _enter()
        ends = self._opening and isinstance(event, Key) and event.key in ENDS
        if self._going_on is not None and not ends:
            self._waiting.append(event)
            return
        if not ends and isinstance(event, Key | Paste):
            self._waiting.append(event)
            self._going_on = asyncio.create_task(self._go_on())
        else:
            await self._hand_on(event)

    async def _go_on(self) -> None:
        try:
            while self._waiting and self._app.is_running:
                event = self._waiting.popleft()
                if isinstance(event, Paste):
                    event = self._one_line(event)
                await self._hand_on(event)
                if isinstance(event, Key | Paste):
                    await self._settled()
        except Exception as error:
            self._fail(error)
        finally:
            self._going_on = None

    def _one_line(self, paste: Paste) -> Paste:
        """Lines pasted into an input become one; an Enter at their end is an Enter. `pastes_one_line` says so of others."""
        focused = self._app.focused
        if not getattr(focused, "pastes_one_line", isinstance(focused, Input)) or not paste.text.strip():
            return paste
        if paste.text[-1] in "\r\n":
            self._waiting.appendleft(_enter())
        return Paste(" ".join(line.strip() for line in paste.text.strip().splitlines()))

    async def _settled(self) -> None:
        """Waits until neither the widget in hand nor what it stands in has anything left to do, the cursor stays where it is, and a
        screen that opens is drawn: what its keys are about is laid out only then. A job that is being read is waited for; once the app is
        being left there is nothing to wait for, nor a screen to ask."""
        try:
            async with asyncio.timeout(LONGEST_S):
                before: object = None
                while self._app.is_running:
                    chain = tuple((self._app.focused or self._app.screen).ancestors_with_self)
                    opened = getattr(self._app.screen, "stands", True) and not await self._still_opens()
                    quiet = opened and chain == before and all(node._message_queue.empty() for node in chain)
                    for node in chain:
                        await _worked_off(node)
                    if quiet:
                        return
                    before = chain
        except TimeoutError:
            return

    @property
    def _opening(self) -> bool:
        """Whether a job is being opened, whose screen the next key is for."""
        return getattr(self._app, "opening", False)

    async def _still_opens(self) -> bool:
        """Whether a job is being opened, and hasn't been waited for too long by all keys together; a moment later where it is."""
        if not self._opening:
            self._opening_since = 0.0
            return False
        self._opening_since = self._opening_since or monotonic()
        if waits := monotonic() - self._opening_since < LONGEST_S:
            await asyncio.sleep(MOMENT_S)
        return waits


def _enter() -> Key:
    return Key("enter", "\r")


async def _worked_off(node: MessagePump) -> None:
    """Waits until a widget has done what is in its queue by now, or is gone."""
    done = asyncio.Event()
    if not node.call_later(done.set):
        return
    waits = {asyncio.ensure_future(done.wait()), *((node.task,) if isinstance(node, Widget) else ())}
    await asyncio.wait(waits, return_when=asyncio.FIRST_COMPLETED)
    for wait in waits - {getattr(node, "_task", None)}:
        wait.cancel()
