"""The jobs planned in one week: Monday to Sunday, signed ones without a walk, what can't be read, and what has no day."""

import shutil
from datetime import date
from pathlib import Path

import pytest

from engine.folder.listing import listed
from engine.folder.planned_week import planned_week
from engine.job.errors import UnreadableFile
from tests.demo import FOLDER

MONDAY = date(2026, 11, 30)


def put(folder: Path, name: str, day: str, of: str = "willow_bend", **changed: str) -> Path:
    """A demo job in the folder, planned for a day; other words of its text changed."""
    text = (FOLDER / f"{of}.toml").read_text(encoding="utf-8")
    lines = [(f"planned_for = {day}" if day else "") if line.startswith("planned_for") else line for line in text.split("\n")]
    text = "\n".join(lines)
    for old, new in changed.items():
        text = text.replace(old, new)
    path = folder / f"{name}.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    put(jobs, "before", "2026-11-29")
    put(jobs, "monday", "2026-11-30")
    put(jobs, "sunday", "2026-12-06", "ridge_ring")
    put(jobs, "after", "2026-12-07")
    put(jobs, "undated", "")
    return jobs


def files(folder: Path, day: date, state: Path) -> list[str]:
    return [one.file for one in planned_week(folder, day, state).jobs]


@pytest.mark.parametrize("day", [MONDAY, date(2026, 12, 3), date(2026, 12, 6)])
def test_any_day_of_the_week_names_it(day: date, folder: Path, state: Path) -> None:
    week = planned_week(folder, day, state)
    assert (week.monday, week.sunday) == (MONDAY, date(2026, 12, 6))
    assert [(one.file, one.walk is not None) for one in week.jobs] == [("monday.toml", True), ("sunday.toml", True)]
    assert [kept.number for kept in week.unplanned.values()] == ["2611"]
    assert (week.unreadable, week.whole) == ({}, True)


def test_what_is_remembered_and_what_is_not_give_the_same_week(folder: Path, state: Path) -> None:
    first = planned_week(folder, MONDAY, state)
    list(listed(folder, state))
    again = planned_week(folder, MONDAY, state)
    assert [(one.file, one.walk) for one in again.jobs] == [(one.file, one.walk) for one in first.jobs]
    assert list(again.unplanned) == list(first.unplanned) == ["undated.toml"]


def test_a_heading_that_is_not_told_at_a_glance_is_read_whole(folder: Path, state: Path) -> None:
    """Written by hand: a comment behind the table's name."""
    put(folder, "hand", "2026-12-01", **{"[job]\n": "[job]  # as the office has it\n"})
    put(folder, "hand_undated", "", **{"[job]\n": "[job]  # as the office has it\n"})
    week = planned_week(folder, MONDAY, state)
    assert [one.file for one in week.jobs] == ["monday.toml", "hand.toml", "sunday.toml"]
    assert list(week.unplanned) == ["hand_undated.toml", "undated.toml"]


def test_a_signed_job_is_told_and_not_walked_and_one_without_a_day_is_no_matter(folder: Path, state: Path) -> None:
    put(folder, "alder", "2026-12-01", "alder_row")
    put(folder, "alder_undated", "", "alder_row")
    (alder,) = (one for one in planned_week(folder, MONDAY, state).jobs if one.file == "alder.toml")
    assert (alder.walk, alder.document.seal_holds) == (None, False)
    assert list(planned_week(folder, MONDAY, state).unplanned) == ["undated.toml"]


def test_what_cannot_be_read_is_told_unless_its_heading_is_of_another_week(folder: Path, state: Path) -> None:
    put(folder, "cut", "2026-12-01", **{"complete = true": ""})
    put(folder, "cut_after", "2026-12-08", **{"complete = true": ""})
    (folder / "broken.toml").write_text("format = 1\n[job\n", encoding="utf-8")
    (folder / "dir.toml").mkdir()
    week = planned_week(folder, MONDAY, state)
    assert list(week.unreadable) == ["broken.toml", "cut.toml", "dir.toml"]
    assert week.unreadable["broken.toml"] == "line 2, column 5: a heading isn't closed with its bracket."
    assert week.unreadable["dir.toml"] == "is a folder, not a job file. Open a file in it."
    with pytest.raises(UnreadableFile, match="there is no such folder in"):
        planned_week(folder / "nowhere", MONDAY, state)


def test_who_looks_no_more_ends_it(folder: Path, state: Path) -> None:
    week = planned_week(folder, MONDAY, state, told=lambda number, _of: number < 3)
    assert ([one.file for one in week.jobs], week.whole) == ([], False)


def test_the_last_week_there_is_ends_where_days_end(tmp_path: Path, state: Path) -> None:
    shutil.copy(FOLDER / "willow_bend.toml", tmp_path)
    assert planned_week(tmp_path, date.max, state).sunday == date.max
