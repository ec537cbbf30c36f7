"""What another laptop saves while a job is open, for the Pilot tests."""

import os
import shutil
from collections.abc import Awaitable, Callable
from datetime import timedelta
from pathlib import Path

from textual.pilot import Pilot

from engine.job.file.store import load, save
from engine.job.model.job import Job
from tests.demo import AT
from tests.tui.driving import until, until_saved
from tui.app import LinewalkApp


def apart(path: Path, edit: Callable[[Job], Job]) -> Callable[[Pilot[int]], Awaitable[None]]:
    """The other laptop's copy, made from the file as it stands now; what is given puts it into the file's place, and waits for it."""
    other = path.with_name("theirs.toml")
    shutil.copy(path, other)
    there = load(other)
    save(there, edit(there.job), AT + timedelta(hours=1))

    async def comes_in(pilot: Pilot[int]) -> None:
        assert isinstance(pilot.app, LinewalkApp)
        hand = pilot.app.hand
        assert hand is not None
        before = hand.job
        os.replace(other, path)
        await until(pilot, lambda: hand.job is not before and hand.working.saved)
        await until_saved(pilot)

    return comes_in


async def saved_there(pilot: Pilot[int], path: Path, edit: Callable[[Job], Job]) -> None:
    """The other laptop saves into the same file, and it is here."""
    assert isinstance(pilot.app, LinewalkApp)
    hand, there = pilot.app.hand, load(path)
    assert hand is not None
    before = hand.job
    save(there, edit(there.job), AT + timedelta(hours=1))
    await until(pilot, lambda: hand.job is not before)
    await until_saved(pilot)
