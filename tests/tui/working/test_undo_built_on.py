"""Undo of what another laptop built on, changed or calls otherwise: by real keys with the file read, and case by case in hand."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.job.edit import edits
from engine.job.edit.entering import rename
from engine.job.edit.striking import strike
from engine.job.file.as_read import as_read
from engine.job.file.store import load, save
from engine.job.merge.merge import merge
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import live
from engine.walk import walk
from tests.demo import AT, FOLDER
from tests.tui.driving import keys, on_disk, reach, typed, until_shown
from tests.tui.in_hand import FLAG, Clock, noted, notes
from tui.app import LinewalkApp
from tui.boxes import choice
from tui.screens.walk_screen import WalkScreen
from tui.working import saver as saving
from tui.working import working_copy as in_hand
from tui.working.working_copy import Edit, Replayed, Working, looked, open_working

RING = load(FOLDER / "ridge_ring.toml")
DEPTH = item_key("posts.P13.driven_depth")
FRESH = edits.next_post_id(RING.job)
"""What a post that is added is called."""
Change = Callable[[Job], Job]


@pytest.fixture
def looking_often(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saving, "LOOK_S", 0.05)
    monkeypatch.setattr(choice, "RESTED_S", 0.0)


async def said(pilot: object, path: Path, change: Change) -> None:
    """Ash's work, saved on the other laptop, once it is here."""
    save(load(path), edits.note(change(load(path).job), "by Ash", AT, "Ash"), AT)
    await until_shown(pilot, "by Ash")  # type: ignore[arg-type]  # a pilot


def words(app: LinewalkApp) -> str:
    """What was said last."""
    return str(list(app._notifications)[-1].message)


