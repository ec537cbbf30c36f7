"""What a box of the log names goes on under the name that it was given on another laptop meanwhile, by real keys."""

from pathlib import Path

import pytest
from textual.widgets import Input

from engine.job.edit import edits, entering
from engine.job.file.store import load
from engine.job.model.log_entries import ObstacleEntry, PhotoEntry
from engine.walk import walk
from tests.demo import AT
from tests.paper.photos.pictures import picture, put
from tests.tui.driving import keys, on_disk, typed, until_shown
from tests.tui.elsewhere import apart, saved_there
from tui.app import LinewalkApp
from tui.boxes.log_box import SpotDialog
from tui.boxes.photos.photo_box import PhotoDialog
from tui.screens.walk_screen import WalkScreen
from tui.working import saver as saving

SIZE = (80, 40)


@pytest.fixture(autouse=True)
def looks_often(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saving, "LOOK_S", 0.05)


def put_in(app: LinewalkApp, box: str) -> str:
    return app.screen.query_one(f"#{box}", Input).value


async def test_what_a_photo_is_of_is_called_as_it_is_now(path: Path) -> None:
    put(path.parent, "gate.jpg", picture(), at=1_776_000_000.0)
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        app.screen.chosen = "side"  # type: ignore[attr-defined]  # the walk screen's
        await keys(pilot, "l", "p")
        assert isinstance(app.screen, PhotoDialog)
        assert put_in(app, "about") == "side"
        await saved_there(pilot, path, lambda job: entering.rename(job, "gates", "side", "east"))
        assert put_in(app, "about") == "east"
        await until_shown(pilot, "gate.jpg: Apr")
        await keys(pilot, "enter")
        assert isinstance(app.screen, WalkScreen)
    assert [one.about for one in on_disk(path).log if isinstance(one, PhotoEntry)] == ["east"]


async def test_words_that_name_nothing_stay_as_they_were_typed(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "l", "p", "tab", "tab", "ctrl+u")
        await typed(pilot, "the side gate")
        await saved_there(pilot, path, lambda job: entering.rename(job, "gates", "side", "east"))
        assert put_in(app, "about") == "the side gate"


async def test_a_station_by_a_points_name_is_followed_and_so_is_its_line(path: Path) -> None:
    before = walk(on_disk(path)).survey.lines["back"]
    turn = before.vertices[1]
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        app.screen.chosen = "back"  # type: ignore[attr-defined]  # the walk screen's
        await keys(pilot, "l", "o")
        dialog = app.screen
        assert isinstance(dialog, SpotDialog)
        assert dialog.line == "back"
        dialog.query_one("#station", Input).focus()
        await keys(pilot, "ctrl+u")
        await typed(pilot, turn.lower())
        await saved_there(pilot, path, lambda job: entering.rename(entering.rename_point(job, turn, "bend"), "lines", "back", "rear"))
        assert (dialog.line, put_in(app, "station")) == ("rear", "bend")
        await keys(pilot, "enter", "enter")
    found = next(one for one in on_disk(path).log if isinstance(one, ObstacleEntry))
    after = walk(on_disk(path)).survey.lines["rear"]
    assert (found.line, after.vertices[1]) == ("rear", "bend")
    assert found.station_ft == pytest.approx(
        ((before.path[1][0] - before.path[0][0]) ** 2 + (before.path[1][1] - before.path[0][1]) ** 2) ** 0.5, abs=0.01
    )


async def test_a_station_by_a_post_is_followed_under_its_number(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        comes_in = apart(path, lambda job: edits.add_post(job, "back", 131.0, AT, "Teal"))
        screen.edit("more", lambda job, at, by: edits.add_post(job, "back", 52.0, at, by))
        await keys(pilot, "l", "o")
        app.screen.query_one("#station", Input).focus()
        await keys(pilot, "ctrl+u")
        await typed(pilot, "p17")
        await comes_in(pilot)
        assert put_in(app, "station") == "P18"


async def test_who_has_typed_nothing_isnt_asked_when_a_name_has_changed(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        app.screen.chosen = "side"  # type: ignore[attr-defined]  # the walk screen's
        await keys(pilot, "l", "p")
        await saved_there(pilot, path, lambda job: entering.rename(job, "gates", "side", "east"))
        await keys(pilot, "escape")
        assert isinstance(app.screen, WalkScreen)
