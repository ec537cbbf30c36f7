"""A folder of finished jobs: what counts as finished, what is left out and named, and that what is remembered is what is read."""

import json
import shutil
import zlib
from datetime import timedelta
from pathlib import Path

import pytest

from engine.ahead.finished_jobs import NAME, TOUCHED, finished_jobs, keeping_times
from engine.ahead.work_times import JobTimes, work_times
from engine.folder.listing import listed, names_of
from engine.job.edit.edits import reopen
from engine.job.errors import UnreadableFile
from engine.job.file.store import load, new
from engine.repair.repair_file import repair_job
from tests.ahead.crews import MORNING, signed, worked
from tests.demo import FOLDER

PAUSE = 20.0


@pytest.fixture(scope="module")
def done(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three finished jobs."""
    folder = tmp_path_factory.mktemp("done")
    for seed in (1, 2, 3):
        new(folder / f"job_{seed}.toml", signed(worked(seed)), MORNING + timedelta(days=30), state=folder / "state")
    return folder


@pytest.fixture
def folder(tmp_path: Path, done: Path) -> Path:
    """The same with one in work, one that can't be read, one that was changed since, a folder and a text."""
    there = tmp_path / "jobs"
    shutil.copytree(done, there, ignore=shutil.ignore_patterns("state"))
    shutil.copy(FOLDER / "willow_bend.toml", there)
    (there / "broken.toml").write_text("format = 1\n[job]\nnumber = 7\n[end]\ncomplete = true\n", encoding="utf-8")
    text = (done / "job_1.toml").read_text(encoding="utf-8")
    (there / "touched.toml").write_text(text.replace('number = "1"', 'number = "11"'), encoding="utf-8")
    (there / "more.toml").mkdir()
    (there / "notes.txt").write_text("buy rings", encoding="utf-8")
    return there


def test_finished_jobs_tell_and_all_others_are_named(folder: Path, state: Path) -> None:
    found = finished_jobs(folder, PAUSE, state=state)
    assert list(found.times) == ["job_1.toml", "job_2.toml", "job_3.toml"]
    assert found.in_work == 1
    assert found.left_out["touched.toml"] == TOUCHED
    assert found.left_out["broken.toml"] == ("line 3, column 1, [job] number: 7 is given where text is wanted. Put it in quotes.")
    assert set(found.left_out) == {"broken.toml", "more.toml", "touched.toml"}


def test_what_is_remembered_is_what_is_read(folder: Path, state: Path) -> None:
    first = finished_jobs(folder, PAUSE, state=state)
    assert (state / NAME).exists()
    assert finished_jobs(folder, PAUSE, state=state) == first
    job = load(folder / "job_2.toml").job
    plain = work_times(job, PAUSE)
    assert first.times["job_2.toml"] == JobTimes(plain.pieces_s, plain.left_out)
    assert finished_jobs(folder, 60.0, state=state).times["job_2.toml"].pieces_s == work_times(job, 60.0).pieces_s
    assert finished_jobs(folder, PAUSE, state=state) == first


def test_a_file_that_changed_is_read_anew(folder: Path, state: Path) -> None:
    before = finished_jobs(folder, PAUSE, state=state).times
    shutil.move(folder / "job_3.toml", folder / "job_2.toml")
    found = finished_jobs(folder, PAUSE, state=state).times
    assert list(found) == ["job_1.toml", "job_2.toml"]
    assert found["job_2.toml"] == before["job_3.toml"] != before["job_2.toml"]


def test_a_job_under_several_names_tells_once(folder: Path, state: Path) -> None:
    """A copy saved elsewhere has other bytes and the same seal."""
    shutil.copy(folder / "job_1.toml", folder / "job_1 (copy).toml")
    text = (folder / "job_1.toml").read_text(encoding="utf-8")
    (folder / "a_backup_of_job_1.toml").write_text(text.replace('saved_on = "', 'saved_on = "another '), encoding="utf-8")
    for _ in range(2):
        found = finished_jobs(folder, PAUSE, state=state)
        assert list(found.times) == ["job_1.toml", "job_2.toml", "job_3.toml"]
        assert found.left_out["job_1 (copy).toml"] == found.left_out["a_backup_of_job_1.toml"] == "A copy of job_1.toml."


def test_a_job_that_was_opened_and_signed_again_tells_by_its_newest_record(folder: Path, state: Path) -> None:
    old = load(folder / "job_2.toml").job
    later = MORNING + timedelta(days=60)
    again = reopen(old, "one reading was wrong", later, "Mo Teal")
    key = next(reversed(again.checks))
    again = again.model_copy(update={"checks": {**again.checks, key: again.checks[key].model_copy(update={"at": later})}})
    new(folder / "job_2_corrected.toml", signed(again), later, state=state)
    found = finished_jobs(folder, PAUSE, state=state)
    assert list(found.times) == ["job_1.toml", "job_2_corrected.toml", "job_3.toml"]
    assert found.left_out["job_2.toml"] == "job_2_corrected.toml holds a later record of this job."


def test_a_repair_does_not_tell_again_what_its_first_job_told(folder: Path, state: Path) -> None:
    before = finished_jobs(folder, PAUSE, state=state)
    mend = repair_job(load(folder / "job_1.toml"), state=state)
    new(folder / "job_1_mended.toml", signed(mend), MORNING + timedelta(days=900), state=state)
    found = finished_jobs(folder, PAUSE, state=state)
    assert (found.times.pop("job_1_mended.toml").pieces_s, found.times, found.left_out) == ({}, before.times, before.left_out)


def test_damaged_memory_is_as_if_there_were_none(folder: Path, state: Path) -> None:
    first = finished_jobs(folder, PAUSE, state=state)
    said = json.loads(zlib.decompress((state / NAME).read_bytes()))
    marks = list(said["jobs"])
    whole = ["finished", "one", 0.0, "seal"]
    for number, row in enumerate(([], {}, [*whole, {"posts": [1]}, {}], [*whole, {"posts|brace": []}, {}])):
        said["jobs"][marks[number]] = row
    for raw in (zlib.compress(json.dumps(said).encode()), b"", b"x", zlib.compress(b"["), zlib.compress(b"[]")):
        (state / NAME).write_bytes(raw)
        assert finished_jobs(folder, PAUSE, state=state) == first


def test_the_job_that_is_planned_tells_nothing_of_itself(folder: Path, state: Path) -> None:
    found = finished_jobs(folder, PAUSE, state=state, but=folder / "job_1.toml")
    assert list(found.times) == ["job_2.toml", "job_3.toml"]


def test_how_far_the_reading_is_gets_told_and_a_reading_broken_off_keeps_what_it_has(folder: Path, state: Path) -> None:
    heard: list[tuple[int, int]] = []

    def three(number: int, of: int) -> bool:
        heard.append((number, of))
        return number < 4

    assert list(finished_jobs(folder, PAUSE, state=state, told=three).times) == ["job_1.toml", "job_2.toml"]
    assert heard == [(1, 7), (2, 7), (3, 7), (4, 7)]
    assert len(json.loads(zlib.decompress((state / NAME).read_bytes()))["jobs"]) == 2


def test_no_folder_is_an_error(tmp_path: Path, state: Path) -> None:
    with pytest.raises(UnreadableFile, match="there is no such folder"):
        finished_jobs(tmp_path / "nowhere", PAUSE, state=state)


def test_a_folder_that_was_looked_at_isnt_read_again(folder: Path, state: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    plain = finished_jobs(folder, PAUSE, state=state / "other")
    with keeping_times(state=state) as also:
        assert {row.name for row in listed(folder, state, also=also)} == {*names_of(folder)}

    def refused(path: Path, *_: object) -> None:
        raise UnreadableFile(path, "is read twice.")

    monkeypatch.setattr("engine.ahead.finished_jobs.finished_file", refused)
    found = finished_jobs(folder, PAUSE, state=state)
    assert (found.times, found.in_work) == (plain.times, plain.in_work)
    assert found.left_out["broken.toml"] == "is read twice."
    assert found.left_out["touched.toml"] == TOUCHED
