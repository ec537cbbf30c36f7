"""Two windows of one machine on one file: what waits in one for an answer isn't lost work to the other, and is once that one is gone."""

import subprocess
import sys
from pathlib import Path

import pytest

from engine.job.edit import edits
from engine.job.file.disk import Disk
from engine.job.file.store import load, save
from engine.job.file.systems import WINDOWS, hold
from engine.job.model.item_key import item_key
from engine.job.versions.unsaved import unsaved
from tests.demo import AT
from tests.tui.driving import shown, until, until_saved, until_shown
from tests.tui.in_hand import noted, notes
from tui.app import LinewalkApp
from tui.boxes.which_box import WhichDialog
from tui.screens.walk_screen import WalkScreen
from tui.working.saver import held

DEPTH = item_key("posts.P4.driven_depth")
SIZE = (80, 24)
OFFERED = "Work that isn't in this file yet"


async def test_a_copy_that_a_window_holds_is_offered_to_the_next_one_only_once_that_is_closed(path: Path) -> None:
    first = LinewalkApp(loaded=load(path), by="Mo")
    async with first.run_test(size=SIZE) as pilot:
        screen = first.screen
        assert isinstance(screen, WalkScreen)
        there = load(path)
        save(there, edits.tick(there.job, DEPTH, AT, "Teal", reading_in=24.0), AT)
        screen.edit("depth", lambda job, at, by: edits.tick(job, DEPTH, at, by, reading_in=30.0))
        await until_saved(pilot)
        screen.edit("note", noted("soft"))
        await until(pilot, lambda: isinstance(first.screen, WhichDialog) and screen.hand.working.rescue)
        second = LinewalkApp(loaded=load(path), by="Mo")
        async with second.run_test(size=SIZE) as other:
            await until_saved(other)
            await other.pause(0.5)
            assert isinstance(second.screen, WalkScreen)
            assert OFFERED not in shown(second)
        assert unsaved(load(path)) is None
    found = unsaved(load(path))
    assert found is not None
    assert notes(found.copy.job) == ["soft"]
    third = LinewalkApp(loaded=load(path), by="Mo")
    async with third.run_test(size=SIZE) as pilot:
        await until_shown(pilot, OFFERED)
        assert "Logged, by Mo: soft" in shown(third)
        assert 'Mo ticked P4 driven depth 30".' in shown(third)
        assert "nobody had said which to keep" in shown(third)


def test_however_its_program_ends_nobody_holds_a_file_any_more(tmp_path: Path) -> None:
    copy = tmp_path / "copy.toml"
    copy.write_text("format = 1\n", encoding="utf-8")
    holding = f"from pathlib import Path\nfrom engine.job.file.systems import hold\nkept = hold(Path({str(copy)!r}))"
    child = subprocess.Popen(
        [sys.executable, "-c", f"{holding}\nprint('held', flush=True)\ninput()"], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    )
    assert child.stdout is not None
    assert child.stdout.readline() == b"held\n"
    with pytest.raises(BlockingIOError):
        hold(copy)
    assert Disk().read(copy) == b"format = 1\n"
    child.kill()
    child.communicate()
    let_go = hold(copy)
    with pytest.raises(BlockingIOError):
        hold(copy)
    let_go()
    hold(copy)()


def test_a_copy_that_somebody_just_looks_at_is_held_a_moment_later(tmp_path: Path) -> None:
    copy = tmp_path / "copy.toml"
    copy.touch()
    looking = hold(copy)
    waited: list[float] = []

    def wait(seconds: float) -> None:
        waited.append(seconds)
        if len(waited) == 3:
            looking()

    let_go = held(Disk(sleep=wait), copy)
    assert waited == [0.005] * 3
    with pytest.raises(BlockingIOError):
        hold(copy)
    let_go()
    other = hold(copy)
    held(Disk(sleep=waited.append), copy)()
    assert len(waited) == 3 + 20
    other()


def test_where_no_file_can_be_held_and_read_all_are_free(tmp_path: Path) -> None:
    copy = tmp_path / "copy.toml"
    copy.touch()
    hold(copy, WINDOWS)
    hold(copy)()
