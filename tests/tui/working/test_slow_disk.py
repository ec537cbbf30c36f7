"""A slow, full or lost disk, by real keys at 80x24: the screen answers, says what is so, and nothing that was entered is lost."""

import errno
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from time import sleep

import pytest
from textual.pilot import Pilot

from engine.job.file.backups import rescue_copies
from engine.job.file.disk import Disk
from engine.job.file.store import load
from engine.job.model.item_key import item_key
from tests.demo import demo
from tests.faults.hanging_disk import HangingDisk
from tests.tui.driving import Patience, keys, on_disk, shown, until_saved, until_shown
from tests.tui.in_hand import Clock, edited, noted, notes, ticked, titled
from tui.app import LinewalkApp
from tui.boxes import choice
from tui.boxes.choice import Choice
from tui.boxes.which_box import WhichDialog
from tui.screens.jobs import JobsScreen
from tui.screens.walk_screen import WalkScreen
from tui.working import saver as saving
from tui.working.working_copy import open_working

SIZE = (80, 24)


@pytest.fixture
def disk(file: Path, monkeypatch: pytest.MonkeyPatch) -> HangingDisk:
    monkeypatch.setattr(saving, "SLOW_S", 0.1)
    monkeypatch.setattr(saving, "AGAIN_S", 0.1)
    monkeypatch.setattr(choice, "RESTED_S", 0.0)
    return HangingDisk(file.parent)


def told(app: LinewalkApp) -> str:
    """What was said in passing."""
    return " ".join(note.message for note in app._notifications)


async def press(pilot: Pilot[int], *pressed: str) -> None:
    """Keys, without waiting for the disk."""
    for key in pressed:
        await pilot.press(key)
    await pilot.pause()


async def until(pilot: Pilot[int], so: Callable[[], object]) -> None:
    patience = Patience()
    while not so():
        assert patience.lasts, shown(pilot.app)  # type: ignore[arg-type]  # LinewalkApp
        await pilot.pause(0.01)


async def test_the_screen_answers_while_the_disk_hangs_and_says_saved_only_once_it_is(file: Path, disk: HangingDisk) -> None:
    app = LinewalkApp(loaded=load(file), by="Mo", disk=disk.disk())
    async with app.run_test(size=SIZE) as pilot:
        disk.hang()
        await press(pilot, "1", "home", "space", "space")
        assert "saving" in shown(app).splitlines()[0]
        assert shown(app).count("✓") == 2
        assert on_disk(file) == demo()
        await until(pilot, lambda: "kept in" in " ".join(shown(app).split()))
        await press(pilot, "tab", "3", "h")
        assert "How to: " in shown(app)
        await press(pilot, "escape", "1")
        assert "saving, no answer yet" in shown(app).splitlines()[0]
        disk.go()
        await until_saved(pilot)
        assert "saved " in shown(app).splitlines()[0]
        assert "doesn't answer" not in shown(app)
        assert len(on_disk(file).checks) == 2


@pytest.mark.parametrize(("error", "says"), [(errno.ENOSPC, "disk is full"), (errno.EROFS, "read-only"), (errno.ENOENT, "folder isn't")])
async def test_a_disk_that_fails_is_said_until_it_is_back(file: Path, disk: HangingDisk, error: int, says: str) -> None:
    app = LinewalkApp(loaded=load(file), by="Mo", disk=disk.disk())
    async with app.run_test(size=SIZE) as pilot:
        disk.fail(error)
        await press(pilot, "1", "home", "space")
        await until(pilot, lambda: (top := shown(app).splitlines()[0]).count("NOT SAVED") and says in top)
        assert "kept in" in " ".join(shown(app).split())
        await press(pilot, "space")
        assert shown(app).count("✓") == 2
        disk.go()
        await until(pilot, lambda: "The disk is back: everything" in told(app))
        await until_saved(pilot)
        assert "NOT SAVED" not in shown(app)
        assert len(on_disk(file).checks) == 2


async def test_leaving_waits_for_the_disk_and_then_closes_by_itself(file: Path, disk: HangingDisk) -> None:
    app = LinewalkApp(folder=file.parent, by="Mo", disk=disk.disk())
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await keys(pilot, "home", "enter")
        disk.hang()
        await press(pilot, "1", "home", "space", "q")
        assert isinstance(app.screen, WalkScreen)
        assert "Waiting for the disk." in told(app)
        disk.go()
        await until(pilot, lambda: isinstance(app.screen, JobsScreen))
    assert len(on_disk(file).checks) == 1


async def test_who_goes_on_working_while_the_disk_hangs_does_not_leave(file: Path, disk: HangingDisk) -> None:
    app = LinewalkApp(folder=file.parent, by="Mo", disk=disk.disk())
    async with app.run_test(size=SIZE) as pilot:
        await until_saved(pilot)
        await keys(pilot, "home", "enter")
        disk.hang()
        await press(pilot, "1", "home", "space", "q", "space")
        disk.go()
        await until_saved(pilot)
        assert isinstance(app.screen, WalkScreen)
    assert len(on_disk(file).checks) == 2


async def test_leaving_a_full_disk_says_what_to_do_and_closes_by_itself_once_there_is_room(file: Path, disk: HangingDisk) -> None:
    app = LinewalkApp(loaded=load(file), by="Mo", disk=disk.disk())
    async with app.run_test(size=SIZE) as pilot:
        disk.fail(errno.ENOSPC)
        await press(pilot, "1", "home", "space", "q")
        await until(pilot, lambda: "The last change is not on disk yet." in told(app))
        assert not app._exit
        disk.go()
        await until(pilot, lambda: app._exit)
    assert len(on_disk(file).checks) == 1


