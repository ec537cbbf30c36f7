"""Hard ground and a change of height entered by keys at 80x24, found, undone and taken out; the apron page walked bay by bay."""

from pathlib import Path

import pytest

from engine.job.file.store import load, new
from engine.job.model.job import Job
from engine.walk import walk
from tests.stages.survey.test_floors import DECK, STEPS, surfaces, yard
from tests.tui.entry.test_field_entry import SIZE, filled, keys, kind, on_disk, shown, under
from tui.app import LinewalkApp
from tui.entry.entry import EntryScreen
from tui.widgets.apron_view import ApronView

GROUND = [(0.0, 0.0), (8.0, 0.0), (12.0, 2.0), (20.0, 2.0), (26.0, 0.9), (34.0, 2.2), (60.0, 2.2)]


@pytest.fixture
def job() -> Job:
    return yard(60, GROUND)


async def test_steps_and_a_deck_are_entered_corrected_undone_and_taken_out(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e")
        await kind(pilot, app, "surfaces")
        await filled(pilot, "stairs", "", "8", "12", "steps")
        assert under(app, "Treads").startswith("Treads is needed for steps")
        await filled(pilot, "4")
        assert (on_disk(path).surfaces["stairs"].tread_count, on_disk(path).surfaces["stairs"].line) == (4, "n")
        await filled(pilot, "porch", "", "11", "60", "deck", "2' 6\"")
        assert "Hard stretch stairs runs to 12' 0\" on line n and porch starts before that" in " ".join(shown(app).split())
        await filled(pilot, "40")
        porch = on_disk(path).surfaces["porch"]
        assert (porch.from_ft, porch.to_ft, porch.height_ft, porch.rail_ft) == (40.0, 60.0, 2.5, None)
        await keys(pilot, "ctrl+z")
        assert list(on_disk(path).surfaces) == ["stairs"]
        await keys(pilot, "ctrl+y", "escape")
        assert isinstance(app.screen, EntryScreen)
        codes = {finding.code for finding in walk(on_disk(path)).findings}
        assert {"gap_over_treads", "under_deck_open", "plate_pulled"} <= codes
        await keys(pilot, "right", "home", "x")
        assert list(on_disk(path).surfaces) == ["porch"]
        await keys(pilot, "u", "escape")
        assert list(on_disk(path).surfaces) == ["stairs", "porch"]


async def test_a_change_of_height_is_entered_and_its_bays_follow(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e")
        await kind(pilot, app, "heights")
        await filled(pilot, "low", "", "20", "60", "2")
        assert under(app, "Height  2").startswith('"2" is out of range')
        await filled(pilot, "4")
        assert on_disk(path).heights["low"].height_ft == 4.0
        hangs = walk(on_disk(path)).posts.hangs
        assert [hang.height_ft for hang in hangs.values()] == [6.0, 4.0, 4.0]


async def test_the_apron_page_shows_the_worst_bay_and_steps_to_the_next(path: Path) -> None:
    path.unlink()
    new(path, yard(60, GROUND, surfaces=surfaces(stairs=STEPS, porch={**DECK, "from_ft": 40.0, "to_ft": 60.0})))
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "6", "tab")
        view = app.screen.query_one(ApronView)
        assert view.has_focus
        assert view.picture is not None
        assert view.picture.id == "P1-P2"
        text = shown(app)
        assert all(word in text for word in ("apron P1-P2", "heights drawn", "I1", "apron  ", "infill", "stakes"))
        await keys(pilot, "right_square_bracket", "right_square_bracket")
        assert view.picture.id == "P3-P4"
        assert "apron P3-P4" in shown(app)
        assert shown(app).count("#") >= 4
        await keys(pilot, "left_square_bracket", "plus", "0")
        assert view.picture.id == "P2-P3"
        await keys(pilot, "7")
        assert app.screen.query_one(ApronView).picture is not None


async def test_a_rock_by_the_fence_is_told_to_a_jumping_dogs_crew(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e")
        await kind(pilot, app, "points")
        await filled(pilot, "R", "4", "30")
        await kind(pilot, app, "obstacles")
        await filled(pilot, "boulder", "rock", "r", "2", "2' 6\"")
        await kind(pilot, app, "dogs")
        await filled(pilot, "rex", "", "52", "22", "30", "y")
        assert on_disk(path).obstacles["boulder"].height_ft == 2.5
        await keys(pilot, "escape", "escape", "alt+6", "tab", "tab", "tab")
        text = " ".join(shown(app).split())
        assert "From boulder, 2' 6\" up and 2' 0\" from the fence at 30' 0\", 3' 6\" of fence is left, and rex needs 6' 0\"." in text
