"""A box that can't be accepted names the field that is wrong and puts the cursor there, by real keys; nothing typed is lost over it."""

from pathlib import Path

import pytest

from engine.job.file.store import load
from engine.job.model.item_key import item_key
from engine.job.model.log_entries import AddEntry, DeliveryEntry, MoveEntry, ObstacleEntry
from tests.tui.driving import burst, keys, on_disk, reach, shown
from tui.app import LinewalkApp
from tui.screens.walk_screen import WalkScreen
from tui.widgets.word_select import WordSelect

SIZE = (80, 24)
WRONG = {
    "obstacle, station unread": ("lo\t\tabc\r", "station", "! Station along it: abc is no point and no post of this job"),
    "obstacle, past its end": ("lo\t\t999\r", "station", "! Station along it: back is"),
    "obstacle, far off": ("lo\t\t12\t40\r", "offset", "! Off the line: 40' 0\" right of back is further off it than a bay"),
    "obstacle, too far off": ("lo\t\t\t999999\r", "offset", "! Off the line: "),
    "obstacle, clear too far round": ("lo\t\t\t\t300\r", "radius", "! Keep clear all round: 300' 0\" clear all round is more than a bay"),
    "obstacle, too long": ("lo\t\t\t\t\t\t500\r", "long", "! Long, along the line: 500' 0\" is longer than back, which is"),
    "obstacle, too wide": ("lo\t\t\t\t\t\t\t90\r", "wide", "! Wide, across it: 90' 0\" reaches further to both sides than a bay"),
    "obstacle, size below nothing": ("lo\t\t\t\t\t\t-3\r", "long", "! Long, along the line: "),
    "add, in a gate": ("la18\r", "station", "! Station along it: 18' 0\" on back is in the opening of gate side"),
    "add, too far off": ("la\t300\r", "offset", "! Off the line: 300' 0\" right of back"),
    "move, along unread": ("mabc\r", "along", "! Along the line: abc is not a length"),
    "move, out unread": ("m1\r2x\r", "out", "! Out from the line: 2x is not a length"),
    "add, before its line": ("la-5\r", "station", "! Station along it: -5' 0\" is out of range: it must be at least 0'."),
    "move, past its neighbour": ("m300\r", "along", "! Along the line: "),
    "move, too far off": ("m\r300\r", "out", "! Out from the line: "),
    "move, nowhere": ("m\r\rrock\r", "along", "! Along the line: P6 moves nowhere yet."),
    "delivery, of nothing known": ("lixyz\r", "stock", '! What came: nothing is called "xyz"'),
    "delivery, of several": ("lica\r", "stock", '! What came: "ca" may mean'),
    "delivery, packs unread": ("listak\tmany\r", "packs", '! Packs: "many" is not a number of packs.'),
    "delivery, too many": ("listak\t9999999\r", "packs", "! Packs: "),
    "delivery, too many loose": ("listak\t\t9999999\r", "loose", "! Loose: "),
    "new way, from nowhere": ("lwp9\r|shift+tab||shift+tab|xy\r", "from", "! From: "),
    "new way, to nowhere": ("lwxy\r", "to", "! To: xy is not in the accepted plan."),
    "new way, next to it": ("lwp7\r\r", "through", "! Through points: P6 and P7 stand next to each other"),
    "new way, no such point": ("lwp9\rzz\r", "through", "! Through points: There is no point zz."),
    "new way, sleeve of another": ("lwp9\r\rp12\r", "stays", "! Sleeves that stay: No driven sleeve of P12"),
    "new way, not filled in": ("lw\r", "to", "! To: name the one support where the fence joins it again."),
    "note, empty": ("ln\r", "", "! Type some words first"),
    "who, empty": ("w|ctrl+u|\r", "who", "! A name is wanted here"),
}
"""By what is wrong: all the keys from the job on with P6 chosen, the box that has the cursor then, and what is said."""


@pytest.mark.parametrize("case", WRONG)
async def test_what_is_wrong_is_named_and_the_cursor_is_there(path: Path, case: str) -> None:
    text, box, says = WRONG[case]
    before = path.read_bytes()
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        app.screen.chosen = "P6"  # type: ignore[attr-defined]  # the walk screen's
        await pilot.pause()
        for part in text.split("|"):
            await (keys(pilot, part) if part in ("shift+tab", "ctrl+u") else burst(pilot, part))
        assert says in " ".join(shown(app).replace("┃", " ").split())
        assert not isinstance(app.screen, WalkScreen)
        assert app.focused is not None
        assert (app.focused.id or "") == box
    assert path.read_bytes() == before


