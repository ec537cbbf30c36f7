"""A group of posts that one finding is about: who joins it and who leaves it is told before a post is left out, by real keys; then the
file."""

from pathlib import Path

import pytest

from engine.job.file.store import load
from engine.job.model.job import Job
from engine.walk import walk
from tests.demo import accepted
from tests.tui.driving import keys, on_disk, shown, typed
from tui.app import LinewalkApp
from tui.screens.walk_screen import WalkScreen


@pytest.fixture
def job() -> Job:
    return accepted()


def lifted(path: Path) -> tuple[str, ...]:
    return next(one.subjects for one in walk(on_disk(path)).findings if one.code == "post_lifted")


async def test_a_post_that_is_lifted_now_is_named_though_as_many_are_lifted_as_before(path: Path) -> None:
    assert lifted(path) == ("P9", "P3", "P2", "P12")
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(110, 60)) as pilot:
        await keys(pilot, "alt+2")
        assert isinstance(app.screen, WalkScreen)
        app.screen.chosen = "P12"
        await keys(pilot, "l", "d", "enter")
        await typed(pilot, "no need")
        await keys(pilot, "enter")
        told = " ".join(" ".join(shown(app).replace("┃", " ").split()).split())
        assert "New in it: P11's post is lifted 9 lb by its cables" in told
        assert "No more in it: P12." in told
        await keys(pilot, "enter")
    assert lifted(path) == ("P9", "P3", "P2", "P11")
