"""A form or a called line that is open while another laptop's work gives its thing another name, or takes it out: the file is read."""

from collections.abc import Callable
from pathlib import Path

import pytest
from textual.pilot import Pilot

from engine.job.edit import entering
from engine.job.file.store import load
from engine.job.model.job import Job
from tests.job.merge.test_records_apart import tie, tree
from tests.tui.driving import keys, on_disk, shown, typed, until_saved
from tests.tui.elsewhere import apart, saved_there
from tests.tui.entry.test_slips_at_entry import downs
from tui.app import LinewalkApp
from tui.entry.entry import EntryScreen
from tui.entry.entry_form import FormScreen
from tui.screens.walk_screen import WalkScreen

SIZE = (100, 30)
OUT = "It was taken out on another laptop. Enter once more makes it again."


async def entered(pilot: Pilot[int], edit: Callable[[Job], Job]) -> WalkScreen:
    screen = pilot.app.screen
    assert isinstance(screen, WalkScreen)
    screen.edit("measured", lambda job, _at, _by: edit(job))
    await until_saved(pilot)
    return screen


async def in_form(pilot: Pilot[int], job: Job, table: str, name: str, field: str) -> FormScreen:
    """The form of a record, the cursor in one of its boxes."""
    row = list(getattr(job, table)).index(name)
    await keys(pilot, "e", *downs(table), "enter", "escape", "right", "home", *["down"] * row, "enter")
    screen = pilot.app.screen
    assert isinstance(screen, FormScreen)
    screen._box(field).focus()
    await keys(pilot, "end")
    return screen


@pytest.mark.parametrize(
    ("field", "text", "mine"), [("note", "hollow", (14.1, "hollow")), ("diameter_in", "33", (33.0, "")), ("id", "", (14.1, ""))]
)
async def test_the_form_of_a_tree_goes_on_under_the_name_it_got_and_theirs_stays(
    path: Path, field: str, text: str, mine: tuple[float, str]
) -> None:
    comes_in = apart(path, lambda job: tree(job, "T4", 139.0))
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        screen = await entered(pilot, lambda job: tree(job, "T4", 141.0))
        form = await in_form(pilot, screen.hand.job, "trees", "T4", field)
        await keys(pilot, *["ctrl+u"] * bool(text))
        await typed(pilot, text)
        await comes_in(pilot)
        assert "Tree T5" in shown(app).splitlines()[0]
        assert (form._box("id").value, form._box("point").value) == ("T5", "T5")
        await keys(pilot, "enter")
        assert isinstance(app.screen, EntryScreen)
    trees = {name: (one.point, one.diameter_in, one.note) for name, one in on_disk(path).trees.items() if name.startswith("T")}
    assert trees == {"T4": ("T4", 13.9, ""), "T5": ("T5", *mine)}


async def test_a_new_record_names_the_point_that_was_meant(path: Path) -> None:
    """A tree at the crew's own point, which is called otherwise while the form is filled in."""
    comes_in = apart(path, lambda job: tie(job, "T4", 139.0))
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await entered(pilot, lambda job: tie(job, "T4", 141.0))
        await keys(pilot, "e", *downs("trees"), "enter")
        await typed(pilot, "elm")
        await keys(pilot, "tab")
        await typed(pilot, "t4")
        await keys(pilot, "tab")
        await typed(pilot, "14")
        await comes_in(pilot)
        await keys(pilot, "enter")
    job = on_disk(path)
    assert job.trees["elm"].point == "T5"
    assert job.shots["tie-T5"].tape_a_ft == 141.0  # type: ignore[union-attr]  # a tie


@pytest.mark.parametrize(
    ("table", "old", "new"),
    [("trees", "oak", "bigoak"), ("gates", "side", "east"), ("lines", "back", "rear"), ("boundaries", "west", "westline")],
)
async def test_the_form_of_a_record_that_was_renamed_changes_that_one(path: Path, table: str, old: str, new: str) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await in_form(pilot, on_disk(path), table, old, "note")
        await typed(pilot, " seen")
        await saved_there(pilot, path, lambda job: entering.rename(job, table, old, new))
        await keys(pilot, "enter")
        assert isinstance(app.screen, EntryScreen)
        assert app.screen._record() == new
    held = getattr(on_disk(path), table)
    assert held[new].note.endswith("seen")
    assert old not in held