async def test_a_wrong_station_is_corrected_where_the_cursor_was_put_and_all_else_stands(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await burst(pilot, "loroo\t\t999\t\t2\tmaple\r")
        assert "Station along it: back is" in shown(app)
        await keys(pilot, "ctrl+u", "9", "0")
        assert "Station along it: back is" not in shown(app)
        await keys(pilot, "enter", "enter")
    found = on_disk(path).log[-1]
    assert isinstance(found, ObstacleEntry)
    assert (found.what, found.station_ft, found.radius_ft, found.text) == ("roots", 90.0, 2.0, "maple")


async def test_a_move_that_was_refused_is_corrected_and_in_the_file(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        app.screen.chosen = "P6"  # type: ignore[attr-defined]  # the walk screen's
        await pilot.pause()
        await burst(pilot, "m300\r")
        await keys(pilot, "ctrl+u")
        await burst(pilot, "2\r\rrock\r")
    moved = on_disk(path).log[-1]
    assert isinstance(moved, MoveEntry)
    assert (moved.along_ft, moved.out_ft, moved.why) == (2.0, 0.0, "rock")


async def test_too_many_packs_are_corrected_and_in_the_file(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await burst(pilot, "listak\t9999999\t\tvan\r")
        await keys(pilot, "ctrl+u", "9", "enter", "enter")
    came = on_disk(path).log[-1]
    assert isinstance(came, DeliveryEntry)
    assert (came.stock, came.packs, came.brought_by) == ("stake", 9, "van")


async def test_a_box_for_a_post_more_starts_from_the_middle_of_the_chosen_bay(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        app.screen.chosen = "P14-P15"  # type: ignore[attr-defined]  # the walk screen's
        await pilot.pause()
        bay = app.screen.hand.walk.layout.bays["P14-P15"]  # type: ignore[attr-defined]  # the walk screen's
        await burst(pilot, "la\r\r")
    added = on_disk(path).log[-1]
    assert isinstance(added, AddEntry)
    assert (added.line, added.station_ft) == ("back", pytest.approx((bay.start_ft + bay.end_ft) / 2, abs=1 / 24))


@pytest.mark.parametrize(("pressed", "what"), [("l", "slab"), ("bed", "bed"), ("sr", "rock"), ("roo", "roots")])
async def test_first_letters_pick_what_it_is(path: Path, pressed: str, what: str) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await burst(pilot, f"lo{pressed if what != 'slab' else 's'}")
        assert isinstance(app.focused, WordSelect)
        assert app.focused.value == what
        assert "a first letter picks" in shown(app)
        await keys(pilot, "tab", "tab")
        assert "From the start of the line." in shown(app)


async def test_up_down_and_a_click_pick_what_it_is(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "l", "o", "down", "down", "up")
        what = app.screen.query_one("#what", WordSelect)
        assert what.value == "roots"
        await keys(pilot, "up", "up")
        assert what.value == "other"
        await pilot.click("#what")
        await pilot.pause()
        assert what.expanded
        await keys(pilot, "up", "enter")
        assert (what.value, what.expanded) == ("bed", False)


async def test_a_reason_is_asked_for_by_name_and_an_empty_reading_too(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, item_key("posts.P6.driven_depth"))
        await keys(pilot, "space", "enter")
        assert "What does the tape say?" in shown(app)
        await burst(pilot, "3x\r")
        assert "3x is not a length" in shown(app)
        await keys(pilot, "backspace")
        await burst(pilot, "\r\r")
        assert "It is out of range: say why it stays so." in shown(app)
        await burst(pilot, "slate\r")
    tick = on_disk(path).checks[item_key("posts.P6.driven_depth")]
    assert (tick.reading_in, tick.note) == (3.0, "slate")


async def test_sign_off_says_which_reason_is_missing(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await burst(pilot, "sone\r")
        assert "Say why number 2 stays open." in shown(app)
        assert app.focused is not None
        assert app.focused.id == "why-1"
    assert on_disk(path).record is None
