"""While it is asked which of two stands, the other laptop may save again: what is asked is of the file as it is by then."""

from collections.abc import Callable
from pathlib import Path
from time import sleep

import pytest
from textual.pilot import Pilot

from engine.job.edit import edits
from engine.job.file.store import load, save
from engine.job.merge.asked import Keep
from engine.job.model.item_key import item_key
from tests.demo import AT
from tests.faults.hanging_disk import HangingDisk
from tests.tui.driving import Patience, keys, on_disk, shown, until, until_saved, until_shown
from tests.tui.in_hand import noted, notes, signed, titled
from tui.app import LinewalkApp
from tui.boxes import choice
from tui.boxes.which_box import OVER, WhichDialog
from tui.screens.walk_screen import WalkScreen
from tui.working import saver as saving
from tui.working.saver import Saver
from tui.working.working_copy import Edit, edited, open_working

DEPTH = item_key("posts.P4.driven_depth")
SIZE = (80, 24)


@pytest.fixture(autouse=True)
def looks_often(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saving, "LOOK_S", 0.05)
    monkeypatch.setattr(choice, "RESTED_S", 0.0)


def read(inches: float) -> Edit:
    return lambda job, at, by: edits.tick(job, DEPTH, at, by, reading_in=inches)


def theirs(path: Path, *made: Edit) -> None:
    """The other laptop saves into the file."""
    for edit in made:
        there = load(path)
        save(there, edit(there.job, AT, "Teal"), AT)


def words(app: LinewalkApp) -> str:
    return " ".join(shown(app).replace("┃", " ").split())


async def asked(pilot: Pilot[int], path: Path, *mine: Edit) -> WalkScreen:
    """Teal read 24 in, Mo 30 in: which stands is asked."""
    app = pilot.app
    screen = app.screen
    assert isinstance(screen, WalkScreen)
    theirs(path, read(24.0))
    for edit in (read(30.0), *mine):
        screen.edit("mine", edit)
    await until(pilot, lambda: isinstance(app.screen, WhichDialog))
    return screen


async def test_what_they_read_anew_is_asked_about_and_the_old_question_takes_no_answer(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        screen = await asked(pilot, path)
        theirs(path, read(27.0))
        await until(pilot, lambda: OVER in words(app))
        await keys(pilot, "o", "t")
        assert screen.hand.working.conflicts
        await keys(pilot, "enter")
        assert isinstance(app.screen, WhichDialog)
        assert 'the other one: 27"' in words(app)
        await keys(pilot, "o")
        assert screen.hand.working.saved
    assert on_disk(path).checks[DEPTH].reading_in == 27.0


async def test_what_they_save_besides_leaves_the_question_and_is_told_after_it(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE, notifications=True) as pilot:
        screen = await asked(pilot, path, noted("soft"))
        of = screen.hand.working.asked_of
        theirs(path, noted("wet"))
        await until(pilot, lambda: screen.hand.working.asked_of is not of)
        await until_saved(pilot)
        assert 'this laptop: 30"' in words(app)
        await keys(pilot, "t")
        assert screen.hand.working.saved
        assert any("wet" in str(one.message) for one in app._notifications)
    assert on_disk(path).checks[DEPTH].reading_in == 30.0
    assert sorted(notes(on_disk(path))) == ["soft", "wet"]


async def test_where_they_take_theirs_back_nothing_is_asked_and_all_is_saved(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        screen = await asked(pilot, path, noted("soft"))
        theirs(path, lambda job, _at, _by: job.model_copy(update={"checks": {}}))
        await until(pilot, lambda: screen.hand.working.saved)
        await until_shown(pilot, "this isn't asked any more")
        await keys(pilot, "enter")
        assert isinstance(app.screen, WalkScreen)
    assert (on_disk(path).checks[DEPTH].reading_in, notes(on_disk(path))) == (30.0, ["soft"])
    assert len(on_disk(path).checks) == 1


async def test_work_beside_a_signed_job_goes_in_by_itself_once_that_is_reopened(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        theirs(path, signed)
        screen.edit("note", noted("soft"))
        await until(pilot, lambda: isinstance(app.screen, WhichDialog))
        theirs(path, lambda job, at, by: edits.reopen(job, "one more gate", at, by))
        await until(pilot, lambda: screen.hand.working.saved)
    assert (notes(on_disk(path)), on_disk(path).record) == (["soft"], None)


async def test_left_unanswered_it_goes_in_by_itself_too(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        screen = app.screen
        assert isinstance(screen, WalkScreen)
        theirs(path, signed)
        screen.edit("note", noted("soft"))
        await until(pilot, lambda: isinstance(app.screen, WhichDialog))
        await keys(pilot, "escape")
        assert isinstance(app.screen, WalkScreen)
        theirs(path, lambda job, at, by: edits.reopen(job, "one more gate", at, by))
        await until(pilot, lambda: screen.hand.working.saved)
        assert isinstance(app.screen, WalkScreen)
    assert notes(on_disk(path)) == ["soft"]


async def test_what_was_answered_of_several_stays_answered_where_another_is_asked_anew(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        theirs(path, titled("theirs"))
        screen = await asked(pilot, path, titled("ours"))
        assert [one.about for one in screen.hand.working.conflicts] == ["P4 driven depth", "The job's title"]
        await keys(pilot, "t")
        theirs(path, titled("theirs again"))
        await until_shown(pilot, "this isn't asked any more")
        await keys(pilot, "enter")
        assert "question 2 of 2" in words(app)
        assert "theirs again" in words(app)
        await keys(pilot, "o")
        assert screen.hand.working.saved
    assert (on_disk(path).checks[DEPTH].reading_in, on_disk(path).job.title) == (30.0, "theirs again")


def test_what_is_answered_while_the_file_is_being_joined_anew_goes_with_the_next_save(path: Path) -> None:
    disk = HangingDisk(path.parent)
    saver = Saver(open_working(load(path), "Mo"), disk.disk())
    theirs(path, titled("theirs"))
    saver.change(edited(saver.working, "title", titled("ours")))
    until_so(saver, lambda: saver.working.conflicts)
    question = saver.working.conflicts
    disk.hang()
    theirs(path, noted("wet"))
    until_so(saver, lambda: saver.working.sent)
    saver.send(Keep(dict.fromkeys(question, "ours")))
    disk.go()
    until_so(saver, lambda: saver.working.saved)
    assert (on_disk(path).job.title, notes(on_disk(path))) == ("ours", ["wet"])


def until_so(saver: Saver, so: Callable[[], object]) -> None:
    patience = Patience()
    while not so():
        assert patience.lasts, saver.working.standing
        saver.land()
        saver.tend()
        sleep(0.002)
