"""The working copy: every edit, undo and redo is in hand at once and saved next; what the disk refuses stays in hand."""

import shutil
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.edit import edits
from engine.job.errors import EditRefused, ReadOnlyFile
from engine.job.file.store import load
from engine.job.model.words.log_sentences import sentence
from engine.stages.layout.stage import planned_posts
from engine.walk import walk
from tests.demo import AT, DEMO, FOLDER, demo
from tests.tui.driving import on_disk
from tests.tui.in_hand import (
    FLAG,
    OTHER,
    Clock,
    edited,
    home,
    noted,
    notes,
    put,
    redone,
    reopened,
    signed,
    standing,
    ticked,
    titled,
    undone,
)
from tui.working import working_copy as in_hand
from tui.working.working_copy import Edit, Working, open_working, sending, working_as


@pytest.fixture
def working(file: Path) -> Working:
    return open_working(load(file), "Mo", Clock())


def test_a_file_just_opened_is_saved_and_walked_with_nothing_to_take_back(working: Working) -> None:
    assert working.job == demo()
    assert working.walk == walk(demo())
    assert (working.saved, working.trouble, working.read_only, working.past, working.saved_at) == (True, "", "", (), None)


def test_an_edit_is_in_hand_at_once_and_says_saved_only_once_it_is_on_disk(file: Path, working: Working) -> None:
    before = file.read_bytes()
    shown = in_hand.edited(working, "P4: flag set", ticked(FLAG))
    assert (shown.saved, shown.job.checks[FLAG].by, file.read_bytes()) == (False, "Mo", before)
    sent = sending(shown)
    assert (sent.saved, sending(sent), file.read_bytes()) == (False, sent, before)
    after = home(sent)
    assert on_disk(file) == after.job
    assert on_disk(file).checks[FLAG].by == "Mo"
    assert on_disk(file).checks[FLAG].at == AT + timedelta(minutes=1)
    assert after.saved
    assert after.saved_at == AT + timedelta(minutes=2)
    assert load(file).heading.revision == load(DEMO).heading.revision + 1
    assert after.walk == walk(after.job)
    assert after.walk.checklists["layout"].done == 1


def test_the_copy_before_an_edit_stays_what_it_was(working: Working) -> None:
    edited(working, "P4: flag set", ticked(FLAG))
    assert working.job == demo()
    assert working.past == ()


def test_an_edit_that_is_refused_changes_nothing(file: Path, working: Working) -> None:
    stands = file.read_bytes()
    with pytest.raises(EditRefused, match="needs some words"):
        edited(working, "note", noted(" "))
    assert file.read_bytes() == stands


def test_undo_and_redo_are_on_disk_too_and_say_what(file: Path, working: Working) -> None:
    after = edited(edited(working, "first", ticked(FLAG)), "second", noted("soft ground"))
    once, what = undone(after)
    assert what == "second"
    assert (on_disk(file), notes(on_disk(file)), list(on_disk(file).checks)) == (once.job, [], [FLAG])
    twice, what = undone(once)
    assert what == "first"
    assert on_disk(file) == twice.job
    assert standing(twice.job) == demo()
    again, what = redone(twice)
    assert what == "first"
    assert on_disk(file) == again.job == once.job
    last, what = redone(again)
    assert what == "second"
    assert on_disk(file) == last.job == after.job
    assert load(file).heading.revision == load(DEMO).heading.revision + 6
    assert last.walk == walk(last.job)


def test_what_is_taken_back_is_struck_with_when_and_by_whom(file: Path, working: Working) -> None:
    back, _ = undone(working_as(edited(working, "note", noted("soft ground")), "Teal"))
    struck = on_disk(file).log[-1]
    assert (struck.by, struck.struck_by, struck.struck_at) == ("Mo", "Teal", AT + timedelta(minutes=3))
    assert sentence(struck) == f"soft ground (struck {struck.struck_at:%H:%M} by Teal)"
    redone(back)
    assert sentence(on_disk(file).log[-1]) == "soft ground"


