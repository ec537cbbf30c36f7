"""When a screen is painted: at once where it rested, and never twice within the interval."""

import asyncio

import pytest
from textual.app import App

from tui.base import frames as framing
from tui.base.frames import Frames

INTERVAL_S, PAINTING_S = 0.05, 0.01


async def turns() -> None:
    """Whoever can go on does."""
    for _ in range(10):
        await asyncio.sleep(0)


async def test_ticks_at_once_after_a_rest_and_then_an_interval_after_it_began(monkeypatch: pytest.MonkeyPatch) -> None:
    now, slept, over = 0.0, list[float](), asyncio.Event()
    ticked: list[float] = []

    async def sleep(seconds: float) -> None:
        slept.append(seconds)
        await over.wait()

    def painted() -> None:
        nonlocal now
        frames.pause()
        ticked.append(now)
        now += PAINTING_S

    monkeypatch.setattr(framing, "sleep", sleep)
    monkeypatch.setattr(framing, "monotonic", lambda: now)
    app: App[None] = App()
    async with app.run_test():
        frames = Frames(app, INTERVAL_S, callback=painted, pause=True)
        frames._start()
        await turns()
        assert ticked == []
        frames.resume()
        await turns()
        assert (ticked, slept) == ([0.0], [pytest.approx(INTERVAL_S - PAINTING_S)])
        frames.resume()
        await turns()
        assert ticked == [0.0]  # the interval isn't over
        now = INTERVAL_S
        over.set()
        await turns()
        assert ticked == [0.0, INTERVAL_S]
        now = 0.12
        frames.resume()
        await turns()
        assert ticked == [0.0, INTERVAL_S, 0.12]  # no beat that a rested screen has to wait for
        frames.stop()
