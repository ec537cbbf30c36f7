"""What is typed in a box of the log stays when another laptop's work comes in: judged against that, and told anew before it counts."""

from pathlib import Path

import pytest
from textual.widgets import Input

from engine.job.edit import edits, entering
from engine.job.file.store import load
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import MoveEntry, NoteEntry, RerouteEntry
from tests.demo import AT, accepted
from tests.tui.driving import keys, on_disk, reach, shown, typed, until_shown
from tests.tui.elsewhere import apart, saved_there
from tests.tui.in_hand import noted, signed
from tui.app import LinewalkApp
from tui.boxes.change.move import MoveDialog
from tui.boxes.change.new_way_box import NewWayDialog
from tui.boxes.change.preview import CAME
from tui.boxes.choice import Ask
from tui.screens.walk_screen import WalkScreen
from tui.working import saver as saving

SIZE = (80, 40)


@pytest.fixture(autouse=True)
def looks_often(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saving, "LOOK_S", 0.05)


@pytest.fixture
def job() -> Job:
    """K1 surveyed beside the back line of the demo."""
    beside = {"method": "offset", "point": "K1", "base_from": "M", "base_to": "C", "along_ft": 20, "offset_ft": 5, "side": "right"}
    return entering.add(accepted(), "shots", "K1", beside)


def said(app: LinewalkApp) -> str:
    return " ".join(shown(app).replace("┃", " ").split())


def in_box(app: LinewalkApp) -> dict[str, str]:
    return {box.id or "": box.value for box in app.screen.query(Input)}


def moves(path: Path) -> list[tuple[str, str, float, str]]:
    return [(one.by, one.post, one.along_ft, one.why) for one in on_disk(path).log if isinstance(one, MoveEntry)]


async def test_a_move_is_judged_against_one_that_came_in_and_counts_once_that_was_read(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, item_key("posts.P6.driven_depth"))
        await keys(pilot, "m")
        await typed(pilot, "6 in")
        await keys(pilot, "enter", "enter")
        await typed(pilot, "roots")
        before = said(app)
        await saved_there(pilot, path, lambda job: edits.move_post(job, "P6", AT, "Teal", along_ft=1.0))
        assert in_box(app) == {"along": "6 in", "out": "", "why": "roots"}
        assert said(app) != before
        await keys(pilot, "enter")
        assert isinstance(app.screen, MoveDialog)
        assert CAME in said(app)
        assert [one[0] for one in moves(path)] == ["Teal"]
        await keys(pilot, "enter")
        assert isinstance(app.screen, WalkScreen)
    assert moves(path) == [("Teal", "P6", 1.0, ""), ("Mo", "P6", 0.5, "roots")]


async def test_a_move_that_what_came_in_does_nothing_to_is_logged_by_its_one_enter(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, item_key("posts.P6.driven_depth"))
        await keys(pilot, "m")
        await typed(pilot, "6 in")
        await keys(pilot, "enter", "enter")
        await saved_there(pilot, path, lambda job: noted("wet here")(job, AT, "Teal"))
        await keys(pilot, "enter")
        assert isinstance(app.screen, WalkScreen)
    assert moves(path) == [("Mo", "P6", 0.5, "")]


async def test_an_offer_of_a_move_stands_in_the_boxes_and_others_are_looked_for(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, item_key("posts.P6.driven_depth"))
        await keys(pilot, "m")
        await until_shown(pilot, "Offers that break no rule")
        box = app.screen
        assert isinstance(box, MoveDialog)
        offered = box.found
        nth = next(n for n, offer in enumerate(offered) if offer.kind == "move")
        await keys(pilot, *["down"] * (nth + 1), "enter")
        along = in_box(app)["along"]
        assert along
        await saved_there(pilot, path, lambda job: edits.move_post(job, "P7", AT, "Teal", along_ft=1.0))
        assert in_box(app)["along"] == along
        await until_shown(pilot, "Offers that break no rule")
        assert box.found != offered


