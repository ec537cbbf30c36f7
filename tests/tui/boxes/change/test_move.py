"""A sleeve refused, by real keys: the rock is logged, a way taken, the file read; taken back it is struck, done again it stands."""

from pathlib import Path

import pytest
from textual.pilot import Pilot

from engine.calc.lengths import format_ft_in
from engine.drawing.shapes import Mark
from engine.job.edit import edits
from engine.job.file.store import load, save
from engine.job.model.item_key import item_key
from engine.job.model.log_entries import AddEntry, DropEntry, MoveEntry, ObstacleEntry, live
from engine.job.model.stock_table import stock_of
from engine.job.model.words.log_sentences import move_words
from engine.walk import walk
from tests.demo import AT, BY, accepted, demo
from tests.test_done_means_done import all_ticked
from tests.tui.driving import Patience, burst, keys, on_disk, reach, shown, typed, until
from tui.app import LinewalkApp
from tui.boxes import choice
from tui.boxes.change.move import MoveDialog
from tui.screens.walk_screen import WalkScreen
from tui.widgets.plan_view import PlanView

SIZE = (80, 24)


@pytest.fixture(autouse=True)
def answers_count_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(choice, "RESTED_S", 0.0)


async def at_p6(pilot: Pilot[int]) -> None:
    await reach(pilot, item_key("posts.P6.driven_depth"))


async def looked(pilot: Pilot[int], app: LinewalkApp) -> MoveDialog:
    """The dialog once its ways are all found."""
    patience = Patience()
    while "Offers that break no rule" not in shown(app):
        assert patience.lasts, shown(app)
        await pilot.pause(0.05)
    dialog = app.screen
    assert isinstance(dialog, MoveDialog)
    assert dialog.found
    return dialog


async def refuse(pilot: Pilot[int]) -> None:
    """8 in read at P6, with the reason."""
    await at_p6(pilot)
    await typed(pilot, "8")
    await keys(pilot, "enter")
    await typed(pilot, "rock")
    await keys(pilot, "enter")


