"""Opening, saving and making job files on a real disk."""

import os
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from engine.job.errors import AlreadyThere, BadContent, ChangedOnDisk, NewerFormat, NotMade, NotSaved, ReadOnlyFile, UnreadableFile
from engine.job.file.disk import Disk
from engine.job.file.store import load, new, save, starter
from engine.job.model.job import Job
from engine.job.model.log_entries import NoteEntry, ReopenedEntry
from engine.job.model.signed_record import Record
from tests.job.small import HAND_WRITTEN, NOW, SIGNED, names, note_ids, noted


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "jobs" / "yard.toml"
    path.parent.mkdir()
    path.write_text(HAND_WRITTEN, encoding="utf-8")
    return path


def test_a_hand_written_job_opens_with_its_lengths_in_feet(file):
    loaded = load(file)
    assert loaded.job.points["B"].east_ft == 40.0
    assert loaded.job.shots["S1"].tape_a_ft == 60.0417
    assert loaded.job.dogs["rex"].shoulder_in == 22.0
    assert (loaded.heading.revision, loaded.sealed, loaded.read_only_reason) == (0, False, None)
    assert loaded.text_had_comments


def test_a_save_writes_the_next_version_and_names_its_parent(file, state):
    first = load(file)
    second = save(first, noted(first.job, "n2"), NOW, state=state)
    third = save(second, noted(second.job, "n3"), NOW + timedelta(minutes=1), state=state)
    again = load(file)
    assert note_ids(again.job) == ["n1", "n2", "n3"]
    assert again.heading.revision == 2
    assert again.heading.parent == second.digest
    assert again.digest == third.digest
    assert again.heading.written_by.startswith("linewalk ")
    assert again.heading.saved_at == NOW + timedelta(minutes=1)


def test_a_saved_job_is_the_job_that_is_read_again(file, state):
    first = load(file)
    saved = save(first, first.job, NOW, state=state)
    assert saved.job is first.job
    assert load(file).job == first.job


def test_the_first_save_of_a_commented_file_keeps_the_original_beside_it_and_says_so(file, state):
    first = load(file)
    second = save(first, first.job, NOW, state=state)
    assert names(file) == ["yard.toml", "yard.toml.original"]
    assert (file.parent / "yard.toml.original").read_text(encoding="utf-8") == HAND_WRITTEN
    assert second.notes == ("Comments can't be kept in a saved file. The file as you wrote it is in yard.toml.original.",)
    assert save(second, second.job, NOW, state=state).notes == ()


def test_comments_added_again_are_kept_under_the_next_name(file, state):
    first = load(file)
    save(first, first.job, NOW, state=state)
    with file.open("a", encoding="utf-8") as text:
        text.write("# checked by the office\n")
    again = load(file)
    assert "yard.toml.original-2" in save(again, again.job, NOW, state=state).notes[0]
    assert (file.parent / "yard.toml.original").read_text(encoding="utf-8") == HAND_WRITTEN


def test_saving_leaves_no_file_of_its_own_behind(file, state):
    loaded = load(file)
    for number in range(3):
        loaded = save(loaded, noted(loaded.job, f"x{number}"), NOW, state=state)
    assert names(file) == ["yard.toml", "yard.toml.original"]


def test_a_file_somebody_else_saved_is_not_overwritten(file, state):
    ours = load(file)
    theirs = load(file)
    save(theirs, noted(theirs.job, "theirs"), NOW, state=state)
    stands = file.read_bytes()
    with pytest.raises(ChangedOnDisk):
        save(ours, noted(ours.job, "ours"), NOW, state=state)
    assert file.read_bytes() == stands


def test_a_file_that_has_gone_is_written_again_and_said(file, state):
    loaded = save(load(file), load(file).job, NOW, state=state)
    file.unlink()
    assert "had gone" in save(loaded, noted(loaded.job, "n2"), NOW, state=state).notes[0]
    assert note_ids(load(file).job) == ["n1", "n2"]


def test_permissions_stay_as_they_were(file, state):
    file.chmod(0o640)
    loaded = load(file)
    save(loaded, loaded.job, NOW, state=state)
    assert file.stat().st_mode & 0o777 == 0o640


def test_a_link_stays_a_link_and_its_file_is_saved(file, state, tmp_path):
    link = tmp_path / "today.toml"
    link.symlink_to(file)
    loaded = load(link)
    save(loaded, noted(loaded.job, "n2"), NOW, state=state)
    assert link.is_symlink()
    assert note_ids(load(file).job) == ["n1", "n2"]