async def test_who_goes_on_working_on_a_full_disk_does_not_leave(file: Path, disk: HangingDisk) -> None:
    app = LinewalkApp(loaded=load(file), by="Mo", disk=disk.disk())
    async with app.run_test(size=SIZE) as pilot:
        disk.fail(errno.ENOSPC)
        await press(pilot, "1", "home", "space", "q")
        await until(pilot, lambda: "last change" in told(app))
        await press(pilot, "space")
        disk.go()
        await until(pilot, lambda: len(on_disk(file).checks) == 2)
        assert not app._exit


async def test_a_place_that_cannot_be_written_is_told_when_the_job_is_opened(file: Path) -> None:
    disk = replace(Disk(), writable=lambda _: False)
    app = LinewalkApp(loaded=load(file, disk=disk), by="Mo", disk=disk)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert "nothing can be written" in told(app)


async def test_ctrl_c_twice_leaves_a_hanging_disk_with_the_work_kept_elsewhere(file: Path, disk: HangingDisk) -> None:
    app = LinewalkApp(loaded=load(file), by="Mo", disk=disk.disk())
    async with app.run_test(size=SIZE) as pilot:
        disk.hang()
        await press(pilot, "1", "home", "space", "ctrl+c")
        assert not app._exit
        assert "Ctrl+C again leaves now" in told(app)
        await press(pilot, "ctrl+c")
        assert app._exit
    assert app.hand is not None
    says = app.hand.saver.finish(0.2)
    assert says.endswith(f" {app.hand.working.rescue}.")
    assert len(load(app.hand.working.rescue or file).job.checks) == 1
    disk.go()


@pytest.mark.parametrize(("pressed", "ticks"), [(("enter",), 2), (("down", "enter"), 1), (("end", "enter"), 1)])
async def test_work_left_elsewhere_is_offered_when_the_job_is_opened_again(
    file: Path, disk: HangingDisk, pressed: tuple[str, ...], ticks: int
) -> None:
    app = LinewalkApp(loaded=load(file), by="Mo", disk=disk.disk())
    async with app.run_test(size=SIZE) as pilot:
        disk.fail(errno.ENOENT)
        await press(pilot, "1", "home", "space")
        await until(pilot, lambda: "NOT SAVED" in shown(app))
        await press(pilot, "ctrl+c", "ctrl+c")
    assert app.hand is not None
    saver = app.hand.saver
    assert "They are kept in" in saver.finish()
    patience = Patience()
    while rescue_copies(Disk(), saver.state, file.resolve()) != [saver.working.rescue]:
        assert patience.lasts, "a copy that another took the place of stays"
        sleep(0.01)
    edited(open_working(load(file), "Teal", Clock()), "theirs", ticked(item_key("layout.P12.flag")))
    app = LinewalkApp(loaded=load(file), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await until(pilot, lambda: "Work that isn't in this file yet" in shown(app))
        await keys(pilot, *pressed)
        assert app.hand is not None
        left = rescue_copies(Disk(), app.hand.saver.state, file.resolve())
        await until(pilot, lambda: bool(rescue_copies(Disk(), app.hand.saver.state, file.resolve())) == (pressed[0] == "down"))  # type: ignore[union-attr]  # open
        assert len(left) <= 1
    assert len(on_disk(file).checks) == ticks
    app = LinewalkApp(loaded=load(file), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await (until(pilot, lambda: isinstance(app.screen, Choice)) if pressed[0] == "down" else pilot.pause(0.2))
        assert isinstance(app.screen, Choice) == (pressed[0] == "down")


async def test_ctrl_c_once_closes_as_soon_as_the_disk_answers(file: Path, disk: HangingDisk) -> None:
    app = LinewalkApp(loaded=load(file), by="Mo", disk=disk.disk())
    async with app.run_test(size=SIZE) as pilot:
        disk.hang()
        await press(pilot, "1", "home", "space", "ctrl+c")
        disk.go()
        await until(pilot, lambda: app._exit)
    assert len(on_disk(file).checks) == 1


async def test_what_another_laptop_saved_comes_in_without_losing_what_was_ticked_meanwhile(file: Path, disk: HangingDisk) -> None:
    app = LinewalkApp(loaded=load(file), by="Mo", disk=disk.disk())
    async with app.run_test(size=SIZE) as pilot:
        edited(open_working(load(file), "Teal", Clock()), "theirs", noted("soft ground"))
        disk.hang()
        await press(pilot, "1", "home", "space", "space")
        disk.go()
        await until_saved(pilot)
        assert "Logged, by Teal: soft ground" in told(app)
        assert shown(app).count("✓") == 2
    assert (notes(on_disk(file)), len(on_disk(file).checks)) == (["soft ground"], 2)


async def test_what_both_changed_is_asked_over_the_job_and_not_over_a_question(file: Path) -> None:
    app = LinewalkApp(loaded=load(file), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        edited(open_working(load(file), "Teal", Clock()), "theirs", titled("theirs"))
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        await press(pilot, "w")
        screen.edit("title", titled("ours"))
        await until_saved(pilot)
        assert not isinstance(app.screen, WhichDialog)
        await until_shown(pilot, "NOT SAVED: both changed it")
        await press(pilot, "escape")
        assert isinstance(app.screen, WhichDialog)
        await keys(pilot, "escape")
        assert not isinstance(app.screen, WhichDialog)
        await keys(pilot, "ctrl+s", "end", "enter")
        assert "saved" in shown(app).splitlines()[0]
    assert on_disk(file).job.title == "theirs"


def test_the_test_disk_is_a_real_one_elsewhere(tmp_path: Path, disk: HangingDisk) -> None:
    disk.fail(errno.ENOSPC)
    fd = disk.disk().open_excl(tmp_path / "elsewhere", 0o600)
    Disk().close(fd)
    assert (tmp_path / "elsewhere").exists()
