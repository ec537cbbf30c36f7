"""A question that comes up by itself amid typing takes none of those keys for its answer."""

from pathlib import Path

import pytest

from engine.job.edit import edits
from engine.job.file.store import load, save
from engine.job.model.item_key import item_key
from tests.demo import AT
from tests.tui.driving import burst, keys, on_disk, reach, shown, until_saved
from tests.tui.in_hand import FLAG
from tui.app import LinewalkApp
from tui.boxes.choice import RESTED_S
from tui.boxes.which_box import WhichDialog
from tui.boxes.who_box import WhoDialog
from tui.screens.walk_screen import WalkScreen

DEPTH = item_key("posts.P4.driven_depth")


@pytest.mark.parametrize("typed", ["29\r", "t", "o", "to\r", " \r"])
async def test_keys_typed_as_it_comes_up_answer_nothing_and_after_a_rest_one_does(path: Path, typed: str) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        there = load(path)
        save(there, edits.tick(there.job, FLAG, AT, "Teal", needed=False), AT)
        screen.edit("flag", lambda job, at, by: edits.tick(job, FLAG, at, by))
        await until_saved(pilot)
        await burst(pilot, typed)
        assert isinstance(app.screen, WhichDialog)
        assert "none of them was taken as an answer" in " ".join(shown(app).replace("┃", " ").split())
        assert on_disk(path).checks[FLAG].by == "Teal"
        await pilot.pause(RESTED_S + 0.1)
        await keys(pilot, "t")
    assert on_disk(path).checks[FLAG].by == "Mo"


async def test_of_a_reading_that_came_in_meanwhile_the_next_one_typed_decides_nothing(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await reach(pilot, DEPTH)
        await burst(pilot, "29")
        there = load(path)
        save(there, edits.tick(there.job, DEPTH, AT, "Teal", reading_in=28), AT)
        while DEPTH not in screen.hand.job.checks:
            await pilot.pause(0.05)
        await burst(pilot, "\r30\r")
        assert "It was read twice. Which stands?" in shown(app)
        assert on_disk(path).checks[DEPTH].reading_in == 28.0
        await pilot.pause(RESTED_S + 0.1)
        await keys(pilot, "m")
    assert on_disk(path).checks[DEPTH].reading_in == 29.0


async def test_a_reading_typed_where_one_stands_already_is_kept_in_sight_and_asked_about(path: Path) -> None:
    """Space, its digits and Enter in one burst, the other laptop's reading unseen."""
    there = load(path)
    save(there, edits.tick(there.job, DEPTH, AT, "Teal", reading_in=28), AT)
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await reach(pilot, DEPTH)
        await burst(pilot, " 29\r")
        words = shown(app)
        assert "It was read twice. Which stands?" in words
        assert ('t  28", Teal' in words, 'm  29", as typed here' in words) == (True, True)
        assert on_disk(path).checks[DEPTH].reading_in == 28.0
        await pilot.pause(RESTED_S + 0.1)
        await keys(pilot, "m")
    assert on_disk(path).checks[DEPTH].reading_in == 29.0
    assert [(entry.done_by, entry.reading_in) for entry in on_disk(path).log if entry.kind == "superseded"] == [("Teal", 28.0)]


async def test_a_reading_is_nobodys_name(path: Path) -> None:
    """Who is working is asked at the first reading; the second, typed in the same burst, isn't the answer."""
    app = LinewalkApp(loaded=load(path))
    async with app.run_test(size=(80, 24)) as pilot:
        await reach(pilot, DEPTH)
        await burst(pilot, "29\r28\r")
        assert isinstance(app.screen, WhoDialog)
        assert "A name is wanted here, with letters" in shown(app)
        await burst(pilot, "Mo\r")
    tick = on_disk(path).checks[DEPTH]
    assert (tick.reading_in, tick.by) == (29.0, "Mo")
