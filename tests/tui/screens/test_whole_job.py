"""One whole job by keyboard alone at 80x24: survey to sign-off, with every fact read back from the file."""

from pathlib import Path

import pytest
from textual.pilot import Pilot

from engine.job.file.store import load
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import MoveEntry, ObstacleEntry
from engine.job.model.words.log_sentences import sentence
from tests.demo import demo
from tests.tui.driving import at, keys, on_disk, reach, shown, typed, wanted
from tui.app import LinewalkApp
from tui.cli import main
from tui.screens.going import PAGES
from tui.screens.walk_screen import WalkScreen

SIZE = (80, 24)


@pytest.fixture
def job() -> Job:
    return demo()


def walk_screen(app: LinewalkApp) -> WalkScreen:
    screen = app.screen
    assert isinstance(screen, WalkScreen)
    return screen


async def tick_all(pilot: Pilot[int], app: LinewalkApp) -> None:
    """Space down the columns of the stage that is shown; a reading is typed into its cell."""
    screen = walk_screen(app)
    for _ in range(400):
        lines = screen.hand.walk.checklists[screen.stage].lines
        opened = {line.item.key: line.item for line in lines if line.state == "open"}
        if not opened:
            return
        here = at(app)
        if here not in opened:
            await reach(pilot, next(iter(opened)))
            here = next(iter(opened))
        if opened[here].reading is None:
            await keys(pilot, "space")
        else:
            await typed(pilot, wanted(opened[here]))
            await keys(pilot, "enter")
    raise AssertionError("the sheet never ended")


async def read_and_tick(pilot: Pilot[int], app: LinewalkApp, path: Path) -> None:
    """Every page of every stage; then a tick is one key and is in the file."""
    screen = walk_screen(app)
    for number in "123456789":
        await keys(pilot, f"alt+{number}")
        for _ in PAGES:
            assert len(shown(app).splitlines()) == 24
            await keys(pilot, "tab")
    assert screen.page == "sheet"

    await keys(pilot, "1", "space")
    first = screen.hand.walk.checklists["survey"].lines[0].item.key
    assert on_disk(path).checks[first].by == "Mo"


async def accept_and_read(pilot: Pilot[int], app: LinewalkApp, path: Path) -> None:
    """The plan is accepted, then a reading in trade notation."""
    await keys(pilot, "2", "a")
    assert len(on_disk(path).posts) == 16
    await reach(pilot, item_key("posts.P4.driven_depth"))
    await typed(pilot, "22 1/2")
    assert "Passes" in shown(app)
    await keys(pilot, "enter")
    assert on_disk(path).checks[item_key("posts.P4.driven_depth")].reading_in == 22.5


async def log_a_rock(pilot: Pilot[int], app: LinewalkApp, path: Path) -> None:
    """A rock where P6 should stand, logged from where the crew is."""
    screen = walk_screen(app)
    await reach(pilot, item_key("posts.P6.driven_depth"))
    await keys(pilot, "l", "o")
    await keys(pilot, *["tab"] * 5)
    await typed(pilot, "rock at 8 in")
    await keys(pilot, "enter", "enter")
    rock = on_disk(path).log[-1]
    assert isinstance(rock, ObstacleEntry)
    assert (rock.what, rock.line, rock.station_ft, rock.text) == ("rock", "back", 83.0, "rock at 8 in")
    assert "P6" in {subject for finding in screen.hand.walk.stage_findings["layout"] for subject in finding.subjects}


async def move_the_post(pilot: Pilot[int], app: LinewalkApp, path: Path) -> None:
    """P6 moved 2 ft on; what follows is shown before it is accepted, and nothing is saved till then. The rock in its way asked for it."""
    screen = app.screen_stack[-2]
    assert isinstance(screen, WalkScreen)
    before = screen.hand.walk
    await typed(pilot, "2")
    assert "P6 moves 2' 0\" forward along the line." in shown(app)
    await keys(pilot, "pagedown")
    assert "P5-P6" in shown(app)
    assert not any(isinstance(entry, MoveEntry) for entry in on_disk(path).log)
    await keys(pilot, "enter", "enter")
    await typed(pilot, "rock")
    await keys(pilot, "enter")
    moved = on_disk(path).log[-1]
    assert isinstance(moved, MoveEntry)
    assert (moved.post, moved.along_ft, moved.out_ft, moved.why) == ("P6", 2.0, 0.0, "rock")
    after = screen.hand.walk
    assert after.layout.bays["P5-P6"].plan_ft - before.layout.bays["P5-P6"].plan_ft == pytest.approx(2.0, abs=1e-3)
    assert after.layout.bays["P6-P7"].plan_ft - before.layout.bays["P6-P7"].plan_ft == pytest.approx(-2.0, abs=0.01)
    assert after.fabric.loops != before.fabric.loops or after.fabric.bays["P5-P6"] != before.fabric.bays["P5-P6"]
    assert after.staking.bays["P5-P6"] != before.staking.bays["P5-P6"]


async def finish(pilot: Pilot[int], app: LinewalkApp, path: Path) -> None:
    """Every item of every stage ticked; one reading put right on the way."""
    screen = walk_screen(app)
    for number in "12345678":
        await keys(pilot, f"alt+{number}")
        await tick_all(pilot, app)
    await reach(pilot, item_key("gate.side.opening"))
    await keys(pilot, "space", "c")
    await typed(pilot, "5' 2\"")
    await keys(pilot, "enter")
    assert on_disk(path).checks[item_key("gate.side.opening")].reading_ft == pytest.approx(5.1667, abs=1e-4)
    await keys(pilot, "alt+9")
    await tick_all(pilot, app)
    assert all(checklist.done == len(checklist.lines) for checklist in screen.hand.walk.checklists.values())


async def test_a_crew_walks_one_whole_job(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await read_and_tick(pilot, app, path)
        await accept_and_read(pilot, app, path)
        await log_a_rock(pilot, app, path)
        await move_the_post(pilot, app, path)

        # Undo and redo, both on disk.
        await keys(pilot, "u")
        assert [entry.struck_at is None for entry in on_disk(path).log] == [True, True, False]
        await keys(pilot, "r")
        assert [entry.struck_at is None for entry in on_disk(path).log] == [True, True, True]
        await keys(pilot, "alt+3", "q")

    # Reopened where it was left.
    app = LinewalkApp(loaded=load(path), by="Teal")
    async with app.run_test(size=SIZE) as pilot:
        assert walk_screen(app).stage == "posts"
        await finish(pilot, app, path)

        # Sign-off: a reason for each thing left open, then the name.
        await keys(pilot, "s")
        for _ in app.screen.query("Input"):
            await typed(pilot, "seen and agreed")
            await keys(pilot, "enter")
        assert on_disk(path).record is not None
        assert "sealed" in shown(app)

        # Sealed: a tick changes nothing.
        sealed = path.read_bytes()
        await keys(pilot, "alt+1", "home", "space")
        assert path.read_bytes() == sealed
        await keys(pilot, "q")

    assert load(path).seal_holds is True
    assert main(["record", str(path)]) == 0
    record = capsys.readouterr().out
    assert "accepted by seen and agreed" in record
    moved = next(entry for entry in on_disk(path).log if isinstance(entry, MoveEntry))
    assert (moved.post, moved.along_ft) == ("P6", 2.0)
    assert sentence(moved) in record
    assert main(["check", str(path)]) == 0
