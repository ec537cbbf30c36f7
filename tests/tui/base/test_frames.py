"""When a screen is painted: at once where it rested, and never twice within the interval."""

import asyncio
from time import monotonic

from textual.app import App

from tui.base.frames import Frames

INTERVAL_S = 0.05


async def test_ticks_at_once_after_a_rest_and_then_an_interval_later() -> None:
    ticked: list[float] = []
    app: App[None] = App()
    async with app.run_test():
        frames = Frames(app, INTERVAL_S, callback=lambda: ticked.append(monotonic()) or frames.pause(), pause=True)  # type: ignore[func-returns-value]  # noted, then paused
        frames._start()
        await asyncio.sleep(INTERVAL_S)
        assert ticked == []
        for number in (1, 2):
            frames.resume()
            while len(ticked) < number:
                await asyncio.sleep(0)
        assert ticked[1] - ticked[0] >= INTERVAL_S
        await asyncio.sleep(2.5 * INTERVAL_S)
        frames.resume()
        for _ in range(5):
            await asyncio.sleep(0)
        assert len(ticked) == 3  # no beat that a rested screen has to wait for
        frames.stop()
