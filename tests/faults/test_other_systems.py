"""Nothing is lost by the rules of Windows and macOS either. Both are simulated here (`foreign_disks`), not run."""

import unicodedata
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from threading import Thread

import pytest

from engine.job.errors import ChangedOnDisk, NameRefused
from engine.job.file.backups import backup_folder
from engine.job.file.disk import Disk, digest
from engine.job.file.lock import locked
from engine.job.file.replacing import save as save_bytes
from engine.job.file.store import load, new, save, starter
from engine.job.file.systems import HERE, LINUX, MACOS, WINDOWS, alive, fsync_folder, real_path, system
from engine.job.file_names import refused_name
from tests.faults.foreign_disks import WindowsDisk, mac_disk
from tests.job.small import NOW, note_ids, noted

EDITS_EACH = 40


def _write_lines(disk: Disk, file: Path, name: str) -> None:
    for number in range(EDITS_EACH):
        while True:
            read = disk.read(file)
            try:
                save_bytes(disk, file, read + f"{name} {number}\n".encode(), digest(read), file.parent / "state", NOW)
            except ChangedOnDisk:
                continue
            break


@pytest.mark.parametrize("stick", [False, True])
def test_two_programs_on_windows_save_at_once_and_lose_nothing(tmp_path: Path, stick: bool) -> None:
    path, windows = tmp_path / "lines.txt", WindowsDisk(stick=stick)
    path.write_bytes(b"")
    writers = [Thread(target=_write_lines, args=(windows.disk(pid), path, name)) for pid, name in ((11, "ana"), (12, "bo"))]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    lines = path.read_text(encoding="utf-8").splitlines()
    assert sorted(lines) == sorted(f"{name} {number}" for name in ("ana", "bo") for number in range(EDITS_EACH))
    assert windows.refused > 5, "the rules were met"
    assert sorted(found.name for found in tmp_path.iterdir()) == ["lines.txt", "state"]


def test_a_lock_that_somebody_looks_at_is_taken_away_all_the_same(tmp_path: Path) -> None:
    windows = WindowsDisk()
    disk, file = windows.disk(11), tmp_path / "yard.toml"
    looks = Thread(target=lambda: [windows._read(lock) for lock in tmp_path.glob(".*lock") for _ in range(20)])
    with locked(disk, file, NOW):
        looks.start()
    looks.join()
    assert list(tmp_path.iterdir()) == []


def test_a_lock_that_a_program_at_work_has_open_is_waited_for(tmp_path: Path) -> None:
    """Its disk is slow: it has begun to write the lock, and comes to the end of that, and of its save, after eight seconds."""
    windows, waited = WindowsDisk(), [0.0]
    slow, file = windows.disk(11), tmp_path / "yard.toml"
    lock = tmp_path / ".yard.toml.lock"
    held = [slow.open_excl(lock, 0o666)]

    def wait(seconds: float) -> None:
        waited[0] += seconds
        if waited[0] > 8.0 and held:
            slow.close(held.pop())
            slow.unlink(lock)

    with locked(replace(windows.disk(12), sleep=wait), file, NOW):
        assert lock.read_bytes().startswith(b'{"host"')
    assert 8.0 < waited[0] < 8.1
    assert list(tmp_path.iterdir()) == []


def test_a_job_is_made_and_saved_again_and_again_on_windows(tmp_path: Path) -> None:
    disk, state, path = WindowsDisk(stick=True).disk(11), tmp_path / "state", tmp_path / "yard.toml"
    loaded = new(path, starter("Back yard"), NOW, disk=disk, state=state)
    for step in range(5):
        loaded = save(loaded, noted(loaded.job, f"e{step}"), NOW + timedelta(seconds=step), disk=disk, state=state)
        assert loaded.notes == ()
    assert note_ids(load(path).job) == [f"e{step}" for step in range(5)]
    assert len(list(backup_folder(state, path).iterdir())) == 5


@pytest.mark.parametrize("spelled", ["grün.toml", "GRÜN.toml", unicodedata.normalize("NFD", "Grün.toml")])
def test_a_job_opened_under_another_spelling_has_its_backups_in_one_place_on_macos(tmp_path: Path, spelled: str) -> None:
    folder = tmp_path / "jobs"
    folder.mkdir()
    disk, state = mac_disk(folder), tmp_path / "state"
    loaded = new(folder / "Grün.toml", starter("Grün"), NOW, disk=disk, state=state)
    save(loaded, noted(loaded.job, "e1"), NOW, disk=disk, state=state)
    again = load(folder / spelled, disk=disk, state=state)
    saved = save(again, noted(again.job, "e2"), NOW + timedelta(seconds=1), disk=disk, state=state)
    assert note_ids(saved.job) == ["e1", "e2"]
    assert [name for name in folder.iterdir() if name.suffix == ".toml"] == [folder / unicodedata.normalize("NFD", "Grün.toml")]
    assert [len(list(kept.iterdir())) for kept in (state / "backups").iterdir()] == [2]


def test_a_path_is_the_one_its_folders_list(tmp_path: Path) -> None:
    (tmp_path / "Jobs").mkdir()
    (tmp_path / "Jobs" / "Yard.toml").write_bytes(b"")
    assert real_path(tmp_path / "jobs" / "YARD.toml", LINUX) == tmp_path.resolve() / "jobs" / "YARD.toml"
    assert real_path(tmp_path / "jobs" / "YARD.toml", MACOS) == tmp_path.resolve() / "Jobs" / "Yard.toml"
    assert real_path(tmp_path / "jobs" / "other.toml", WINDOWS) == tmp_path.resolve() / "Jobs" / "other.toml"


def test_what_windows_cannot_be_asked_is_not_asked(tmp_path: Path) -> None:
    fsync_folder(tmp_path / "not there", WINDOWS)
    with pytest.raises(FileNotFoundError):
        fsync_folder(tmp_path / "not there", LINUX)
    assert alive(4_000_000, WINDOWS)
    assert not alive(4_000_000, LINUX)


def test_each_system_goes_by_the_name_that_python_gives_it() -> None:
    assert [system(name) for name in ("linux", "darwin", "win32", "freebsd14")] == [LINUX, MACOS, WINDOWS, LINUX]
    assert system() == HERE


@pytest.mark.transcribed
@pytest.mark.parametrize("name", ["12:30.toml", "a?.toml", "CON.toml", "nul", "com1.toml", "yard.", "yard ", "a|b.toml", "tab\t.toml"])
def test_a_name_that_some_laptop_takes_no_file_of_is_refused_and_says_why(tmp_path: Path, name: str) -> None:
    """Source: Microsoft, Naming Files, Paths, and Namespaces (Win32 documentation); from memory."""
    with pytest.raises(NameRefused, match="Windows laptops"):
        new(tmp_path / name, starter("Yard"), NOW, state=tmp_path / "state")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["\u202eyard.toml", "ya\udcffrd.toml", ".toml", " .toml"])
def test_a_name_that_people_cannot_see_or_read_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(NameRefused, match=r"can't be seen|lost from sight"):
        new(tmp_path / name, starter("Yard"), NOW, state=tmp_path / "state")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["yard.toml", "Back yard 2.toml", "conrad.toml", "com.toml", "Grün's.toml"])
def test_other_names_are_taken(name: str) -> None:
    assert refused_name(name) == ""