def test_the_version_before_is_kept_in_the_state_folder(file, state):
    loaded = save(load(file), load(file).job, NOW, state=state)
    before = file.read_bytes()
    save(loaded, noted(loaded.job, "n2"), NOW + timedelta(seconds=1), state=state)
    kept = sorted((state / "backups").rglob("*.toml"))
    assert kept[-1].read_bytes() == before
    assert kept[0].read_text(encoding="utf-8") == HAND_WRITTEN


def test_a_spoiled_file_is_told_with_the_version_kept_before(file, state):
    loaded = save(load(file), load(file).job, NOW, state=state)
    before = file.read_bytes()
    save(loaded, noted(loaded.job, "n2"), NOW + timedelta(seconds=1), state=state)
    file.write_bytes(b"half a fi")
    with pytest.raises(BadContent, match="The version before the last save is kept in ") as caught:
        load(file, state=state)
    assert caught.value.older.read_bytes() == before


def signed(job: Job) -> Job:
    return job.model_copy(update={"record": Record.model_validate(SIGNED)})


def test_a_signed_job_is_sealed_and_its_seal_holds(file, state):
    loaded = load(file)
    sealed = save(loaded, signed(loaded.job), NOW, state=state)
    again = load(file)
    assert sealed.sealed
    assert again.seal_holds
    assert again.job == sealed.job
    assert again.seal_says == (
        "Signed off and sealed: nothing the file says about the job has changed since. Who saved it and when isn't sealed."
    )


def test_the_seal_survives_comments_and_another_layout_but_no_change_of_a_number(file, state):
    loaded = load(file)
    save(loaded, signed(loaded.job), NOW, state=state)
    text = file.read_text(encoding="utf-8")
    file.write_text("# for the office\n" + text.replace("weight_lb = 50.0", "weight_lb   = 50"), encoding="utf-8")
    assert load(file).seal_holds is True
    file.write_text(text.replace("reading_in = 20.5", "reading_in = 24.5"), encoding="utf-8")
    assert load(file).seal_holds is False
    assert "changed afterwards" in load(file).seal_says


def test_a_sealed_job_is_saved_only_once_it_is_reopened(file, state):
    loaded = load(file)
    sealed = save(loaded, signed(loaded.job), NOW, state=state)
    with pytest.raises(ReadOnlyFile, match="Reopen it first"):
        save(sealed, noted(sealed.job, "n2"), NOW, state=state)
    entry = ReopenedEntry(id="r1", at=NOW, by="Ana", kind="reopened", why="one more gate")
    reopened = sealed.job.model_copy(update={"record": None, "log": (*sealed.job.log, entry)})
    assert not save(sealed, reopened, NOW, state=state).sealed


def test_undoing_a_signature_is_no_reopening_and_redoing_it_writes_nothing(file, state):
    loaded = load(file)
    sealed = save(loaded, signed(loaded.job), NOW, state=state)
    stands = file.read_bytes()
    with pytest.raises(ReadOnlyFile):
        save(sealed, loaded.job, NOW, state=state)
    assert save(sealed, signed(loaded.job), NOW + timedelta(hours=1), state=state) == replace(sealed, notes=())
    assert file.read_bytes() == stands


def test_a_later_major_format_is_refused_in_words_and_left_alone(file):
    file.write_text("format = 2\n[anything]\nat = 'all'\n", encoding="utf-8")
    stands = file.read_bytes()
    with pytest.raises(NewerFormat, match="is in format 2 and this program reads up to format 1"):
        load(file)
    assert file.read_bytes() == stands


def test_a_later_minor_format_opens_to_look_at_without_what_is_unknown(file, state):
    text = HAND_WRITTEN.replace("format = 1", 'format = 1\nformat_minor = 9\nmood = "good"').replace(
        'kind = "end"', 'kind = "end"\ncolour = "green"'
    )
    text = text.replace('side = "left"', 'side = "left"\nwind = "calm"').replace(
        "[checks.", '[[log]]\nid = "n9"\nat = 2026-11-25T08:00:00Z\nby = "Bo"\nkind = "song"\n\n[checks.'
    )
    file.write_text(text, encoding="utf-8")
    loaded = load(file)
    assert loaded.job.posts["P1"].kind == "end"
    assert note_ids(loaded.job) == ["n1"]
    assert loaded.read_only_reason.startswith("was written by a newer program, 4 things in it are unknown here")
    with pytest.raises(ReadOnlyFile):
        save(loaded, loaded.job, NOW, state=state)
    assert file.read_text(encoding="utf-8") == text


