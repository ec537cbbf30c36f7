"""The save itself, the lock and the backups, step by step."""

import json
import os
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from engine.job.errors import ChangedOnDisk, NotSaved
from engine.job.file.backups import backup_folder, keep, rescue, rescue_copies, wanted
from engine.job.file.disk import Disk, beside, digest, patiently, why
from engine.job.file.lock import PATIENCE_S, POLL_S, locked
from engine.job.file.replacing import save
from tests.job.small import NOW, names


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "jobs" / "yard.toml"
    path.parent.mkdir()
    path.write_bytes(b"old")
    return path


def fails(number):
    """An operation that always fails with that error number."""

    def operation(*_):
        raise OSError(number, os.strerror(number))

    return operation


class Sleeper:
    """Counts the seconds slept without sleeping."""

    def __init__(self):
        self.slept_s = 0.0

    def __call__(self, seconds):
        self.slept_s += seconds


def kept(state, file):
    """The backups of a file."""
    folder = backup_folder(state, file)
    return [path.read_bytes() for path in folder.iterdir()] if folder.exists() else []


def test_a_save_that_goes_well_puts_the_new_file_there_and_keeps_the_old_one(file, state):
    assert save(Disk(), file, b"new", digest(b"old"), state, NOW) == ()
    assert file.read_bytes() == b"new"
    assert kept(state, file) == [b"old"]


def test_what_changes_between_the_two_looks_is_not_overwritten(file, state):
    disk = Disk()

    def sync_program_writes(fd):
        file.write_bytes(b"theirs")
        disk.fsync(fd)

    with pytest.raises(ChangedOnDisk):
        save(replace(disk, fsync=sync_program_writes), file, b"new", digest(b"old"), state, NOW)
    assert file.read_bytes() == b"theirs"
    assert names(file) == ["yard.toml"]


def test_an_error_after_the_rename_is_saved_but_not_confirmed(file, state):
    (said,) = save(replace(Disk(), fsync_dir=fails(5)), file, b"new", digest(b"old"), state, NOW)
    assert said.startswith("Saved, but the disk didn't confirm it.")
    assert file.read_bytes() == b"new"


def test_a_rename_that_reports_an_error_but_happened_is_saved(file, state):
    disk = Disk()

    def late(old, new):
        disk.replace(old, new)
        raise OSError(5, "Input/output error")

    (said,) = save(replace(disk, replace=late), file, b"new", digest(b"old"), state, NOW)
    assert "confirm" in said
    assert file.read_bytes() == b"new"


def test_after_a_failed_fsync_a_new_temp_file_is_tried(file, state):
    calls = []

    def fails_once(fd):
        calls.append(fd)
        if len(calls) == 1:
            raise OSError(5, "Input/output error")

    assert save(replace(Disk(), fsync=fails_once), file, b"new", digest(b"old"), state, NOW) == ()
    assert file.read_bytes() == b"new"


def test_a_backup_that_cannot_be_kept_does_not_stop_a_save(file, state):
    notes = save(replace(Disk(), make_folder=fails(28)), file, b"new", digest(b"old"), state, NOW)
    assert notes == (f"Saved, but the version before couldn't be kept as a backup: {why(OSError(28, ''))}",)
    assert kept(state, file) == []


def test_a_disk_without_links_keeps_a_copy(file, state):
    assert save(replace(Disk(), link=fails(1)), file, b"new", digest(b"old"), state, NOW) == ()
    assert kept(state, file) == [b"old"]


def test_a_disk_without_permissions_still_saves(file, state):
    assert save(replace(Disk(), chmod=fails(1)), file, b"new", digest(b"old"), state, NOW) == ()


def test_what_an_interrupted_save_left_is_swept_up_and_nothing_else(file, state):
    for name in (".yard.toml.0a1b2c3d.saving", ".yard.toml.lock-0a1b2c3d", ".yard.toml.swp", ".other.toml.0a1b2c3d.saving"):
        (file.parent / name).touch()
    save(Disk(), file, b"new", digest(b"old"), state, NOW)
    assert names(file) == [".other.toml.0a1b2c3d.saving", ".yard.toml.swp", "yard.toml"]


def test_a_file_that_became_a_folder_is_not_saved_over(file, state):
    file.unlink()
    file.mkdir()
    with pytest.raises(NotSaved, match="isn't a file any more") as caught:
        save(Disk(), file, b"new", digest(b"old"), state, NOW)
    assert caught.value.rescue.read_bytes() == b"new"
    assert file.is_dir()


def lock_text(**says):
    return json.dumps({"host": "truck", "pid": 77, "at": "", "mark": "x"} | says)


def test_the_lock_of_a_process_that_is_gone_is_set_aside_at_once(file, state):
    beside(file, "lock").write_text(lock_text())
    sleeper = Sleeper()
    disk = replace(Disk(), host="truck", pid=78, alive=lambda pid: pid == 78, sleep=sleeper)
    assert save(disk, file, b"new", digest(b"old"), state, NOW) == ()
    assert sleeper.slept_s == 0
    assert names(file) == ["yard.toml"]


@pytest.mark.parametrize("text", [lock_text(), lock_text(host="office"), "", "[1]", '{"pid": "x"}', '{"host": "truck", "pid": 1e999}'])
def test_any_lock_that_stays_the_same_is_set_aside_after_a_moment(file, state, text):
    beside(file, "lock").write_text(text)
    sleeper = Sleeper()
    disk = replace(Disk(), host="truck", pid=78, alive=lambda _: True, sleep=sleeper)
    assert save(disk, file, b"new", digest(b"old"), state, NOW) == ()
    assert PATIENCE_S - POLL_S <= sleeper.slept_s <= PATIENCE_S + 2 * POLL_S
    assert names(file) == ["yard.toml"]


