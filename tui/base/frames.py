"""When a screen is painted: at once where it rested, and again a little later at the soonest. The library's timer keeps a beat, for which a
second painting waits up to two frames while nothing else is done."""

from asyncio import sleep
from time import monotonic

from textual.timer import Timer


class Frames(Timer):
    """Ticks as soon as it is resumed, and from then on no sooner than its interval after it last began to."""

    async def _run(self) -> None:
        count = 0
        while True:
            await self._active.wait()
            began = monotonic()
            count += 1
            await self._tick(next_timer=began, count=count)
            await sleep(self._interval - (monotonic() - began))
