"""The way to the disk: edits during a save, a disk that hangs, one that fails and comes back, and leaving in spite of it."""

import errno
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from time import sleep

import pytest

from engine.job.file.backups import rescue_folder
from engine.job.file.disk import Disk
from engine.job.file.store import load
from tests.demo import AT, DEMO, demo
from tests.faults.hanging_disk import HangingDisk
from tests.tui.driving import Patience, on_disk
from tests.tui.in_hand import FLAG, OTHER, Clock, edited, home, noted, notes, put, reopened, signed, ticked, titled
from tui.working import saver as saving
from tui.working import working_copy as in_hand
from tui.working.saver import Saver
from tui.working.working_copy import Edit, Working, open_working, sending

WHY = {errno.ENOSPC: "the disk is full.", errno.EROFS: "the disk is read-only.", errno.ENOENT: "its folder isn't there any more."}


@pytest.fixture
def working(file: Path) -> Working:
    return open_working(load(file), "Mo", Clock())


@pytest.fixture
def disk(file: Path, monkeypatch: pytest.MonkeyPatch) -> HangingDisk:
    monkeypatch.setattr(saving, "SLOW_S", 0.02)
    monkeypatch.setattr(saving, "AGAIN_S", 0.02)
    return HangingDisk(file.parent)


@pytest.fixture
def saver(working: Working, disk: HangingDisk) -> Saver:
    return Saver(working, disk.disk())


def until(saver: Saver, so: Callable[[Working], bool]) -> Working:
    """The working copy once something is so, looked after as the screen does."""
    patience = Patience()
    while not so(saver.working):
        assert patience.lasts, saver.working.standing
        saver.land()
        saver.tend()
        sleep(0.002)
    return saver.working


def copies(saver: Saver) -> list[Path]:
    """Copies of this job kept elsewhere."""
    real = Path(saver.working.loaded.path).resolve()
    return list(rescue_folder(saver.state, real).glob("*.toml"))


def kept_in(working: Working) -> str:
    """What is said of the copy kept elsewhere."""
    assert working.rescue is not None
    return f"Your work is kept in {working.rescue.parent}"


def edit(saver: Saver, words: str, how: Edit) -> None:
    saver.change(in_hand.edited(saver.working, words, how))


def test_what_was_edited_during_a_save_stands_and_is_saved_next(file: Path, working: Working) -> None:
    sent = sending(in_hand.edited(working, "first", ticked(FLAG)))
    more = in_hand.edited(sent, "second", ticked(OTHER))
    back = home(sent, more)
    assert (back.saved, list(on_disk(file).checks), list(back.job.checks)) == (False, [FLAG], [FLAG, OTHER])
    last = put(back)
    assert (last.saved, list(on_disk(file).checks), last.job) == (True, [FLAG, OTHER], more.job)
    assert [step.words for step in last.past] == ["first", "second"]


def test_what_came_in_with_a_save_is_joined_with_what_was_edited_meanwhile(file: Path, working: Working) -> None:
    edited(open_working(load(file), "Teal", Clock()), "theirs", noted("theirs"))
    sent = sending(in_hand.edited(working, "first", ticked(FLAG)))
    more = in_hand.edited(in_hand.edited(sent, "second", noted("ours")), "title", titled("ours"))
    back = home(sent, more)
    assert (notes(back.job), notes(on_disk(file)), back.news) == (["ours"], ["theirs"], ())
    last = put(back)
    assert (notes(on_disk(file)), list(on_disk(file).checks), on_disk(file).job.title) == (["theirs", "ours"], [FLAG], "ours")
    assert (last.saved, last.job) == (True, on_disk(file))
    assert last.news == ("Logged, by Teal: theirs",)


def test_a_fact_changed_here_during_the_save_and_on_the_other_laptop_before_is_asked(file: Path, working: Working) -> None:
    edited(open_working(load(file), "Teal", Clock()), "theirs", titled("theirs"))
    sent = sending(in_hand.edited(working, "first", ticked(FLAG)))
    more = in_hand.edited(sent, "title", titled("ours"))
    back = home(sent, more)
    asked = put(back)
    assert ([conflict.path for conflict in asked.conflicts], on_disk(file).job.title) == ([("job", "title")], "theirs")
    assert put(asked, "ours").job.job.title == on_disk(file).job.title == "ours"


def test_an_entry_taken_back_while_its_save_is_under_way_is_struck_not_lost(file: Path, working: Working) -> None:
    sent = sending(in_hand.edited(working, "note", noted("soft ground")))
    back = in_hand.undone(sent).working
    last = put(home(sent, back))
    assert last.saved
    assert [entry.struck_at is None for entry in on_disk(file).log] == [False]


def test_a_job_signed_and_opened_again_before_the_seal_was_on_disk(file: Path, working: Working) -> None:
    sent = sending(in_hand.edited(working, "signed off", signed))
    more = in_hand.edited(sent, "reopened", reopened)
    last = put(home(sent, more))
    assert (last.saved, last.conflicts, on_disk(file).record) == (True, (), None)
    assert [entry.kind for entry in on_disk(file).log] == ["signed", "reopened"]


def test_edits_go_on_while_the_disk_hangs_and_the_newest_job_is_saved_once_it_answers(file: Path, saver: Saver, disk: HangingDisk) -> None:
    disk.hang()
    before = file.read_bytes()
    for number in range(5):
        edit(saver, f"note {number}", noted(f"note {number}"))
        until(saver, lambda working: working.sent is not None)
    assert len(notes(saver.working.job)) == 5
    assert (saver.working.saved, saver.at_rest, file.read_bytes()) == (False, False, before)
    disk.go()
    until(saver, lambda working: working.saved)
    assert notes(on_disk(file)) == [f"note {number}" for number in range(5)]
    assert load(file).heading.revision == load(DEMO).heading.revision + 2