async def test_a_refused_sleeve_leads_by_the_rock_to_the_best_way_and_into_the_file(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await refuse(pilot)
        assert on_disk(path).checks[item_key("posts.P6.driven_depth")].reading_in == 8.0
        assert "Log the rock as a keep-out?" in shown(app)
        assert not any(isinstance(entry, ObstacleEntry) for entry in on_disk(path).log)
        await keys(pilot, "y")
        assert "New: ! Fix  P6 stands in rock found at 83' 0\" on back." in shown(app)
        await keys(pilot, "escape")
        assert "Log the rock as a keep-out?" in shown(app)
        assert not any(isinstance(entry, ObstacleEntry) for entry in on_disk(path).log)
        await keys(pilot, "y", "enter")
        rock = on_disk(path).log[-1]
        assert isinstance(rock, ObstacleEntry)
        assert (rock.line, rock.station_ft, rock.radius_ft, rock.text) == ("back", 83.0, 1.0, 'P6 stopped at 8"')

        dialog = await looked(pilot, app)
        assert "Offers that break no rule, best first:" in shown(app)
        assert "1' 0\" forward along the line: clear of the rock, bays 17' 11\" and 16' 0\"." in shown(app)
        await keys(pilot, "down")
        assert "Gone: P6 " in shown(app)
        assert on_disk(path).log[-1] == rock
        await keys(pilot, "enter")
        assert dialog.query_one("#along").value == "12 in"  # type: ignore[attr-defined]  # an input
        assert dialog.query_one("#why").value == "rock"  # type: ignore[attr-defined]  # the reason given with the reading
        await keys(pilot, "enter")

        moved = on_disk(path).log[-1]
        assert isinstance(moved, MoveEntry)
        assert (moved.post, moved.along_ft, moved.out_ft, moved.why, moved.by) == ("P6", 1.0, 0.0, "rock", "Mo")
        assert walk(on_disk(path)).posts.work["P6"].driven_in is None

        await keys(pilot, "u")
        assert on_disk(path).checks[item_key("posts.P6.driven_depth")].reading_in == 8.0
        struck = on_disk(path).log[-1]
        assert (struck.id, struck.struck_by) == (moved.id, "Mo")
        assert struck.struck_at is not None
        await keys(pilot, "r")
        assert on_disk(path).log[-1] == moved


async def test_no_rock_is_logged_unless_the_crew_says_so(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await refuse(pilot)
        await keys(pilot, "n")
        await looked(pilot, app)
        await keys(pilot, "escape")
        assert isinstance(app.screen, WalkScreen)
        assert on_disk(path).log == accepted().log


async def test_what_is_typed_ahead_logs_no_rock(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(choice, "RESTED_S", 60.0)
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await at_p6(pilot)
        await burst(pilot, "8\rrock\r30\r29\r")
        assert "none of them was taken as an answer" in " ".join(shown(app).replace("┃", " ").split())
    assert on_disk(path).checks[item_key("posts.P6.driven_depth")].reading_in == 8.0
    assert on_disk(path).log == accepted().log


async def test_a_move_isnt_added_to_one_that_came_in_meanwhile(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await at_p6(pilot)
        await keys(pilot, "m")
        await typed(pilot, "1")
        theirs = load(path)
        save(theirs, edits.move_post(theirs.job, "P6", AT, "Teal", along_ft=1.0, out_ft=0.0))
        await until(pilot, lambda: any(isinstance(entry, MoveEntry) for entry in app.hand.job.log))  # type: ignore[union-attr]  # a job is open
        await keys(pilot, "enter", "enter", "enter")
        assert isinstance(app.screen, MoveDialog)
    assert [(entry.by, entry.along_ft) for entry in on_disk(path).log if isinstance(entry, MoveEntry)] == [("Teal", 1.0)]


async def test_a_sleeve_deep_enough_asks_nothing(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await at_p6(pilot)
        await keys(pilot, "space")
        await typed(pilot, "20")
        await keys(pilot, "enter")
        assert isinstance(app.screen, WalkScreen)
        assert on_disk(path).checks[item_key("posts.P6.driven_depth")].reading_in == 20.0


async def test_a_way_of_several_entries_is_taken_back_and_done_again_as_one(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await at_p6(pilot)
        await keys(pilot, "m")
        dialog = await looked(pilot, app)
        number = next(n for n, offer in enumerate(dialog.found) if offer.kind == "add")
        await keys(pilot, *["down"] * (number + 1), "enter", "enter")
        drop, add = on_disk(path).log[-2:]
        assert isinstance(drop, DropEntry)
        assert isinstance(add, AddEntry)
        assert (drop.post, add.post, add.line) == ("P6", "P17", "back")
        await keys(pilot, "u")
        assert live(on_disk(path).log) == accepted().log
        assert len(on_disk(path).log) == len(accepted().log) + 2
        await keys(pilot, "r")
        assert on_disk(path).log[-2:] == (drop, add)


async def test_an_offer_that_the_truck_lacks_a_sleeve_for_is_taken_once_that_has_come(path: Path) -> None:
    """Twelve sleeves were loaded and driven long ago: that of P6 stays in the ground. A move that is typed is the crew's own."""
    plan = accepted()
    sleeves = stock_of(plan.stock)["sleeve-30"].model_copy(update={"loaded": 12})
    job = all_ticked(plan.model_copy(update={"stock": {**plan.stock, "sleeve-30": sleeves}}))
    save(load(path), job)
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(90, 40)) as pilot:
        await at_p6(pilot)
        await keys(pilot, "m")
        dialog = await looked(pilot, app)
        assert all(offer.lacks for offer in dialog.found)
        await keys(pilot, "down", "enter", "enter")
        assert "Log what comes, then take this offer" in shown(app)
        assert on_disk(path).log == job.log
    save(load(path), edits.delivery(job, "sleeve-30", AT, BY, packs=None, loose=1))
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(120, 40)) as pilot:
        await at_p6(pilot)
        await keys(pilot, "m")
        dialog = await looked(pilot, app)
        assert not any(offer.lacks for offer in dialog.found)
        await keys(pilot, "down", "enter", "enter")
        assert on_disk(path).log[-1].kind == dialog.found[0].steps[-1]["kind"]


async def test_up_from_the_first_way_goes_back_to_typing_and_what_is_typed_is_what_counts(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await at_p6(pilot)
        await keys(pilot, "m")
        await looked(pilot, app)
        await keys(pilot, "down", "down", "up", "up")
        assert "How far does P6 move?" in shown(app)
        await typed(pilot, "-2 f")
        assert "How far does P6 move?" in shown(app), "a unit that is but begun isn't wrong yet"
        await keys(pilot, "enter")
        assert "! Along the line: -2 f is not a length" in shown(app)
        await keys(pilot, "backspace", "x")
        assert "! Along the line: -2 x is not a length" in shown(app)
        await keys(pilot, "backspace", "backspace")
        assert f"P6 moves {move_words(-2.0, 0.0)}." in shown(app)
        await keys(pilot, "enter", "enter", "enter")
        moved = on_disk(path).log[-1]
        assert isinstance(moved, MoveEntry)
        assert moved.along_ft == -2.0


async def test_with_room_the_plan_marks_the_old_spot_and_the_new(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by=BY)
    async with app.run_test(size=(120, 40)) as pilot:
        await at_p6(pilot)
        await keys(pilot, "m")
        dialog = await looked(pilot, app)
        await keys(pilot, "down")
        picture = dialog.query_one("#before-after").picture  # type: ignore[attr-defined]  # PlanView
        assert [mark.id for mark in picture.of(Mark, "goes to")] == ["P6"]
        assert dialog.query_one("#before-after").display
        await keys(pilot, "up", "2")
        assert [mark.id for mark in dialog.query_one(PlanView).picture.of(Mark, "goes to")] == ["P6"]
        await keys(pilot, "backspace")
        assert not [*dialog.query_one(PlanView).picture.of(Mark, "goes to")]


async def test_what_a_move_does_is_painted_before_it_is_drawn(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    app, done = LinewalkApp(loaded=load(path), by=BY), list[str]()
    paint, draw = MoveDialog._compositor_refresh, MoveDialog._draw

    def painted(box: MoveDialog) -> None:
        if not box._compositor._dirty_regions:
            return
        paint(box)
        if f"P6 moves {move_words(2.0, 0.0)}." in shown(app):
            done.append("painted")

    def drawn(box: MoveDialog) -> None:
        done.append("drawn" if box._walked is not box._pictured else "stands")
        draw(box)

    async with app.run_test(size=(120, 40)) as pilot:
        await at_p6(pilot)
        await keys(pilot, "m")
        await looked(pilot, app)
        monkeypatch.setattr(MoveDialog, "_compositor_refresh", painted)
        monkeypatch.setattr(MoveDialog, "_draw", drawn)
        await keys(pilot, "2")
    assert (done[0], done.index("drawn") < len(done)) == ("painted", True)


async def test_without_room_a_key_brings_the_plan_with_the_lengths_of_the_bays(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by=BY)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_p6(pilot)
        await pilot.pause()
        await keys(pilot, "m", "5", "enter", "2")
        dialog = await looked(pilot, app)
        view = dialog.query_one(PlanView)
        assert not view.display
        await keys(pilot, "f2")
        text = "\n".join(view.render_line(row).text for row in range(view.size.height))
        after = walk(edits.move_post(accepted(), "P6", AT, BY, along_ft=5, out_ft=2))
        for bay in ("P5-P6", "P6-P7"):
            assert format_ft_in(after.layout.bays[bay].slope_ft) in text
        assert (text.count("◆"), text.count("◇"), text.count("[P6]")) == (1, 1, 1)
        await keys(pilot, "f2")
        assert not view.display


@pytest.mark.parametrize("pressed", [("m",), ("l", "m"), ("l", "d")])
async def test_what_changes_a_plan_is_not_asked_before_there_is_one(path: Path, pressed: tuple[str, ...]) -> None:
    save(load(path), demo())
    app = LinewalkApp(loaded=load(path), by=BY)
    async with app.run_test(size=SIZE) as pilot:
        await at_p6(pilot)
        await keys(pilot, *pressed)
        assert isinstance(app.screen, WalkScreen)
        assert [note.message for note in app._notifications] == ["There is no accepted plan to change. Accept the layout first."]
    assert on_disk(path).log == demo().log


def test_a_plan_that_is_not_accepted_is_not_settled() -> None:
    bare = accepted().model_copy(update={"posts": {}, "log": ()})
    with pytest.raises(edits.EditRefused, match=r"^P6 is not"):
        edits.apply_steps(bare, ({"kind": "move", "post": "P6", "along_ft": 1.0},), AT, BY)


@pytest.mark.parametrize(
    ("key", "along_ft", "out_ft"),
    [("ctrl+right", 0.25, 0.0), ("ctrl+left", -0.25, 0.0), ("ctrl+down", 0.0, 0.25), ("ctrl+up", 0.0, -0.25)],
)
async def test_ctrl_and_an_arrow_nudge_the_post_three_inches_from_inside_an_input(
    path: Path, key: str, along_ft: float, out_ft: float
) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await at_p6(pilot)
        await keys(pilot, "m", key)
        assert f"P6 moves {move_words(along_ft, out_ft)}." in " ".join(shown(app).split())


async def test_a_ledge_is_logged_with_its_size_and_kept_clear(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "l", "o")
        await typed(pilot, "sl")
        await keys(pilot, "tab", "tab")
        await typed(pilot, "90")
        await keys(pilot, "tab", "tab", "tab")
        await typed(pilot, "ledge")
        await keys(pilot, "tab")
        await typed(pilot, "6")
        await keys(pilot, "tab")
        await typed(pilot, "2 ft")
        await keys(pilot, "enter", "enter")
        ledge = on_disk(path).log[-1]
        assert isinstance(ledge, ObstacleEntry)
        assert (ledge.what, ledge.station_ft, ledge.radius_ft) == ("slab", 90.0, 1.0)
        assert (ledge.long_ft, ledge.wide_ft, ledge.text) == (6.0, 2.0, "ledge")


async def test_a_gates_other_post_that_stands_is_pulled_along_and_asked_for_again(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        for post, depth in (("P3", "24"), ("P2", "8")):
            await reach(pilot, item_key(f"posts.{post}.driven_depth"))
            await typed(pilot, depth)
            await keys(pilot, "enter")
        await typed(pilot, "rock")
        await keys(pilot, "enter", "n")
        await looked(pilot, app)
        assert "P3 stands already" in " ".join(shown(app).replace("┃", " ").split())
        assert on_disk(path).checks[item_key("posts.P3.driven_depth")].reading_in == 24.0
        await keys(pilot, "down", "enter", "enter")
        moved = on_disk(path)
        assert [(entry.post, abs(entry.along_ft)) for entry in moved.log[-2:] if isinstance(entry, MoveEntry)] == [("P2", 1.0), ("P3", 1.0)]
        lines = walk(moved).checklists["posts"].lines
        assert not [line for line in lines if line.tick and line.item.subject in ("P2", "P3")]
        await keys(pilot, "u")
        assert on_disk(path).checks[item_key("posts.P3.driven_depth")].reading_in == 24.0