def test_what_never_reached_the_disk_is_not_kept_when_it_is_taken_back(file: Path, working: Working) -> None:
    away = file.parent.rename(file.parent.with_name("away"))
    back, _ = undone(edited(working, "note", noted("soft ground")))
    away.rename(file.parent)
    assert put(back).saved
    assert on_disk(file).log == ()
    redone(back)
    assert notes(on_disk(file)) == ["soft ground"]


def test_what_was_struck_stays_struck_while_other_edits_come_and_go(file: Path, working: Working) -> None:
    struck, _ = undone(edited(working, "note", noted("first")))
    undone(edited(struck, "note", noted("second")))
    assert [(entry.text, entry.struck_at is None) for entry in on_disk(file).log] == [("first", False), ("second", False)]  # type: ignore[union-attr]  # notes


def test_a_struck_rock_and_a_struck_plan_block_and_plan_nothing(working: Working) -> None:
    rock, _ = undone(edited(working, "rock", RANDOM["rock"]()))
    assert rock.walk.layout == working.walk.layout
    posts = planned_posts(working.walk.layout)
    planned = edited(rock, "plan", lambda job, at, by: edits.accept_layout(job, posts, at, by))
    moved = edited(planned, "move", lambda job, at, by: edits.move_post(job, "P6", at, by, along_ft=2))
    once, _ = undone(moved)
    assert once.walk.layout == planned.walk.layout
    twice, _ = undone(once)
    assert twice.walk.layout == working.walk.layout


def test_with_nothing_to_take_back_or_to_do_again_nothing_happens(file: Path, working: Working) -> None:
    stands = file.read_bytes()
    assert undone(working) == (working, "")
    assert redone(working) == (working, "")
    assert file.read_bytes() == stands


def test_an_edit_after_an_undo_ends_what_could_be_done_again(working: Working) -> None:
    back, _ = undone(edited(working, "first", ticked(FLAG)))
    after = edited(back, "other", ticked(OTHER))
    assert after.future == ()
    assert redone(after) == (after, "")
    assert [step.words for step in after.past] == ["other"]


RANDOM: dict[str, Callable[[], Edit]] = {
    "tick": lambda: ticked(FLAG),
    "untick": lambda: lambda job, at, by: edits.untick(job, FLAG, at, by),
    "note": lambda: noted("soft ground"),
    "rock": lambda: lambda job, at, by: edits.obstacle(job, "rock", "back", 83, at, by),
}


@settings(max_examples=12, deadline=None)
@given(st.lists(st.sampled_from(list(RANDOM)), max_size=6))
def test_undoing_all_gives_the_first_job_and_redoing_all_the_last(tmp_path_factory: pytest.TempPathFactory, names: list[str]) -> None:
    file = Path(shutil.copy(DEMO, tmp_path_factory.mktemp("undo") / "yard.toml"))
    first = working = open_working(load(file), "Mo", Clock())
    for name in names:
        working = edited(working, name, RANDOM[name]())
    last, taken_back = working, []
    while working.past:
        working, words = undone(working)
        taken_back.append(words)
    assert taken_back == names[::-1]
    assert working.job == on_disk(file)
    assert standing(working.job) == first.job
    assert [entry.id for entry in working.job.log] == [entry.id for entry in last.job.log]
    while working.future:
        working, _ = redone(working)
    assert working.job == last.job == on_disk(file)


def test_what_the_disk_refuses_stays_in_hand_with_the_trouble_said(file: Path, working: Working) -> None:
    file.parent.rename(file.parent.with_name("away"))
    after = edited(working, "P4: flag set", ticked(FLAG))
    assert not after.saved
    assert after.trouble.startswith("Not saved: its folder isn't there any more.")
    assert after.job.checks[FLAG].by == "Mo"
    assert after.walk == walk(after.job)
    assert after.loaded is working.loaded
    assert after.saved_at is None
    assert after.rescue is not None
    assert on_disk(after.rescue) == after.job
    assert [step.words for step in after.past] == ["P4: flag set"]
    assert on_disk(file.parent.with_name("away") / "yard.toml") == demo()