def test_a_lock_let_go_while_waiting_is_taken(file, state):
    lock = beside(file, "lock")
    lock.write_text(lock_text())
    disk = replace(Disk(), host="truck", alive=lambda _: True, sleep=lambda _: lock.unlink())
    assert save(disk, file, b"new", digest(b"old"), state, NOW) == ()


def test_a_lock_that_keeps_changing_hands_ends_in_words(file, state):
    lock = beside(file, "lock")
    lock.write_text(lock_text())
    marks = iter(range(10_000))
    disk = replace(Disk(), alive=lambda _: True, sleep=lambda _: None, read=lambda _: lock_text(mark=next(marks)).encode())
    with pytest.raises(NotSaved, match="another program keeps saving"):
        save(disk, file, b"new", digest(b"old"), state, NOW)
    assert file.read_bytes() == b"old"


def test_a_fresh_lock_moved_by_mistake_is_put_back(file):
    lock = beside(file, "lock")
    lock.write_text(lock_text(pid=77))
    disk, moved = Disk(), []

    def another_was_faster(old, new):
        if not moved:
            lock.write_text(lock_text(pid=99))
        moved.append(new)
        disk.replace(old, new)

    seen = []

    def its_owner_is_done(_):
        seen.append(lock.read_text())
        lock.unlink()

    disk_now = replace(
        disk,
        host="truck",
        replace=another_was_faster,
        alive=lambda pid: pid == 99,
        sleep=its_owner_is_done,
    )
    with locked(disk_now, file, NOW):
        assert [json.loads(text)["pid"] for text in seen] == [99]
    assert names(file) == ["yard.toml"]


def test_a_lock_taken_over_by_somebody_else_is_left_to_them(file):
    lock = beside(file, "lock")
    with locked(Disk(), file, NOW):
        lock.write_text(lock_text())
    assert lock.read_text() == lock_text()


def stamp(day, second, mark="0123abcd"):
    return f"{datetime(2026, 11, day, 12, second // 60, second % 60, tzinfo=UTC):%Y%m%d-%H%M%S-%f}-{mark}.toml"


def test_the_last_hundred_and_the_first_of_each_day_are_kept():
    days = [stamp(day, second) for day in range(1, 26) for second in range(3)]
    today = [stamp(25, second) for second in range(10, 150)]
    kept = wanted([*days, *today, "readme.txt"], NOW)
    assert kept == {*(stamp(day, 0) for day in range(1, 26)), *today[-100:], "readme.txt"}


def test_firsts_of_days_are_let_go_after_thirty_days():
    old = [stamp(1, 0), stamp(2, 0)]
    recent = [stamp(30, second) for second in range(100)]
    assert wanted([*old, *recent], datetime(2026, 12, 2, tzinfo=UTC)) == {stamp(2, 0), *recent}


def test_backups_are_pruned_as_they_are_made(file, state):
    for second in range(120):
        file.unlink()
        file.write_bytes(b"%d" % second)
        keep(Disk(), state, file, b"%d" % second, NOW + timedelta(seconds=second))
    texts = sorted(int(path.read_bytes()) for path in backup_folder(state, file).iterdir())
    assert texts == [0, *range(20, 120)]


def test_after_a_clock_was_put_back_the_newest_version_isn_t_the_first_to_go(file, state):
    for number in range(120):
        file.unlink()
        file.write_bytes(b"%d" % number)
        keep(Disk(), state, file, b"%d" % number, NOW + timedelta(days=3 if number < 110 else 0))
    kept = sorted(backup_folder(state, file).iterdir())
    assert [int(path.read_bytes()) for path in kept] == [0, *range(20, 120)]


def test_two_files_of_one_name_have_their_own_backups(tmp_path, state):
    assert backup_folder(state, tmp_path / "a" / "yard.toml") != backup_folder(state, tmp_path / "b" / "yard.toml")


def test_rescue_copies_of_one_moment_and_of_the_same_are_let_go_one_by_one(file, state):
    first, second = (rescue(Disk(), state, file, b"new", NOW) for _ in range(2))
    first.unlink()
    assert second.read_bytes() == b"new"
    assert rescue_copies(Disk(), state, file) == [second]


def sharing_error():
    error = PermissionError(13, "in use")
    error.winerror = 32
    return error


def test_a_file_in_use_on_windows_is_tried_again_for_a_while():
    sleeper, tries = Sleeper(), []

    def busy():
        tries.append(1)
        if len(tries) < 4:
            raise sharing_error()

    patiently(replace(Disk(), sleep=sleeper), busy)
    assert len(tries) == 4
    assert sleeper.slept_s == pytest.approx(0.02 + 0.04 + 0.08)


def test_a_file_in_use_for_good_fails_after_two_and_a_half_seconds():
    sleeper = Sleeper()

    def busy():
        raise sharing_error()

    with pytest.raises(PermissionError):
        patiently(replace(Disk(), sleep=sleeper), busy)
    assert 2.5 <= sleeper.slept_s < 3.1


def test_another_error_is_not_tried_again():
    tries = []

    def forbidden():
        tries.append(1)
        raise PermissionError(13, "no")

    with pytest.raises(PermissionError):
        patiently(Disk(), forbidden)
    assert len(tries) == 1


def test_a_long_name_gets_a_short_neighbour(tmp_path):
    assert beside(tmp_path / "yard.toml", "lock").name == ".yard.toml.lock"
    assert len(beside(tmp_path / ("x" * 250 + ".toml"), "lock").name) == 38


def test_an_unknown_error_is_told_in_the_systems_words():
    assert why(OSError(74, "Bad \x1b message")) == "Bad \\u001b message."
