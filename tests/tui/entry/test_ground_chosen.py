"""A yard's ground chosen by a line round it, with no point invented for it, by real keys; then the file read."""

from pathlib import Path

import pytest

from engine.job.file.store import load
from engine.job.model.job import Job
from engine.walk import walk
from tests.demo import demo
from tests.tui.driving import keys, on_disk, shown, typed
from tests.tui.entry.test_slips_at_entry import downs
from tui.app import LinewalkApp
from tui.widgets.pick_input import PickInput

SIZE = (80, 24)


@pytest.fixture
def job() -> Job:
    return demo().model_copy(update={"yards": {}, "dogs": {}})


async def test_a_ground_is_chosen_by_a_word_of_it_and_shown_again_by_its_words(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", *downs("yards"), "enter")
        await typed(pilot, "back")
        await keys(pilot, "tab")
        await typed(pilot, "bac")
        await keys(pilot, "down")
        words = app.screen.query_one("#in-inside", PickInput).value
        assert words.startswith("back and house, ")
        await keys(pilot, "enter")
        assert "Yard back closes" in shown(app)
        yard = on_disk(path).yards["back"]
        assert yard.inside is None
        await keys(pilot, "escape", "right", "enter")
        assert app.screen.query_one("#in-inside", PickInput).value == words
        await keys(pilot, "tab")
        await typed(pilot, "behind the house")
        await keys(pilot, "enter")
    saved = on_disk(path)
    assert saved.yards["back"] == yard.model_copy(update={"name": "behind the house"})
    assert walk(saved).survey.yards["back"].closed