def test_work_goes_on_without_the_disk_and_is_all_saved_once_it_is_back(file: Path, working: Working) -> None:
    away = file.parent.rename(file.parent.with_name("away"))
    after = edited(edited(working, "first", ticked(FLAG)), "second", noted("soft ground"))
    after, _ = undone(edited(after, "third", ticked(OTHER)))
    after = put(after)
    assert not after.saved
    away.rename(file.parent)
    whole = put(after)
    assert (whole.saved, whole.trouble, whole.rescue) == (True, "", None)
    assert " 09:" in whole.news[0]
    assert on_disk(file) == whole.job == after.job
    assert (list(on_disk(file).checks), notes(on_disk(file))) == ([FLAG], ["soft ground"])
    assert [step.words for step in whole.past] == ["first", "second"]


def test_the_next_edit_that_the_disk_takes_brings_the_ones_before_with_it(file: Path, working: Working) -> None:
    away = file.parent.rename(file.parent.with_name("away"))
    after = edited(working, "first", ticked(FLAG))
    away.rename(file.parent)
    after = edited(after, "second", ticked(OTHER))
    assert after.saved
    assert list(on_disk(file).checks) == [FLAG, OTHER]


def test_a_file_to_look_at_only_says_why_and_takes_no_edit(file: Path) -> None:
    file.chmod(0o444)
    stands = file.read_bytes()
    working = open_working(load(file), "Mo", Clock())
    assert working.read_only.startswith("is marked read-only on the disk")
    with pytest.raises(ReadOnlyFile, match="is marked read-only"):
        edited(working, "P4: flag set", ticked(FLAG))
    assert undone(working) == (working, "")
    assert file.read_bytes() == stands


def test_a_file_of_a_newer_program_takes_no_edit(file: Path) -> None:
    file.write_text(file.read_text(encoding="utf-8").replace("format_minor = 0", "format_minor = 9"), encoding="utf-8")
    stands = file.read_bytes()
    working = open_working(load(file), "Mo", Clock())
    assert "newer program" in working.read_only
    with pytest.raises(ReadOnlyFile, match="newer program"):
        edited(working, "note", noted("soft ground"))
    assert file.read_bytes() == stands


def test_a_signature_seals_the_file_and_the_job_in_hand_carries_its_seal(file: Path, working: Working) -> None:
    after = edited(edited(working, "first", ticked(FLAG)), "signed off", signed)
    assert after.saved
    assert load(file).seal_holds is True
    assert after.job == on_disk(file)
    assert after.job.record is not None
    assert len(after.job.record.digest) == 64


def test_a_signature_is_not_taken_back_only_opened_again(file: Path, working: Working) -> None:
    after = edited(edited(working, "first", ticked(FLAG)), "signed off", signed)
    sealed = file.read_bytes()
    assert undone(after) == (after, "")
    with pytest.raises(EditRefused, match="sealed"):
        edited(after, "second", ticked(OTHER))
    assert file.read_bytes() == sealed
    opened = edited(after, "reopened", reopened)
    assert opened.saved
    assert on_disk(file).record is None
    more = edited(opened, "second", ticked(OTHER))
    assert list(on_disk(file).checks) == [FLAG, OTHER]
    assert [step.words for step in more.past] == ["reopened", "second"]


def test_opening_again_can_be_taken_back_and_the_seal_holds(file: Path, working: Working) -> None:
    opened = edited(edited(working, "signed off", signed), "reopened", reopened)
    back, what = undone(opened)
    assert (what, back.saved, load(file).seal_holds) == ("reopened", True, True)
    forth, what = redone(back)
    assert (what, forth.saved, on_disk(file).record) == ("reopened", True, None)


