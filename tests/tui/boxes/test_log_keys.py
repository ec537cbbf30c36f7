"""What happened, by real keys: tree, post added, post left out, note; every one in the file and taken back by one key."""

from math import hypot
from pathlib import Path

import pytest

from engine.calc.units import METRES
from engine.job.file.store import load, new
from engine.job.model.job import Job
from engine.job.model.log_entries import AddEntry, DeliveryEntry, DropEntry, NoteEntry, ObstacleEntry, SwapEntry, live
from engine.walk import walk
from tests.demo import AT, demo
from tests.job.file.test_typed_lengths import of_units
from tests.stages.flat_yards import logged, posts, straight
from tests.tui.boxes.change.test_move import looked
from tests.tui.driving import burst, keys, shown, typed
from tui.app import LinewalkApp
from tui.boxes.change.move import MoveDialog
from tui.boxes.change.preview import ChangeDialog
from tui.screens.walk_screen import WalkScreen


@pytest.fixture
def job() -> Job:
    return demo()


async def test_tree_add_leave_out_and_note_are_in_the_file(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "2", "a")

        screen.chosen = "P14"
        await keys(pilot, "l", "a")
        await typed(pilot, "236")
        await keys(pilot, "tab", "tab")
        await typed(pilot, "long bay")
        await keys(pilot, "enter")
        assert isinstance(app.screen, ChangeDialog)
        assert not any(isinstance(entry, AddEntry) for entry in load(path).job.log)
        assert "P17 added on back" in shown(app)
        await keys(pilot, "enter")
        added = load(path).job.log[-1]
        assert isinstance(added, AddEntry)
        assert (added.post, added.line, added.station_ft, added.why) == ("P17", "back", 236.0, "long bay")
        there = screen.hand.walk.layout.supports["P17"].xy
        assert added.place == pytest.approx(there, abs=1e-3)

        screen.chosen = "P15"
        await keys(pilot, "l", "d", "enter")
        await typed(pilot, "not needed now")
        await keys(pilot, "enter", "enter")
        dropped = load(path).job.log[-1]
        assert isinstance(dropped, DropEntry)
        assert (dropped.post, dropped.why) == ("P15", "not needed now")
        assert "P15" not in screen.hand.walk.layout.supports

        screen.chosen = "P11"
        await keys(pilot, "l", "t", "enter")
        assert 'dogwood  13\' 0" away, 12 5/8" round, carries nothing yet' in shown(app)
        await keys(pilot, "home", "enter")
        assert load(path).job.log[-1] == dropped
        assert "! Tree dogwood is 4 in through, under 6 in: it carries no cables." in shown(app)
        await keys(pilot, "home", "down", "enter")
        assert "! Tree oak carries the cables of P7 already." in shown(app)
        await keys(pilot, "escape")
        assert load(path).job.log[-1] == dropped

        screen.chosen = "side"
        await keys(pilot, "l", "n")
        await typed(pilot, "opens inwards")
        await keys(pilot, "enter")
        note = load(path).job.log[-1]
        assert isinstance(note, NoteEntry)
        assert (note.about, note.text) == ("side", "opens inwards")

        await keys(pilot, "u", "u", "u")
        assert "P17" not in screen.hand.walk.layout.supports
        assert "P15" in screen.hand.walk.layout.supports


async def test_a_tree_takes_the_cables_and_a_rock_at_a_post_leads_to_where_it_goes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """P3 stands 1 ft on and 1' 6" left of where it was planned; the rock is logged there, offset and all, by Enter alone."""
    move = logged("move", post="P3", along_ft=1.0, out_ft=-1.5)
    oak = {"oak": {"point": "K", "diameter_in": 12}}
    job = straight(80, {"K": (0.5, 21.0)}, posts=posts("n", 0, 20, 40, 60, 80), trees=oak, log=[move])
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    path = new(tmp_path / "row.toml", job, AT, state=tmp_path / "state").path
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "2")
        screen.chosen = "P2"
        await keys(pilot, "l", "t", "enter", "enter", "enter")
        swapped = load(path).job.log[-1]
        assert isinstance(swapped, SwapEntry)
        assert (swapped.post, swapped.tree) == ("P2", "oak")
        assert screen.hand.walk.layout.supports["P2"].support == "tree"

        screen.chosen = "P3"
        await keys(pilot, "l", "o", "tab", "tab", "5", "0", "enter", "enter")
        apart = load(path).job.log[-1]
        assert isinstance(apart, ObstacleEntry)
        assert (apart.station_ft, apart.offset_ft) == (50.0, 0.0), "how far off P3 stands is said of its own station only"
        screen.chosen = "P3"
        await keys(pilot, "u", "l", "o", "enter", "enter")
        rock = load(path).job.log[-1]
        assert isinstance(rock, ObstacleEntry)
        assert (rock.line, rock.station_ft, rock.offset_ft, rock.radius_ft) == ("n", 41.0, -1.5, 1.0)
        assert isinstance(app.screen, MoveDialog)
        await looked(pilot, app)
        await keys(pilot, "down", "enter", "enter")
        job = load(path).job
        assert [entry.kind for entry in live(job.log)] == ["move", "swap", "obstacle", "move"]
        assert hypot(walk(job).layout.supports["P3"].east_ft + 1.5, walk(job).layout.supports["P3"].north_ft - 41) >= 0.99
        await keys(pilot, "u", "u", "u")
        assert screen.hand.walk.layout.supports["P2"].support == "driven"