def test_what_is_taken_back_before_it_was_sent_never_was_in_the_file(file: Path, saver: Saver) -> None:
    edit(saver, "note", noted("a slip"))
    saver.change(in_hand.undone(saver.working)[0])
    edit(saver, "tick", ticked(FLAG))
    until(saver, lambda working: working.saved)
    assert (len(on_disk(file).log), list(on_disk(file).checks)) == (len(demo().log), [FLAG])


def test_a_disk_that_hangs_is_said_and_the_newest_work_kept_elsewhere_until_it_answers(file: Path, saver: Saver, disk: HangingDisk) -> None:
    disk.hang()
    edit(saver, "first", ticked(FLAG))
    working = until(saver, lambda working: working.rescue is not None)
    assert working.standing == f"Not saved yet: the disk doesn't answer. Go on working, and don't switch off. {kept_in(working)}"
    edit(saver, "second", ticked(OTHER))
    first = working.rescue
    working = until(saver, lambda working: working.rescue != first)
    assert working.rescue is not None
    assert list(load(working.rescue).job.checks) == [FLAG, OTHER]
    assert on_disk(file) == demo()
    disk.go()
    until(saver, lambda working: working.saved and working.rescue is None)
    assert (list(on_disk(file).checks), saver.working.standing) == ([FLAG, OTHER], "")
    until(saver, lambda _: not copies(saver))


@pytest.mark.parametrize("error", WHY)
def test_a_disk_that_fails_is_said_tried_again_and_said_to_be_back(file: Path, saver: Saver, disk: HangingDisk, error: int) -> None:
    disk.fail(error)
    edit(saver, "first", ticked(FLAG))
    working = until(saver, lambda working: bool(working.trouble))
    assert (working.why, working.saved) == (WHY[error], False)
    assert working.rescue is not None
    assert working.trouble == f"Not saved: {WHY[error]} It is tried again every few seconds. {kept_in(working)}"
    edit(saver, "second", ticked(OTHER))
    until(saver, lambda _: saver.at_rest)
    assert list(load(saver.working.rescue or file).job.checks) == [FLAG, OTHER]
    assert on_disk(file) == demo()
    disk.go()
    working = until(saver, lambda working: working.saved)
    assert list(on_disk(file).checks) == [FLAG, OTHER]
    assert (working.trouble, working.rescue, working.news[0][:34]) == ("", None, "The disk is back: everything up to")
    until(saver, lambda _: not copies(saver))


def test_a_disk_that_stays_away_leaves_no_heap_of_copies_however_often_it_is_tried(saver: Saver, disk: HangingDisk) -> None:
    disk.fail(errno.ENOENT)
    edit(saver, "first", ticked(FLAG))
    seen: set[Path | None] = {None}
    for _ in range(4):
        seen.add(until(saver, lambda working: working.rescue not in seen).rescue)
    until(saver, lambda working: copies(saver) == [working.rescue])


def test_a_copy_made_in_the_second_of_the_one_before_is_there_when_it_is_said_to_be(
    saver: Saver, disk: HangingDisk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The disk hangs, the copy it led to is on its way as the program is left, and both copies hold the same."""
    saver.working = replace(saver.working, clock=lambda: AT)
    disk.hang()
    edit(saver, "first", ticked(FLAG))
    until(saver, lambda working: working.rescue is not None)
    let_go: list[Path] = []
    monkeypatch.setattr(saving, "remove", lambda _, path: let_go.append(path))
    says = saver.finish(0.2)
    assert says.endswith(f"They are kept in {saver.working.rescue}.")
    assert saver.working.rescue not in let_go
    disk.go()


def test_a_fault_of_the_program_is_said_and_the_work_kept(file: Path, working: Working) -> None:
    def broken(path: Path, mode: int) -> None:
        raise KeyError(f"{path.parent.name} {mode:o}")

    saver = Saver(working, replace(Disk(), chmod=broken))
    edit(saver, "first", ticked(FLAG))
    told = until(saver, lambda working: bool(working.trouble))
    assert told.trouble.startswith("Not saved: the program met a fault (KeyError('jobs 644')).")
    assert list(load(told.rescue or file).job.checks) == [FLAG]
    assert on_disk(file) == demo()


def test_leaving_waits_for_a_disk_that_answers(file: Path, saver: Saver) -> None:
    edit(saver, "first", ticked(FLAG))
    edit(saver, "second", ticked(OTHER))
    assert saver.finish() == ""
    assert list(on_disk(file).checks) == [FLAG, OTHER]


@pytest.mark.parametrize("error", [0, errno.ENOSPC])
def test_leaving_a_disk_that_hangs_or_fails_keeps_the_newest_work_elsewhere_and_says_where(
    file: Path, saver: Saver, disk: HangingDisk, error: int
) -> None:
    disk.fail(error) if error else disk.hang()
    edit(saver, "first", ticked(FLAG))
    edit(saver, "second", ticked(OTHER))
    says = saver.finish(0.2)
    assert says == f"yard.toml: the last changes are not in the file. They are kept in {saver.working.rescue}."
    assert list(load(saver.working.rescue or file).job.checks) == [FLAG, OTHER]
    assert on_disk(file) == demo()
    disk.go()
