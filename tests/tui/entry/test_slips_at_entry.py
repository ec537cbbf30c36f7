"""Slips at entry, by real keys: a new name goes everywhere, what is used isn't taken out, and nothing typed is lost without asking."""

from pathlib import Path

import pytest

from engine.job.edit import edits
from engine.job.file.store import load, save
from engine.job.model.item_key import item_key
from engine.job.model.log_entries import SupersededEntry
from engine.paper.as_built import build_record
from engine.walk import walk
from tests.demo import AT
from tests.tui.driving import keys, on_disk, reach, shown, typed
from tui.app import LinewalkApp
from tui.boxes.dialog import ThrowAwayDialog
from tui.entry.entry import EntryScreen
from tui.entry.entry_form import FormScreen
from tui.entry.forms import FORMS
from tui.screens.walk_screen import WalkScreen
from tui.widgets.card_view import CardView
from tui.widgets.rows import Rows

SIZE = (80, 24)
DEPTH = item_key("posts.P2.driven_depth")


def downs(kind: str) -> list[str]:
    return ["down"] * [form.kind for form in FORMS].index(kind)


async def test_a_tree_is_renamed_where_it_is_used_and_the_cursor_stays_on_it(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", *downs("trees"), "right", "down", "enter")
        await keys(pilot, "shift+tab", "ctrl+u")
        await typed(pilot, "stump")
        await keys(pilot, "enter")
        assert isinstance(app.screen, EntryScreen)
        assert app.screen.query_one("#records", Rows).current == "stump"
        assert list(on_disk(path).trees) == ["oak", "stump", "dogwood"]

        await keys(pilot, "left", "home", *downs("shots-tie"), "right", "enter")
        await typed(pilot, "M9")
        await keys(pilot, "enter", "e")
        job = on_disk(path)
        assert job.shots["tie-M"].point == "M9"  # type: ignore[union-attr]
        assert job.lines["back"].points == ("F1", "M9", "C", "F2")
        assert isinstance(app.screen, EntryScreen)
        assert app.screen.query_one("#records", Rows).current == "tie-M"


async def test_what_is_used_is_not_taken_out_and_what_is_not_leaves_the_cursor_beside_it(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", *downs("points"), "right", "x")
        assert "A is still used" in shown(app)
        assert "A" in on_disk(path).points
        assert isinstance(app.screen, EntryScreen)
        rows = app.screen.query_one("#records", Rows)
        assert rows.current == "A"
        await keys(pilot, "left", "home", *downs("trees"), "right", "end", "x")
        assert (rows.current, list(on_disk(path).trees)) == ("hickory", ["oak", "hickory"])
        await keys(pilot, "u")
        assert list(on_disk(path).trees) == ["oak", "hickory", "dogwood"]


async def test_what_a_lone_tape_or_paces_name_too_is_not_taken_out_either(path: Path) -> None:
    """Paces lead to B and tapes to F2: neither places them."""
    app, before = LinewalkApp(loaded=load(path), by="Ann"), on_disk(path)
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", *downs("points"), "right", "end", "x")
        assert "B is still used by 10 shots and structure house." in shown(app)
        await keys(pilot, "left", "home", *downs("shots-offset"), "right", "down", "x")
        assert "F2 is still used by line back, and has no place without offset-F2." in shown(app)
    assert (on_disk(path).points, on_disk(path).shots) == (before.points, before.shots)


async def test_esc_asks_before_a_form_throws_typed_fields_away(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", "enter")
        await keys(pilot, "escape")
        assert isinstance(app.screen, EntryScreen)
        await keys(pilot, "enter")
        await typed(pilot, "26-77")
        await keys(pilot, "escape")
        assert isinstance(app.screen, ThrowAwayDialog)
        await keys(pilot, "escape")
        assert isinstance(app.screen, FormScreen)
        await keys(pilot, "escape", "enter")
        await keys(pilot, "enter")
        assert on_disk(path).job.number == "26-77"
        await keys(pilot, "enter")
        await typed(pilot, "lost")
        await keys(pilot, "escape", "y")
        assert isinstance(app.screen, EntryScreen)
    assert on_disk(path).job.number == "26-77"


async def test_taking_back_in_a_form_leaves_what_is_typed(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", *downs("points"), "a")
        await typed(pilot, "Q1")
        await keys(pilot, "tab", "5", "tab", "6", "enter")
        assert "Q1" in on_disk(path).points
        await typed(pilot, "Q2")
        await keys(pilot, "tab", "7", "ctrl+z")
        assert "Q1" not in on_disk(path).points
        await keys(pilot, "tab", "tab", "8", "enter")
        point = on_disk(path).points["Q2"]
        assert (point.east_ft, point.north_ft) == (7.0, 8.0)


async def test_what_a_key_told_makes_room_for_the_box_of_the_next(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "2", "l", "n")
        await typed(pilot, "stony")
        await keys(pilot, "enter")
        assert [notice.message for notice in app._notifications] == ["P1: stony. u takes that back."]
        await keys(pilot, "s")
        assert list(app._notifications) == []
        assert "Sign off" in shown(app)


@pytest.mark.parametrize("opens", ["lo", "la", "ln", "li", "lw", "m", "s", "w"])
async def test_esc_asks_before_a_box_throws_typed_words_away(path: Path, opens: str) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        app.screen.chosen = "P3"  # type: ignore[attr-defined]  # the walk screen's
        before = on_disk(path).log
        await typed(pilot, opens)
        box = app.screen
        assert not isinstance(box, WalkScreen)
        await keys(pilot, "escape")
        assert isinstance(app.screen, WalkScreen)
        await typed(pilot, opens)
        box = app.screen
        await typed(pilot, "slab" if opens == "lo" else "5")
        await keys(pilot, "escape")
        assert isinstance(app.screen, ThrowAwayDialog)
        await keys(pilot, "n")
        assert app.screen is box
        await keys(pilot, "escape", "y")
        assert isinstance(app.screen, WalkScreen)
    assert on_disk(path).log == before


@pytest.mark.parametrize("from_stage", "13579")
@pytest.mark.parametrize(("words", "stage"), [("P10", "layout"), ("L3", "cables"), ("P1", "layout")])
async def test_find_chooses_what_it_found_in_any_stage(path: Path, from_stage: str, words: str, stage: str) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, from_stage, "slash")
        await typed(pilot, words)
        await keys(pilot, "enter", "enter")
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        assert (screen.stage, screen.chosen) == (stage, words)
        assert screen.sheet.cursor.subject == words
        if words == "L3":
            await keys(pilot, "tab", "tab")
            card = screen.query_one("#card", CardView).picture
            assert card is not None
            assert card.title.startswith("L3")
        else:
            await keys(pilot, "m")
            assert f"Move {words}" in shown(app)


async def test_who_is_working_is_asked_at_the_first_tick_and_kept_for_this_laptop(path: Path) -> None:
    app = LinewalkApp(loaded=load(path))
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "1", "space")
        assert "Who is working" in shown(app)
        await keys(pilot, "escape")
        assert on_disk(path).checks == {}
        await keys(pilot, "space", "down", "enter")
        assert [tick.by for tick in on_disk(path).checks.values()] == ["Mo"]
        assert "Mo  " in shown(app).splitlines()[0]
        await keys(pilot, "w")
        await typed(pilot, "Ann Reed")
        await keys(pilot, "enter", "space")
        assert [tick.by for tick in on_disk(path).checks.values()] == ["Mo", "Ann Reed"]
    again = LinewalkApp(loaded=load(path))
    async with again.run_test(size=SIZE) as pilot:
        await keys(pilot, "space")
    assert [tick.by for tick in on_disk(path).checks.values()] == ["Mo", "Ann Reed", "Ann Reed"]
    named = LinewalkApp(loaded=load(path), by="Teal")
    async with named.run_test(size=SIZE) as pilot:
        await keys(pilot, "9", "end", "end", "space")
    assert [tick.by for tick in on_disk(path).checks.values()][-1] == "Teal"


async def test_a_reading_is_not_wiped_by_one_key_and_its_reason_is_asked(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, DEPTH)
        await typed(pilot, "30")
        await keys(pilot, "enter", "left", "space")
        assert "Ann" in shown(app)
        await keys(pilot, "escape")
        assert on_disk(path).checks[DEPTH].reading_in == 30.0
        await keys(pilot, "space", "c")
        await typed(pilot, "29")
        await keys(pilot, "enter")
        assert on_disk(path).checks[DEPTH].reading_in == 29.0
        assert [entry.reading_in for entry in on_disk(path).log if isinstance(entry, SupersededEntry)] == [30.0]
        await keys(pilot, "left", "space", "o")
        assert DEPTH not in on_disk(path).checks
        await keys(pilot, "u")
        assert on_disk(path).checks[DEPTH].reading_in == 29.0
        await keys(pilot, "space", "o", "x")
        await keys(pilot, "enter")
        assert DEPTH not in on_disk(path).checks
        await typed(pilot, "old sleeve")
        await keys(pilot, "enter")
        tick = on_disk(path).checks[DEPTH]
        assert (tick.state, tick.note, tick.by) == ("not needed", "old sleeve", "Ann")
        await reach(pilot, DEPTH)
        assert "Not needed, Ann" in shown(app)
        assert "old sleeve" in shown(app)


async def test_esc_asks_before_it_throws_a_typed_reading_away(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await reach(pilot, DEPTH)
        await keys(pilot, "space", "escape")
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        assert screen.sheet.typing is None
        await typed(pilot, "24")
        await keys(pilot, "escape", "down", "left")
        assert "Esc again throws away what you typed." in shown(app)
        assert "24_" in shown(app)
        await keys(pilot, "escape")
        assert screen.sheet.typing is None
    assert on_disk(path).checks == {}


@pytest.mark.parametrize("key", ["space", "x", "l", "m", "a"])
async def test_a_sealed_job_says_how_it_is_reopened(path: Path, key: str) -> None:
    job = load(path).job
    job = edits.sign(job, build_record(job, walk(job), AT, "Ann", "the client", {}), AT, "Ann", "the client")
    save(load(path), job, AT)
    before = path.read_bytes()
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "2", key)
        assert isinstance(app.screen, WalkScreen)
        assert "s reopens it" in " ".join(notice.message for notice in app._notifications)
    assert path.read_bytes() == before


async def test_a_wrong_field_is_named_and_the_cursor_is_put_there(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "2", "l", "a")
        await typed(pilot, "20")
        await keys(pilot, "tab")
        await typed(pilot, "left")
        await keys(pilot, "tab", "enter")
        assert "Off the line: " in shown(app)
        assert app.focused is not None
        assert app.focused.id == "offset"


async def test_a_delivery_is_found_by_any_word_and_told_with_the_key_that_takes_it_back(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "l", "i")
        await typed(pilot, "stakes")
        await keys(pilot, "enter")
        assert app.focused is not None
        assert app.focused.id == "packs"
        await typed(pilot, "2")
        await keys(pilot, "enter", "enter")
        assert (on_disk(path).log[-1].kind, on_disk(path).log[-1].stock) == ("delivery", "stake")
        assert any(notice.message.endswith("u takes that back.") for notice in app._notifications)
        await keys(pilot, "u")
    assert [entry.kind for entry in on_disk(path).log if entry.struck_at is None] == ["planned"]
