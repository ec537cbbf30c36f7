"""Whatever stops a save, wherever: what is left opens as a whole job and holds everything that was acknowledged."""

import multiprocessing
import tempfile
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from engine.job.errors import ChangedOnDisk, JobError, NotSaved
from engine.job.file.disk import Disk, digest
from engine.job.file.replacing import save as save_bytes
from engine.job.file.store import Loaded, load, new, save, starter
from tests.faults.failing_disk import ERRORS, HARMS, FailingDisk, Killed
from tests.faults.points import points
from tests.job.small import NOW, note_ids, noted

EDITS = 2
EDITS_EACH = 400


def work(path: Path, failing: FailingDisk) -> int:
    """Make a job and note two things in it, a save each; how many saves were acknowledged. A failed save is tried again once."""
    disk, state, done = failing.disk(pid=1001), path.parent / "state", 0
    loaded: Loaded | None = None
    try:
        for step in range(EDITS + 1):
            for _ in range(2):
                try:
                    loaded = _step(path, step, loaded, disk, state)
                except JobError:
                    continue
                done = step + 1
                break
            if done < step + 1:
                return done
    except Killed:
        return done
    return done


def _step(path: Path, step: int, loaded: Loaded | None, disk: Disk, state: Path) -> Loaded:
    now = NOW + timedelta(seconds=step)
    if loaded is None:
        return new(path, starter("Back yard"), now, disk=disk, state=state)
    return save(loaded, noted(loaded.job, f"e{step}"), now, disk=disk, state=state)


def operations() -> int:
    """How many disk operations the whole work takes where nothing fails."""
    with tempfile.TemporaryDirectory() as folder:
        calm = FailingDisk("kill", at=10**9)
        assert work(Path(folder) / "yard.toml", calm) == EDITS + 1
        return calm.count


def test_the_work_touches_the_disk_often_enough_to_be_worth_stopping():
    assert 40 < operations() < 400


@pytest.mark.parametrize("harm", HARMS)
def test_what_is_left_opens_whole_and_holds_every_acknowledged_save(tmp_path, harm):
    for at in range(operations()):
        path = tmp_path / f"{at}" / "yard.toml"
        path.parent.mkdir()
        acknowledged = work(path, FailingDisk(harm, at))
        points["made, then saved twice"] += 1
        if acknowledged == 0 and not path.exists():
            continue
        notes = note_ids(load(path).job)
        assert notes == [f"e{n}" for n in range(1, len(notes) + 1)], (harm, at)
        assert len(notes) + 1 in (acknowledged, acknowledged + 1), (harm, at)


@pytest.mark.parametrize("harm", HARMS)
def test_the_next_process_saves_at_once_and_sweeps_up(tmp_path, harm):
    for at in range(0, operations(), 3):
        path = tmp_path / f"{at}" / "yard.toml"
        path.parent.mkdir()
        work(path, FailingDisk(harm, at))
        points["taken up by the next process"] += 1
        calm = FailingDisk("kill", at=10**9)
        disk = calm.disk(pid=2002)
        if not path.exists():
            new(path, starter("Again"), NOW, disk=disk, state=path.parent / "state")
        loaded = load(path)
        save(loaded, noted(loaded.job, "after"), NOW, disk=disk, state=path.parent / "state")
        assert note_ids(load(path).job)[-1] == "after"
        assert sorted(found.name for found in path.parent.iterdir()) == ["state", "yard.toml"], (harm, at)


@pytest.mark.parametrize("harm", [f"{name} from then on" for name in ERRORS])
def test_a_save_that_fails_for_good_leaves_the_file_byte_for_byte(tmp_path, harm):
    path = tmp_path / "yard.toml"
    loaded = new(path, starter("Back yard"), NOW, state=tmp_path / "state")
    stands = path.read_bytes()
    with pytest.raises(NotSaved, match="leave this open"):
        save(loaded, noted(loaded.job, "e1"), NOW, disk=FailingDisk(harm, 0).disk(pid=1001), state=tmp_path / "state")
    assert path.read_bytes() == stands


def test_a_save_that_fails_only_here_leaves_a_rescue_copy(tmp_path):
    path = tmp_path / "yard.toml"
    loaded = new(path, starter("Back yard"), NOW, state=tmp_path / "state")
    disk = Disk()

    def full(place: Path, mode: int) -> int:
        if place.parent == tmp_path:
            raise OSError(28, "No space left on device")
        return disk.open_excl(place, mode)

    with pytest.raises(NotSaved, match="full") as caught:
        save(loaded, noted(loaded.job, "e1"), NOW, disk=replace(disk, open_excl=full), state=tmp_path / "state")
    assert note_ids(load(caught.value.rescue).job) == ["e1"]
    assert note_ids(load(path).job) == []


def _write_lines(path: str, name: str) -> None:
    """Add a line at a time to a file as a separate program would, again whenever somebody else was first."""
    disk, file = Disk(), Path(path)
    for number in range(EDITS_EACH):
        while True:
            read = file.read_bytes()
            try:
                save_bytes(disk, file, read + f"{name} {number}\n".encode(), digest(read), file.parent / "state", NOW)
            except ChangedOnDisk:
                continue
            break


def test_two_writers_of_four_hundred_edits_each_lose_nothing(tmp_path):
    path = tmp_path / "lines.txt"
    path.write_bytes(b"")
    spawn = multiprocessing.get_context("spawn")
    writers = [spawn.Process(target=_write_lines, args=(str(path), name)) for name in ("ana", "bo")]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert [writer.exitcode for writer in writers] == [0, 0]
    lines = path.read_text(encoding="utf-8").splitlines()
    assert sorted(lines) == sorted(f"{name} {number}" for name in ("ana", "bo") for number in range(EDITS_EACH))
    assert [line for line in lines if line.startswith("ana")] == [f"ana {number}" for number in range(EDITS_EACH)]
