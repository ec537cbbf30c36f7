"""How soon something is seen: from the command to the first paint on a real pseudo-terminal, and from a key to the painted screen."""

import fcntl
import os
import pty
import select
import struct
import subprocess
import sys
import termios
from pathlib import Path
from time import monotonic, perf_counter

from textual.pilot import Pilot

from engine.job.file.store import load
from tests.bench.empty_app import TITLE
from tests.bench.timing import Told
from tests.tui.driving import until_saved
from tui.app import LinewalkApp
from tui.screens.walk_screen import WalkScreen

SIZE = (120, 36)
PATIENCE_S = 30.0


def first_paint(file: Path, title: str, times: int = 3) -> list[Told]:
    """From starting Python to the job's title on the terminal, against our imports and an empty table."""
    ours = min(_seen_ms(["-m", "tui.cli", str(file)], title) for _ in range(times))
    empty = min(_seen_ms(["-m", "tests.bench.empty_app"], TITLE) for _ in range(times))
    return [Told("start to first paint of the 2,000 ft job", ours, "ms", "empty table", empty)]


def _seen_ms(args: list[str], words: str) -> float:
    """Milliseconds until `words` come out of a program on a terminal of our size; the program is ended then."""
    outer, inner = pty.openpty()
    fcntl.ioctl(inner, termios.TIOCSWINSZ, struct.pack("HHHH", SIZE[1], SIZE[0], 0, 0))
    env = {**os.environ, "TERM": "xterm-256color", "COLORTERM": "truecolor", "TEXTUAL_ANIMATIONS": "none"}
    start = perf_counter()
    program = subprocess.Popen([sys.executable, *args], stdin=inner, stdout=inner, stderr=inner, env=env, start_new_session=True)
    os.close(inner)
    try:
        _read_until(outer, words.encode())
        return (perf_counter() - start) * 1000
    finally:
        program.terminate()
        program.wait()
        os.close(outer)


def _read_until(outer: int, wanted: bytes) -> None:
    seen = b""
    end = monotonic() + PATIENCE_S
    while wanted not in seen:
        if not select.select([outer], [], [], max(0.0, end - monotonic()))[0]:
            raise TimeoutError(f"never painted {wanted!r}; last: {seen[-300:]!r}")
        seen += os.read(outer, 65536)


async def keys(file: Path) -> list[Told]:
    """From a key to the screen at rest again: a tick, a move's preview and the accepted move, against a key that does nothing."""
    app = LinewalkApp(loaded=load(file), by="Bench")
    async with app.run_test(size=SIZE) as pilot:
        idle = min([await _press_ms(pilot, "f12") for _ in range(9)])
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        screen.stage = "layout"
        await pilot.pause()
        revision = screen.working.loaded.heading.revision
        tick = min([await _press_ms(pilot, "space") for _ in range(9)])
        assert screen.working.loaded.heading.revision == revision + 9
        screen.chosen = next(name for name, post in screen.working.job.posts.items() if post.kind == "line" and post.support == "driven")
        opened = await _press_ms(pilot, "m")
        preview = min([await _press_ms(pilot, "ctrl+down") for _ in range(5)])
        await pilot.press("enter", "enter")
        accepted = await _press_ms(pilot, "enter")
        assert screen.working.loaded.heading.revision == revision + 10
    against = "a key that does nothing"
    return [
        Told("key to screen: a tick", tick, "ms", against, idle),
        Told("key to screen: the move dialog", opened, "ms", against, idle),
        Told("key to screen: 3 in more of a move, with what it changes", preview, "ms", against, idle),
        Told("key to screen: the move accepted", accepted, "ms", against, idle),
    ]


async def _press_ms(pilot: Pilot[int], key: str) -> float:
    start = perf_counter()
    await pilot.press(key)
    await pilot.pause()
    took_ms = (perf_counter() - start) * 1000
    await until_saved(pilot)
    return took_ms