def test_a_file_marked_read_only_opens_to_look_at(file, state):
    file.chmod(0o444)
    loaded = load(file)
    with pytest.raises(ReadOnlyFile, match="marked read-only"):
        save(loaded, loaded.job, NOW, state=state)


@pytest.mark.parametrize(
    ("first_line", "words"),
    [
        ("", "doesn't say which format"),
        ("format = 'one'", "whole number"),
        ("format = 0", "whole number"),
        ("format = true", "whole number"),
    ],
)
def test_a_file_without_a_usable_format_is_refused(file, first_line, words):
    file.write_text(HAND_WRITTEN.replace("format = 1", first_line, 1), encoding="utf-8")
    with pytest.raises(BadContent, match=words):
        load(file)


def test_a_wrong_heading_is_refused_with_its_line(file):
    file.write_text(HAND_WRITTEN.replace("format = 1", "format = 1\nrevision = -4", 1), encoding="utf-8")
    with pytest.raises(BadContent) as caught:
        load(file)
    assert str(caught.value.problems[0]) == "line 2, column 1, revision: -4 is out of range: it must be at least 0."


def test_rules_across_records_are_refused_with_their_line(file):
    file.write_text(HAND_WRITTEN.replace('points = ["A", "T1"]', 'points = ["A", "T7"]'), encoding="utf-8")
    with pytest.raises(BadContent) as caught:
        load(file)
    problem = caught.value.problems[0]
    assert (problem.line, problem.table, problem.field) == (29, "lines.fence", "points, item 2")


def test_a_new_job_is_made_once(tmp_path, state):
    path = tmp_path / "fresh.toml"
    made = new(path, starter("Fresh"), NOW, state=state)
    assert load(path).job == made.job
    assert made.heading.revision == 1
    stands = path.read_bytes()
    with pytest.raises(AlreadyThere, match="left alone"):
        new(path, starter("Other"), NOW, state=state)
    assert path.read_bytes() == stands


def test_a_new_job_in_a_folder_that_is_not_there_says_so(tmp_path, state):
    with pytest.raises(UnreadableFile, match=r"there is no folder .*nowhere"):
        new(tmp_path / "nowhere" / "fresh.toml", starter("Fresh"), NOW, state=state)
    assert not state.exists()


@pytest.mark.parametrize("kept", [True, False])
def test_a_new_job_that_cannot_be_made_says_what_to_do_and_leaves_nothing(tmp_path, kept):
    state = tmp_path / "state"

    def read_only(path, mode):
        if not kept or path.parent == tmp_path:
            raise OSError(30, "Read-only file system")
        return Disk().open_excl(path, mode)

    with pytest.raises(NotMade) as refused:
        new(tmp_path / "fresh.toml", starter("Fresh"), NOW, state=state, disk=replace(Disk(), open_excl=read_only))
    says, _, where = str(refused.value).partition(" What it was to hold is kept in ")
    assert says == "fresh.toml: wasn't made: the disk is read-only. Choose another place."
    assert (load(Path(where.rstrip("."))).job.job.title if kept else where) == ("Fresh" if kept else "")
    assert [path.name for path in tmp_path.iterdir()] == ["state"]


@pytest.mark.parametrize("text", ["red \x1b[31m", "half \ud800 a letter", "zero \0"])
def test_a_job_that_would_not_open_again_is_not_saved(file, state, text):
    loaded = load(file)
    stands = file.read_bytes()
    entry = NoteEntry.model_construct(id="bad", at=NOW, by="Ana", kind="note", about="", text=text)
    with pytest.raises(NotSaved, match="would not open again"):
        save(loaded, loaded.job.model_copy(update={"log": (entry,)}), NOW, state=state)
    assert file.read_bytes() == stands


def test_a_job_that_breaks_a_rule_across_records_is_not_saved(file, state):
    loaded = load(file)
    stands = file.read_bytes()
    with pytest.raises(NotSaved, match="open again"):
        save(loaded, loaded.job.model_copy(update={"lines": {}}), NOW, state=state)
    assert file.read_bytes() == stands


def test_the_state_folder_follows_the_platform(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "own"))
    loaded = new(tmp_path / "a.toml", starter("A"), NOW)
    save(loaded, loaded.job, NOW)
    assert os.listdir(tmp_path / "own") == ["linewalk"]