@pytest.mark.usefixtures("looking_often")
async def test_a_post_that_the_other_laptop_moved_since_stays_and_the_key_says_why(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        assert isinstance(app.screen, WalkScreen)
        await keys(pilot, "2", "l", "a")
        await typed(pilot, "236")
        await keys(pilot, "enter", "enter")
        (added,) = (entry for entry in on_disk(path).log if entry.kind == "add")
        await said(pilot, path, lambda job: edits.move_post(job, added.post, AT, "Ash", along_ft=1.0))
        stands = path.read_bytes()
        await keys(pilot, "u")
        assert f"Another laptop built on it. {added.post} moved" in words(app)
        assert words(app).endswith("If it has to go, strike it in the log (g).")
        assert words(app).startswith("Can't be taken back: ")
        assert path.read_bytes() == stands
        assert added.post in app.screen.hand.walk.layout.supports


@pytest.mark.usefixtures("looking_often")
async def test_a_post_is_taken_back_where_the_other_laptop_moved_another(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await keys(pilot, "2", "l", "a")
        await typed(pilot, "236")
        await keys(pilot, "enter", "enter")
        await said(pilot, path, lambda job: edits.move_post(job, "P5", AT, "Ash", along_ft=1.0))
        await keys(pilot, "u")
        assert words(app).startswith("Taken back: ")
        stands = {entry.kind: entry.struck_at is None for entry in on_disk(path).log}
        assert (stands["add"], stands["move"], stands["note"]) == (False, True, True)


@pytest.mark.usefixtures("looking_often")
async def test_a_reading_that_the_other_laptop_read_anew_stays_as_it_read_it(path: Path) -> None:
    depth = item_key("posts.P4.driven_depth")
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await reach(pilot, depth)
        await typed(pilot, "29")
        await keys(pilot, "enter")
        assert on_disk(path).checks[depth].reading_in == 29.0
        await said(pilot, path, lambda job: edits.tick(job, depth, AT, "Ash", reading_in=22, of=job.checks[depth].of))
        stands = path.read_bytes()
        await keys(pilot, "u")
        assert 'Another laptop changed it since. P4 driven depth: 22", by Ash on Apr 14 at' in words(app)
        assert path.read_bytes() == stands
        await keys(pilot, "u")
        assert words(app) == "There is nothing to take back."


@pytest.mark.usefixtures("looking_often")
async def test_a_reading_given_up_for_the_other_laptops_when_asked_is_not_said_to_be_taken_back(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        assert isinstance(app.screen, WalkScreen)
        there = load(path)
        save(there, edits.tick(there.job, FLAG, AT, "Ash", needed=False), AT)
        app.screen.edit("P4: flag set", lambda job, at, by: edits.tick(job, FLAG, at, by))
        await until_shown(pilot, "Both laptops changed this")
        await keys(pilot, "o")
        stands = path.read_bytes()
        assert on_disk(path).checks[FLAG].by == "Ash"
        await keys(pilot, "u")
        assert "P4 flag: not needed, by Ash on Apr 14" in words(app)
        assert path.read_bytes() == stands


@pytest.mark.usefixtures("looking_often")
async def test_undo_goes_on_past_a_post_that_the_other_laptop_moved_to_the_note_before_it(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        assert isinstance(app.screen, WalkScreen)
        app.screen.edit("note: soft", noted("soft"))
        await keys(pilot, "2", "l", "a")
        await typed(pilot, "236")
        await keys(pilot, "enter", "enter")
        (added,) = (entry for entry in on_disk(path).log if entry.kind == "add")
        await said(pilot, path, lambda job: edits.move_post(job, added.post, AT, "Ash", along_ft=1.0))
        stands = path.read_bytes()
        await keys(pilot, "u")
        assert words(app).endswith("Undo again takes back what was done before: note: soft.")
        assert path.read_bytes() == stands
        await keys(pilot, "u")
        assert words(app).startswith("Taken back: note: soft")
        after = on_disk(path)
        assert [entry.text for entry in after.log if entry.kind == "note" and entry.struck_at] == ["soft"]
        assert [entry.kind for entry in live(after.log)][-3:] == ["add", "move", "note"]
        await keys(pilot, "u")
        assert words(app).startswith("Can't be taken back: ")
        assert "Undo again" not in words(app)
        await keys(pilot, "r")
        assert "soft" in notes(on_disk(path))


@pytest.mark.usefixtures("looking_often")
async def test_a_note_that_the_other_laptop_struck_is_passed_over_and_nothing_is_said_to_be_done(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        assert isinstance(app.screen, WalkScreen)
        app.screen.edit("flag P4", lambda job, at, by: edits.tick(job, FLAG, at, by))
        app.screen.edit("note: soft", noted("soft"))
        await keys(pilot)
        await said(pilot, path, lambda job: strike(job, job.log[-1].id, AT, "Ash"))
        stands = path.read_bytes()
        await keys(pilot, "u")
        assert words(app).startswith("Can't be taken back: note: soft. Another laptop changed it since.")
        assert words(app).endswith("by Ash. Undo again takes back what was done before: flag P4.")
        await keys(pilot, "r")
        assert words(app) == "There is nothing to redo."
        assert path.read_bytes() == stands
        await keys(pilot, "u")
        assert words(app).startswith("Taken back: flag P4")
        assert FLAG not in on_disk(path).checks
        await keys(pilot, "u")
        assert words(app) == "There is nothing to take back."


# Case by case -------------------------------------------------------------------------------------------------------


def undone_after(mine: Edit, theirs: Change, *, apart: bool = False) -> tuple[Working, Replayed]:
    """Mo's edit, what Ash made of it (or of the job before it), and what undo gives then."""
    start = open_working(replace(RING, read_only_reason=None), "Mo", Clock())
    made = in_hand.edited(start, "mine", mine)
    other = theirs(start.job if apart else made.job)
    together = merge(start.job, made.job, other).job if apart else other
    saved = replace(made, loaded=replace(made.loaded, job=made.job), base=made.job)
    here = looked(saved, replace(saved.loaded, job=as_read(together)))
    return here, in_hand.undone(here)


def called(table: str, old: str, new: str) -> Change:
    return lambda job: rename(job, table, old, new)


def new_way(job: Job, at: object, by: str) -> Job:
    before = walk(job)
    return with_new_way(job, before, given_up(job, before, NewWay("P7", "P10", ("W2",)), at), at, by)  # type: ignore[arg-type]  # a time


@pytest.mark.parametrize(
    "theirs", [lambda job: edits.move_post(job, "P20", AT, "Ash", along_ft=1.0), lambda job: edits.drop_post(job, "P20", AT, "Ash")]
)
def test_a_new_way_is_taken_back_where_the_other_laptop_touched_another_post(theirs: Change) -> None:
    here, back = undone_after(new_way, theirs)
    assert (back.why, "P8" in back.working.walk.layout.supports) == ("", True)
    assert [(entry.by, entry.struck_at is None) for entry in back.working.job.log][-2:] == [("Mo", False), ("Ash", True)]
    then, now = back.working.walk.layout.supports, here.walk.layout.supports
    assert ("P20" in then) == ("P20" in now)
    assert "P20" not in now or then["P20"].xy == pytest.approx(now["P20"].xy, abs=0.02)


def test_a_new_way_stays_where_a_post_was_added_by_its_stations() -> None:
    """The old way has other stations there: the post would stand elsewhere."""
    here, back = undone_after(new_way, lambda job: edits.add_post(job, "ring", 200, AT, "Ash"))
    assert back.working.job is here.job
    assert "Another laptop built on it. The adding of P29 on Apr 14 stands on it. If it has to go, strike it in the log (g)." in back.why


def test_a_new_way_of_a_job_without_a_log_is_taken_back_or_it_is_said_why() -> None:
    bare = replace(RING, job=RING.job.model_copy(update={"log": (), "checks": {}}))
    made = in_hand.edited(open_working(bare, "Mo", Clock()), "new way", new_way)
    saved = replace(made, loaded=replace(made.loaded, job=made.job), base=made.job)
    here = looked(saved, replace(saved.loaded, job=edits.add_post(made.job, "ring", 200, AT, "Ash")))
    assert in_hand.undone(here).why


@pytest.mark.parametrize(
    ("table", "old", "new", "theirs"),
    [
        ("trees", "ash", "oak", lambda job: edits.swap_to_tree(job, "P10", "oak", AT, "Ash")),
        ("lines", "ring", "main", lambda job: edits.obstacle(job, "rock", "main", 250, AT, "Ash")),
        ("gates", "upper", "top", lambda job: edits.tick(job, item_key("gate.top.opening"), AT, "Ash", reading_ft=4.2)),
    ],
)
def test_a_name_is_taken_back_and_what_the_other_laptop_said_by_it_follows(table: str, old: str, new: str, theirs: Change) -> None:
    here, back = undone_after(lambda job, _at, _by: called(table, old, new)(job), theirs)
    assert back.why == ""
    assert as_read(back.working.job) == as_read(called(table, new, old)(here.job))
    assert old in getattr(back.working.job, table)
    assert len(live(back.working.job.log)) == len(live(here.job.log))
    assert len(back.working.job.checks) == len(here.job.checks)


def test_a_name_that_the_other_laptop_changed_again_stays() -> None:
    here, back = undone_after(lambda job, _at, _by: called("gates", "upper", "top")(job), called("gates", "top", "peak"))
    assert back.working.job is here.job
    assert "Gate top isn't there any more." in back.why


def test_what_the_other_laptop_calls_otherwise_since_is_taken_back_under_its_new_name() -> None:
    opening = item_key("gate.upper.opening")
    _, back = undone_after(lambda job, at, by: edits.tick(job, opening, at, by, reading_ft=4.2), called("gates", "upper", "top"))
    assert back.why == ""
    assert ["top" in back.working.job.gates, item_key("gate.top.opening") in back.working.job.checks] == [True, False]


def test_a_post_that_got_another_number_because_both_added_one_is_taken_back_alone() -> None:
    here, back = undone_after(
        lambda job, at, by: edits.add_post(job, "ring", 200, at, by), lambda job: edits.add_post(job, "ring", 260, AT, "Ash"), apart=True
    )
    (mine,) = (entry for entry in here.job.log if entry.kind == "add" and entry.by == "Mo")
    (theirs,) = (entry for entry in here.job.log if entry.kind == "add" and entry.by == "Ash")
    assert mine.post != theirs.post
    assert back.why == ""
    assert mine.post not in back.working.walk.layout.supports
    assert back.working.walk.layout.supports[theirs.post].xy == here.walk.layout.supports[theirs.post].xy


def test_a_reading_at_a_post_that_was_moved_for_it_keeps_the_move() -> None:
    depth = item_key("posts.P12.driven_depth")

    def driven(job: Job) -> Job:
        of = next(line.item.of for line in walk(job).checklists["posts"].lines if line.item.key == depth)
        return edits.tick(job, depth, AT, "Ash", reading_in=30, of=of)

    here, back = undone_after(lambda job, at, by: edits.move_post(job, "P12", at, by, along_ft=1.0), driven)
    assert back.working.job is here.job
    assert "Ash ticked P12 driven depth, which would count no more. If it has to go, strike it in the log (g)." in back.why


def test_what_was_done_before_an_edit_that_is_gone_can_still_be_taken_back() -> None:
    start = in_hand.edited(open_working(replace(RING, read_only_reason=None), "Mo", Clock()), "note", noted("soft ground"))
    made = in_hand.edited(start, "depth", lambda job, at, by: edits.tick(job, DEPTH, at, by, reading_in=20))
    saved = replace(made, loaded=replace(made.loaded, job=made.job), base=made.job)
    here = looked(saved, replace(saved.loaded, job=edits.tick(made.job, DEPTH, AT, "Ash", reading_in=22)))
    gone = in_hand.undone(here)
    assert ("P13 driven depth: 22" in gone.why, gone.working.job is here.job) == (True, True)
    back = in_hand.undone(gone.working)
    assert (back.words, back.why, notes(back.working.job)) == ("note", "", notes(RING.job))
    assert back.working.job.checks[DEPTH].reading_in == 22


def saved_and_looked(working: Working, theirs: Change) -> Working:
    """All of Mo's saved, then what Ash made of it."""
    saved = replace(working, loaded=replace(working.loaded, job=working.job), base=working.job)
    return looked(saved, replace(saved.loaded, job=as_read(theirs(working.job))))


def test_what_an_edit_of_ones_own_that_stays_is_built_on_is_not_said_to_be_the_other_laptops() -> None:
    """Mo adds a post and moves it; Ash drives it there: the move can't go, and the adding, which it stands on, can't either."""
    start = open_working(replace(RING, read_only_reason=None), "Mo", Clock())
    added = in_hand.edited(start, "added", lambda job, at, by: edits.add_post(job, "ring", 200, at, by))
    made = in_hand.edited(added, "moved", lambda job, at, by: edits.move_post(job, FRESH, at, by, along_ft=1.0))
    depth = item_key(f"posts.{FRESH}.driven_depth")
    of = made.walk.checklists["posts"].by_key[depth].item.of
    here = saved_and_looked(made, lambda job: edits.tick(job, depth, AT, "Ash", reading_in=30, of=of))
    first = in_hand.undone(here)
    assert (first.words, first.then) == ("moved", "added")
    assert f"Another laptop built on it. Ash ticked {FRESH} driven depth" in first.why
    second = in_hand.undone(first.working)
    assert (second.words, second.then) == ("added", "")
    assert second.why.startswith("What was done since is built on it.")
    assert second.working.job is here.job


def test_what_was_passed_over_is_tried_again_once_more_comes_in() -> None:
    start = open_working(replace(RING, read_only_reason=None), "Mo", Clock())
    made = in_hand.edited(start, "note", noted("soft"))
    made = in_hand.edited(made, "added", lambda job, at, by: edits.add_post(job, "ring", 200, at, by))
    here = saved_and_looked(made, lambda job: edits.move_post(job, FRESH, AT, "Ash", along_ft=1.0))
    passed = in_hand.undone(here).working
    move = live(here.job.log)[-1].id
    again = saved_and_looked(passed, lambda job: strike(job, move, AT, "Ash"))
    back = in_hand.undone(again)
    assert (back.words, back.why) == ("added", "")
    assert in_hand.undone(back.working).words == "note"


def test_an_edit_after_one_that_was_passed_over_goes_first_and_then_what_was_done_before() -> None:
    start = open_working(replace(RING, read_only_reason=None), "Mo", Clock())
    made = in_hand.edited(start, "note", noted("soft"))
    made = in_hand.edited(made, "added", lambda job, at, by: edits.add_post(job, "ring", 200, at, by))
    here = saved_and_looked(made, lambda job: edits.move_post(job, FRESH, AT, "Ash", along_ft=1.0))
    working, said = in_hand.edited(in_hand.undone(here).working, "more", noted("more")), []
    for _ in range(3):
        back = in_hand.undone(working)
        working = back.working
        said.append((back.words, bool(back.why)))
    assert said == [("more", False), ("note", False), ("added", True)]


def test_a_reading_that_the_other_laptop_opened_again_is_not_said_to_be_taken_back() -> None:
    here, back = undone_after(
        lambda job, at, by: edits.tick(job, DEPTH, at, by, reading_in=20),
        lambda job: edits.untick(job, DEPTH, AT, "Ash", job.checks[DEPTH]),
    )
    assert back.why.startswith("Another laptop changed it since. P13 driven depth: ")
    assert back.working.job is here.job
    assert back.working.past == ()