def test_another_name_stands_beside_what_is_done_from_now_on(file: Path, working: Working) -> None:
    after = edited(working_as(edited(working, "first", ticked(FLAG)), "Teal"), "second", ticked(OTHER))
    assert {key: row.by for key, row in on_disk(file).checks.items()} == {FLAG: "Mo", OTHER: "Teal"}
    assert after.by == "Teal"


def test_a_changed_file_is_not_sealed_anew_by_opening_it_again_and_taking_that_back(file: Path, working: Working) -> None:
    edited(edited(working, "first", ticked(FLAG)), "signed off", signed)
    file.write_text(file.read_text(encoding="utf-8").replace("[dogs.pepper]", "[dogs.mint]"), encoding="utf-8")
    changed = load(file).changed_says
    assert changed == ("Dog pepper was taken out.", "Dog mint was put in.")
    back, _ = undone(edited(open_working(load(file), "Mo", Clock()), "reopened", reopened))
    assert back.saved
    assert (load(file).seal_holds, load(file).changed_says, back.touched) == (False, changed, changed)


def test_what_another_laptop_saved_meanwhile_comes_in_and_undo_keeps_it(file: Path, working: Working) -> None:
    first = edited(working, "first", ticked(FLAG))
    edited(open_working(load(file), "Teal", Clock()), "theirs", ticked(OTHER))
    both = edited(first, "second", noted("soft ground"))
    assert both.saved
    assert list(on_disk(file).checks) == [FLAG, OTHER]
    assert on_disk(file) == both.job
    assert both.walk == walk(both.job)
    assert len(both.news) == 1
    once, words = undone(both)
    assert once.news == both.news, "untold news stays until it is told"
    assert (words, notes(on_disk(file)), list(on_disk(file).checks)) == ("second", [], [FLAG, OTHER])
    twice, words = undone(once)
    assert (words, list(on_disk(file).checks)) == ("first", [OTHER])
    again = edited(redone(twice)[0], "fourth", noted("dry again"))
    assert (list(on_disk(file).checks), notes(on_disk(file))) == ([FLAG, OTHER], ["dry again"])
    assert (undone(again)[1], notes(on_disk(file)), list(on_disk(file).checks)) == ("fourth", [], [FLAG, OTHER])


def test_a_file_that_an_older_program_sealed_says_that_it_is_changed_while_it_is_open(tmp_path: Path) -> None:
    path = Path(shutil.copy(FOLDER / "alder_row.toml", tmp_path))
    sealed = open_working(load(path), "Mo", Clock())
    path.write_text(path.read_text(encoding="utf-8").replace("Alder Row", "Elder Row"), encoding="utf-8")
    there = in_hand.looked(sealed, load(path))
    assert there.touched == ("It was changed while it was open: open it again to see what was.",)
    assert in_hand.looked(there, load(path)).touched == there.touched


def test_undo_takes_nothing_back_that_the_other_laptop_changed_since(file: Path, working: Working) -> None:
    mine = edited(working, "title", titled("ours"))
    edited(open_working(load(file), "Teal", Clock()), "theirs", titled("theirs"))
    both = edited(mine, "second", noted("soft ground"))
    once, _ = undone(both)
    undone(once)
    assert (on_disk(file).job.title, notes(on_disk(file))) == ("theirs", [])


@pytest.mark.parametrize("keep", ["ours", "theirs"])
def test_where_both_changed_one_fact_nothing_is_saved_before_somebody_chose(file: Path, working: Working, keep: str) -> None:
    edited(open_working(load(file), "Teal", Clock()), "theirs", titled("theirs"))
    stands = file.read_bytes()
    asked = edited(working, "ours", titled("ours"))
    assert not asked.saved
    assert [conflict.path for conflict in asked.conflicts] == [("job", "title")]
    assert asked.job.job.title == "ours"
    assert file.read_bytes() == stands
    done = put(asked, "ours" if keep == "ours" else "theirs")
    assert (done.saved, done.conflicts) == (True, ())
    assert on_disk(file).job.title == done.job.job.title == keep
