"""Work that may take long, such as anything that waits for a disk, in a thread that never keeps the program from ending."""

import asyncio
from collections.abc import Callable
from threading import Thread
from typing import TypeVar

Result = TypeVar("Result")


async def apart(work: Callable[[], Result]) -> Result:
    """What `work` gives, or raises; the screen answers meanwhile."""
    loop = asyncio.get_running_loop()
    waiting: asyncio.Future[Result] = loop.create_future()

    def run() -> None:
        try:
            result = work()
        except Exception as error:
            _say(lambda error=error: waiting.set_exception(error))  # type: ignore[misc]  # mypy knows no default of a lambda
        else:
            _say(lambda: waiting.set_result(result))

    def _say(done: Callable[[], None]) -> None:
        if not loop.is_closed():
            loop.call_soon_threadsafe(lambda: None if waiting.done() else done())

    Thread(target=run, name="apart", daemon=True).start()
    return await waiting