@pytest.mark.parametrize("again", [False, True])
@pytest.mark.parametrize(("table", "name"), [("trees", "dogwood"), ("gates", "side")])
async def test_what_was_taken_out_meanwhile_is_made_again_only_once_that_was_said(path: Path, table: str, name: str, again: bool) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await in_form(pilot, on_disk(path), table, name, "note")
        await typed(pilot, " seen")
        await saved_there(pilot, path, lambda job: entering.remove(job, table, name))
        await keys(pilot, "enter")
        assert OUT in shown(app)
        assert name not in getattr(on_disk(path), table)
        await keys(pilot, *(["enter"] if again else ["escape", "y"]))
        assert isinstance(app.screen, EntryScreen)
    held = getattr(on_disk(path), table)
    assert (name in held and held[name].note.endswith("seen")) is again


async def test_the_record_that_is_taken_out_is_the_one_the_cursor_was_on(path: Path) -> None:
    comes_in = apart(path, lambda job: tree(job, "T4", 139.0))
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await entered(pilot, lambda job: tree(job, "T4", 141.0))
        await keys(pilot, "e", *downs("trees"), "enter", "escape", "right", "end")
        await comes_in(pilot)
        await keys(pilot, "x")
    assert {name: one.diameter_in for name, one in on_disk(path).trees.items() if name.startswith("T")} == {"T4": 13.9}


async def test_a_shot_put_right_in_the_row_is_the_one_that_was_opened(path: Path) -> None:
    comes_in = apart(path, lambda job: tie(job, "T4", 139.0))
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        screen = await entered(pilot, lambda job: tie(job, "T4", 141.0))
        await keys(pilot, "1")
        screen.field_book.open("tie-T4")
        await pilot.pause()
        await keys(pilot, "end", *["backspace"] * len("right"))
        await typed(pilot, "left")
        await comes_in(pilot)
        assert "tie-T5 is put right here; Enter saves it." in shown(app)
        await keys(pilot, "enter")
    shots = {name: (one.point, one.tape_a_ft, one.side) for name, one in on_disk(path).shots.items() if name in ("tie-T4", "tie-T5")}  # type: ignore[union-attr]  # ties
    assert shots == {"tie-T4": ("T4", 139.0, "right"), "tie-T5": ("T5", 141.0, "left")}


async def test_a_new_shot_in_the_row_measures_the_point_that_was_meant(path: Path) -> None:
    comes_in = apart(path, lambda job: tie(job, "T4", 139.0))
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        screen = await entered(pilot, lambda job: tie(job, "T4", 141.0))
        await keys(pilot, "1")
        screen.field_book.open()
        await pilot.pause()
        await typed(pilot, "tape t4 A 140")
        await comes_in(pilot)
        await keys(pilot, "enter")
    (tape,) = (one for one in on_disk(path).shots.values() if one.method == "tape" and one.length_ft == 140.0)
    assert tape.to_point == "T5"


CAME = "T4 came in from another laptop meanwhile."


def at_t4(path: Path) -> list[float]:
    """The tapes from A to T4."""
    return [one.tape_a_ft for one in on_disk(path).shots.values() if one.method == "tie" and one.point == "T4"]


async def test_a_new_point_typed_in_the_row_is_not_the_one_of_that_name_that_came_in_meanwhile(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await keys(pilot, "1")
        screen.field_book.open()
        await pilot.pause()
        await typed(pilot, "tie T4 A 141 H 150 right")
        await saved_there(pilot, path, lambda job: tie(job, "T4", 139.0))
        await keys(pilot, "enter")
        assert CAME in " ".join(shown(app).split())
        assert at_t4(path) == [139.0]
        await keys(pilot, "enter")
    assert at_t4(path) == [139.0, 141.0]


async def test_a_new_point_of_a_form_is_not_the_one_of_that_name_that_came_in_meanwhile(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", *downs("shots-tie"), "enter")
        form = app.screen
        assert isinstance(form, FormScreen)
        for field, text in {"point": "T4", "from_a": "A", "tape_a_ft": "141", "from_b": "H", "tape_b_ft": "150", "side": "right"}.items():
            form._box(field).focus()
            await keys(pilot, "end", "ctrl+u")
            await typed(pilot, text)
        await saved_there(pilot, path, lambda job: tie(job, "T4", 139.0))
        await keys(pilot, "enter")
        assert CAME in " ".join(shown(app).split())
        assert at_t4(path) == [139.0]
        await keys(pilot, "end", "ctrl+u")
        await typed(pilot, "T5")
        await keys(pilot, "enter")
    job = on_disk(path)
    assert (at_t4(path), job.shots["tie-T5"].tape_a_ft) == ([139.0], 141.0)  # type: ignore[union-attr]  # a tie