async def test_a_move_goes_to_its_post_under_the_number_that_it_got_meanwhile(path: Path) -> None:
    """Mo's P17 becomes P18: the P17 of another laptop was logged before it."""
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        comes_in = apart(path, lambda job: edits.add_post(job, "back", 131.0, AT, "Teal"))
        screen.edit("more", lambda job, at, by: edits.add_post(job, "back", 52.0, at, by))
        await keys(pilot)
        screen.chosen = "P17"
        await keys(pilot, "m")
        await typed(pilot, "6 in")
        await comes_in(pilot)
        assert "Move P18" in shown(app)
        await keys(pilot, *["enter"] * 4)
        assert isinstance(app.screen, WalkScreen)
        assert screen.chosen == "P18"
    assert moves(path) == [("Mo", "P18", 0.5, "")]


async def test_a_post_that_was_left_out_meanwhile_cant_move_and_the_box_says_so(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, item_key("posts.P6.driven_depth"))
        await keys(pilot, "m")
        await typed(pilot, "6 in")
        await saved_there(pilot, path, lambda job: edits.drop_post(job, "P6", AT, "Teal"))
        await keys(pilot, "enter", "enter", "enter", "enter")
        assert isinstance(app.screen, MoveDialog)
        assert "P6 was taken out of the plan on another laptop meanwhile." in said(app)
        assert in_box(app)["along"] == "6 in"
    assert moves(path) == []


async def test_a_new_way_is_judged_against_what_came_in_and_counts_once_that_was_read(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "l", "w")
        for answer in ("p5", "p9", "k1", ""):
            await typed(pilot, answer)
            await keys(pilot, "enter")
        await typed(pilot, "pond")
        await saved_there(pilot, path, lambda job: edits.tick(job, item_key("posts.P6.driven_depth"), AT, "Teal", reading_in=22.0))
        assert in_box(app) | {"stays": ""} == {"from": "p5", "to": "p9", "through": "k1", "stays": "", "why": "pond"}
        assert "P6" in said(app)
        await keys(pilot, "enter")
        assert isinstance(app.screen, NewWayDialog)
        assert CAME in said(app)
        await keys(pilot, "enter")
        assert isinstance(app.screen, WalkScreen)
    entry = on_disk(path).log[-1]
    assert isinstance(entry, RerouteEntry)
    assert (entry.from_post, entry.to_post, entry.through, entry.why, entry.by) == ("P5", "P9", ("K1",), "pond", "Mo")


async def test_the_supports_of_a_new_way_are_followed_under_their_names_now(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "l", "w")
        for answer in ("p5", "p9", "k1", ""):
            await typed(pilot, answer)
            await keys(pilot, "enter")
        await saved_there(pilot, path, lambda job: entering.rename_point(job, "K1", "pond"))
        assert in_box(app)["through"] == "pond"
        await keys(pilot, "enter", "enter")
        assert isinstance(app.screen, WalkScreen)
    entry = on_disk(path).log[-1]
    assert isinstance(entry, RerouteEntry)
    assert entry.through == ("pond",)


async def test_a_note_that_cant_be_logged_any_more_stays_in_its_box(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "l", "n")
        await typed(pilot, "hit clay")
        await saved_there(pilot, path, lambda job: signed(job, AT, "Teal"))
        await keys(pilot, "enter")
        assert isinstance(app.screen, Ask)
        assert app.screen.query_one(Input).value == "hit clay"
        assert "signed off" in [str(one.message) for one in app._notifications][-1]
    assert not [one for one in on_disk(path).log if isinstance(one, NoteEntry)]


async def test_a_reason_that_cant_be_kept_any_more_stays_in_its_box(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, item_key("posts.P6.driven_depth"))
        await keys(pilot, "x")
        assert isinstance(app.screen, Ask)
        await typed(pilot, "ledge")
        await saved_there(pilot, path, lambda job: signed(job, AT, "Teal"))
        await keys(pilot, "enter")
        assert isinstance(app.screen, Ask)
        assert app.screen.query_one(Input).value == "ledge"
