"""A fresh layout by real keys: three sleeves driven, a rock logged, what it changes looked at, accepted, read in the file, taken back."""

from pathlib import Path

from textual.pilot import Pilot

from engine.job.file.store import load
from engine.job.model.item_key import item_key
from engine.job.model.log_entries import PlannedEntry
from engine.walk import walk
from tests.tui.driving import keys, on_disk, reach, shown, typed
from tests.tui.entry.test_field_entry import filled, kind
from tui.app import LinewalkApp
from tui.boxes.change.move import MoveDialog
from tui.boxes.change.preview import ChangeDialog, NoLayoutDialog
from tui.boxes.dialog import ThrowAwayDialog
from tui.screens.walk_screen import WalkScreen

SIZE = (80, 24)


async def drive(pilot: Pilot[int], *posts: str) -> None:
    """A sleeve each, 24 in deep."""
    for post in posts:
        await reach(pilot, item_key(f"posts.{post}.driven_depth"))
        await typed(pilot, "24")
        await keys(pilot, "enter")


async def log_rock(pilot: Pilot[int], station: str, keep_clear: str) -> None:
    """A rock on the line of the chosen post; who stands in it is asked about at once, and left for now."""
    await keys(pilot, "l", "o", "tab", "tab", "ctrl+u", "ctrl+k")
    await typed(pilot, station)
    await keys(pilot, "tab", "tab", "ctrl+u", "ctrl+k")
    await typed(pilot, keep_clear)
    await keys(pilot, "enter", "enter")
    assert isinstance(pilot.app.screen, MoveDialog)
    await keys(pilot, "escape")


async def test_three_are_driven_a_rock_is_found_and_the_rest_is_laid_out_afresh(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await drive(pilot, "P2", "P3", "P5")
        await keys(pilot, "alt+2", "a")
        assert [note.message for note in app._notifications] == [
            "A fresh layout would change nothing. P2, P3 and P5 stay where they stand."
        ]
        await log_rock(pilot, "83", "1.5")
        logged = on_disk(path)
        assert logged.log[-1].kind == "obstacle"

        await keys(pilot, "a")
        assert isinstance(app.screen, ChangeDialog)
        words = " ".join(shown(app).split())
        assert "P2, P3 and P5 stay where they stand; P6 moves." in words
        (in_rock,) = [finding.says for finding in walk(logged).findings if finding.code == "in_keep_out" and "P6" in finding.subjects]
        assert f"Gone: {in_rock}" in words
        assert "P6" in words
        assert "stands at" in words
        await keys(pilot, "escape")
        assert on_disk(path) == logged

        await keys(pilot, "a", "down", "enter")
        planned = on_disk(path)
        assert isinstance(planned.log[-1], PlannedEntry)
        assert planned.log[-1].supports == 16
        assert len(planned.log) == len(logged.log) + 1
        assert {name for name in planned.posts if planned.posts[name] != logged.posts[name]} == {"P6"}
        assert abs(planned.posts["P6"].station_ft - 83) >= 1.5
        assert planned.checks == logged.checks

        await keys(pilot, "u")
        back = on_disk(path)
        assert (back.posts, back.checks) == (logged.posts, logged.checks)
        assert back.log[-1].struck_at is not None
        await keys(pilot, "r")
        assert on_disk(path).posts == planned.posts


async def test_where_no_legal_layout_exists_it_says_which_stretch_and_why_and_offers_nothing(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "2")
        await log_rock(pilot, "54", "14")
        before = on_disk(path)
        await keys(pilot, "a")
        words = " ".join(shown(app).replace("┃", " ").split())
        assert "Between P3 and P9 on back no layout keeps the limit" in words
        assert "nothing may be driven in rock found at 54' 0\"" in words
        await keys(pilot, "enter", "escape")
        assert isinstance(app.screen, WalkScreen)
        assert on_disk(path) == before


async def put_in_gate(pilot: Pilot[int], app: LinewalkApp, station: str) -> None:
    """A gate with a 4 ft leaf by its form, then back to the sheet and a fresh layout asked for."""
    await keys(pilot, "e")
    await kind(pilot, app, "gates")
    await filled(pilot, "new", "back", station, "4")
    await keys(pilot, "escape", "escape")
    if isinstance(app.screen, ThrowAwayDialog):
        await keys(pilot, "y", "escape")
    assert isinstance(app.screen, WalkScreen)
    await keys(pilot, "a")


async def test_a_gate_that_ends_on_a_driven_post_is_set_from_the_page_as_its_finding_says(path: Path) -> None:
    """P8 is driven at 118' 0": a 4 ft leaf from 113' 10" ends there."""
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await drive(pilot, "P8")
        await put_in_gate(pilot, app, "113' 10\"")
        assert isinstance(app.screen, ChangeDialog)
        assert "P8 is a post of gate new now" in shown(app)
        await keys(pilot, "enter")
        after = walk(on_disk(path))
        assert {name for name, one in after.layout.supports.items() if one.gate == "new"} == {"P8", "P17"}
        assert not [one for one in after.findings if one.code in ("gate_without_posts", "post_in_opening", "gate_opening_off")]


async def test_where_a_driven_post_leaves_a_gate_no_room_the_page_names_the_place_where_it_may_begin(path: Path) -> None:
    """From 117' 3" P8 stands 9" inside the opening: nothing is driven so near its sleeve."""
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await drive(pilot, "P8")
        await put_in_gate(pilot, app, "117' 3\"")
        put_in = on_disk(path)
        assert isinstance(app.screen, NoLayoutDialog)
        words = " ".join(shown(app).replace("┃", " ").split())
        assert "stands in the old sleeve of P8. Where gate new begins at 118' 0\" it can be set: P8 is one of its posts then." in words
        await keys(pilot, "escape")
        assert on_disk(path) == put_in
