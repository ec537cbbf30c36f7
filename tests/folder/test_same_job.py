"""Copies of one job in one folder: the week takes one of them and names the others; jobs that are only called alike all count."""

import shutil
from datetime import date, timedelta
from pathlib import Path

import pytest

from engine.folder.planned_week import PlannedWeek, planned_week
from engine.job.edit.edits import note, reopen, tick
from engine.job.file.store import load, new, save
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.repair.repair_file import repair_job
from tests.demo import AT, FOLDER, accepted, demo
from tests.tui.in_hand import signed

TUESDAY = date(2026, 12, 1)
COPY = "willow (Teal's conflicted copy 2026-11-27).toml"
LATER = AT + timedelta(hours=3)
DOGS_ASKED = item_key("survey.job.dogs_asked")


def planned(job: Job, **who: object) -> Job:
    return job.model_copy(update={"job": job.job.model_copy(update={"planned_for": TUESDAY, **who})})


@pytest.fixture
def folder(tmp_path: Path, state: Path) -> Path:
    """A job and a copy of its file."""
    folder = tmp_path / "jobs"
    folder.mkdir()
    shutil.copy(new(folder / "willow.toml", planned(accepted()), AT, state=state).path, folder / COPY)
    return folder


def saved(path: Path, job: Job, state: Path, hours: int = 1) -> Path:
    return save(load(path), job, AT + timedelta(hours=hours), state=state).path


def week(folder: Path, state: Path) -> tuple[list[str], list[tuple[str, str]]]:
    """Files that count, and those left out with the file that counts for them."""
    found = planned_week(folder, TUESDAY, state)
    return [one.file for one in found.jobs], _left(found)


def _left(found: PlannedWeek) -> list[tuple[str, str]]:
    return [(copy.left.file, copy.of.file) for copy in found.copies]


def test_of_two_that_are_alike_the_shorter_name_counts(folder: Path, state: Path) -> None:
    assert week(folder, state) == (["willow.toml"], [(COPY, "willow.toml")])


def test_the_one_saved_last_by_its_heading_counts_whichever_file_is_newer_on_the_disk(folder: Path, state: Path) -> None:
    saved(folder / COPY, note(load(folder / COPY).job, "the gate is stiff", AT, "Teal"), state, hours=5)
    for hours in (1, 2, 3):
        saved(folder / "willow.toml", note(load(folder / "willow.toml").job, f"back at {hours}", AT, "Mo"), state, hours=hours)
    assert week(folder, state) == ([COPY], [("willow.toml", COPY)])


def test_a_copy_that_is_known_by_its_versions_or_a_tick_alone_is_one(folder: Path, state: Path) -> None:
    for path in folder.iterdir():
        path.unlink()
    first = new(folder / "elm.toml", planned(demo()), AT, state=state)
    shutil.copy(first.path, folder / "elm 2.toml")
    saved(folder / "elm 2.toml", planned(demo(), site="behind the barn"), state)
    assert week(folder, state) == (["elm 2.toml"], [("elm.toml", "elm 2.toml")])
    for hours in (2, 3):
        for name in ("elm.toml", "elm 2.toml"):
            saved(folder / name, planned(demo(), site=f"{name} at {hours}"), state, hours=hours)
    assert week(folder, state) == (["elm 2.toml"], [("elm.toml", "elm 2.toml")])
    ticked = tick(planned(demo(), number="2799"), DOGS_ASKED, AT, "Mo")
    new(folder / "oak.toml", ticked, AT, state=state)
    new(folder / "oak joined.toml", ticked, LATER, state=state)
    assert week(folder, state) == (["elm 2.toml", "oak joined.toml"], [("elm.toml", "elm 2.toml"), ("oak.toml", "oak joined.toml")])


def test_jobs_that_are_only_called_alike_all_count(folder: Path, state: Path) -> None:
    (folder / COPY).unlink()
    new(folder / "phase_2.toml", planned(demo()), AT, state=state)
    assert week(folder, state) == (["phase_2.toml", "willow.toml"], [])


def test_jobs_without_a_number_that_were_begun_from_one_file_all_count(folder: Path, state: Path) -> None:
    for path in folder.iterdir():
        path.unlink()
    first = new(folder / "elm.toml", planned(accepted(), number="", client="Elm St. 4"), AT, state=state)
    shutil.copy(first.path, folder / "elm 6.toml")
    saved(folder / "elm 6.toml", planned(accepted(), number="", client="Elm St. 6"), state)
    assert week(folder, state) == (["elm 6.toml", "elm.toml"], [])


def test_a_signed_job_counts_before_a_copy_that_knows_nothing_of_it_and_one_reopened_since_before_both(folder: Path, state: Path) -> None:
    willow = folder / "willow.toml"
    saved(willow, signed(load(willow).job, AT, "Mo"), state)
    saved(folder / COPY, note(load(folder / COPY).job, "late", LATER, "Teal"), state, hours=3)
    assert week(folder, state) == (["willow.toml"], [(COPY, "willow.toml")])
    shutil.copy(willow, folder / "willow again.toml")
    saved(folder / "willow again.toml", reopen(load(willow).job, "one more gate", LATER, "Mo"), state, hours=4)
    assert week(folder, state) == (["willow again.toml"], [(COPY, "willow again.toml"), ("willow.toml", "willow again.toml")])


def test_a_repair_is_a_job_of_its_own(folder: Path, state: Path) -> None:
    (folder / COPY).unlink()
    done = load(saved(folder / "willow.toml", signed(load(folder / "willow.toml").job, AT, "Mo"), state))
    repair = new(folder / "repair.toml", planned(repair_job(done, state=state), title=done.job.job.title), LATER, state=state)
    shutil.copy(repair.path, folder / "repair 2.toml")
    assert week(folder, state) == (["repair.toml", "willow.toml"], [("repair 2.toml", "repair.toml")])


def test_a_copy_that_was_put_off_to_another_week_counts_there(folder: Path, state: Path) -> None:
    put_off = planned(load(folder / COPY).job, planned_for=date(2026, 12, 8))
    saved(folder / COPY, put_off, state)
    assert week(folder, state) == ([], [("willow.toml", COPY)])
    later = planned_week(folder, date(2026, 12, 8), state)
    assert ([one.file for one in later.jobs], later.copies) == ([COPY], ())


def test_a_copy_whose_day_was_taken_out_is_the_job_without_a_day(folder: Path, state: Path) -> None:
    saved(folder / COPY, planned(load(folder / COPY).job, planned_for=None), state)
    found = planned_week(folder, TUESDAY, state)
    assert (found.jobs, _left(found), list(found.unplanned)) == ((), [("willow.toml", COPY)], [COPY])


def test_what_cannot_be_read_beside_it_is_told_where_it_may_be_of_the_week(folder: Path, state: Path) -> None:
    (folder / "cut.toml").write_bytes((folder / COPY).read_bytes()[:-20])
    (folder / "alder.toml").write_bytes((FOLDER / "alder_row.toml").read_bytes())
    found = planned_week(folder, TUESDAY, state)
    assert (list(found.unreadable), _left(found)) == (["cut.toml"], [(COPY, "willow.toml")])