async def test_escape_leaves_every_question_without_a_change(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "2", "a")
        before = path.read_bytes()
        for letter in "omtadcin":
            await keys(pilot, "l", letter, "escape")
            while not isinstance(app.screen, WalkScreen):
                await keys(pilot, "escape")
    assert path.read_bytes() == before


async def test_a_delivery_is_in_the_file_counts_on_the_truck_and_is_taken_back(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "2", "a", "l", "i")
        await keys(pilot, "enter")
        assert "What came: pick it by a word of its name" in shown(app)
        await typed(pilot, "stak")
        assert "stakes 12 in" in shown(app)
        await keys(pilot, "enter")
        assert "Packs: say how much came" in shown(app)
        await typed(pilot, "1.5")
        await keys(pilot, "enter")
        assert "Packs: they are whole" in shown(app)
        await keys(pilot, "backspace", "backspace", "tab")
        await typed(pilot, "20")
        await keys(pilot, "tab")
        await typed(pilot, "the yard van")
        await keys(pilot, "tab")
        await typed(pilot, "two boxes wet")
        await keys(pilot, "enter")
        words = " ".join(shown(app).split())
        assert "stakes 12 in came, brought by the yard van" in words
        assert "Ways out for a dog: none before, none after." in words
        assert "apron stakes 12 in loaded and came 100 170" in words
        assert not any(isinstance(entry, DeliveryEntry) for entry in load(path).job.log)
        await keys(pilot, "enter")
        came = load(path).job.log[-1]
        assert isinstance(came, DeliveryEntry)
        assert (came.stock, came.packs, came.loose, came.brought_by, came.text) == ("stake", 1, 20, "the yard van", "two boxes wet")
        row = next(row for row in screen.hand.walk.takeoff.rows if row.stock == "stake")
        assert (row.delivered, row.loose) == (1, 20)

        await keys(pilot, "u")
        assert [notice.message for notice in app._notifications] == ["Taken back: apron stakes 12 in came in"]
        struck = load(path).job.log[-1]
        row = next(row for row in screen.hand.walk.takeoff.rows if row.stock == "stake")
        assert (struck.kind == "delivery" and struck.struck_at is not None) or struck.kind == "planned"
        assert (row.delivered, row.loose) == (0, 0)


async def test_a_post_that_was_left_out_is_not_moved(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "2", "a")
        screen.chosen = "P15"
        await keys(pilot, "l", "d", "enter")
        await typed(pilot, "not needed now")
        await keys(pilot, "enter", "enter")

        screen.chosen = "P15"
        await keys(pilot, "m")

        assert "Which post moves" in shown(app)


@pytest.mark.parametrize(
    ("letters", "text", "kind"),
    [("o", "\t\t80\t\t\ta soft rock\r", "obstacle"), ("a", "80\t\tlong bay\r", "add"), ("d\r", "not needed\r", "drop"),
     ("i", "stak\t2\t\tMo\r", "delivery")],
)  # fmt: skip
async def test_who_leaves_what_it_does_is_back_in_the_box_as_it_was_filled_in(path: Path, letters: str, text: str, kind: str) -> None:
    """One burst up to the Enter that shows it; Esc there changes nothing, and the same Enter twice more logs it."""
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "2", "a")
        before = path.read_bytes()
        await burst(pilot, "l" + letters + text)
        assert isinstance(app.screen, ChangeDialog)
        await keys(pilot, "escape")
        assert not isinstance(app.screen, WalkScreen | ChangeDialog)
        assert path.read_bytes() == before
        await burst(pilot, "\r\r")
        assert load(path).job.log[-1].kind == kind
        assert len(load(path).job.log) == 2


async def test_a_tree_moves_nowhere_and_is_left_out_where_it_was_chosen(path: Path) -> None:
    """P13 is the hickory."""
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "2", "a")
        screen.chosen = "P13"
        await burst(pilot, "m6in\r")
        assert isinstance(app.screen, MoveDialog)
        assert "Along the line: P13 is tree hickory, which stays where it grows." in shown(app)
        await keys(pilot, "escape", "y")
        assert [entry.kind for entry in load(path).job.log] == ["planned"]
        await burst(pilot, "ld\rrotten\r\r")
        dropped = load(path).job.log[-1]
        assert isinstance(dropped, DropEntry)
        assert (dropped.post, dropped.why) == ("P13", "rotten")


async def test_loose_metres_stand_in_the_file_as_they_were_typed(path: Path) -> None:
    path = new(path.parent / "metric.toml", of_units(demo(), METRES), AT, state=path.parent / "state").path
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "2", "a", "l", "i")
        await typed(pilot, "plastic mesh, 48")
        await keys(pilot, "down", "tab", "tab")
        await typed(pilot, "12,3")
        await keys(pilot, "enter", "enter")
    text = path.read_text(encoding="utf-8")
    assert 'loose = "12.3 m"' in text
    came = load(path).job.log[-1]
    assert isinstance(came, DeliveryEntry)
    assert (came.stock, came.loose) == ("mesh-48", pytest.approx(12.3 / 0.3048))
