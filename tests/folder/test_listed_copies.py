"""A list of jobs names a file that holds the job of another one: on the command line, in the CSV and on the screen."""

import csv
import os
import shutil
from pathlib import Path

import pytest

from engine.folder.listing import listed
from engine.folder.whole_folder import whole_folder
from engine.job.edit.edits import note
from engine.job.file.disk import Disk
from engine.job.file.store import load, new
from engine.job.model.job import Job
from tests.demo import AT, accepted, demo
from tests.folder.test_same_job import COPY, saved
from tests.tui.driving import keys, shown, until
from tui.app import LinewalkApp
from tui.cli import main
from tui.screens.jobs import JobsScreen

WHICH = "is a copy of willow.toml, which was saved later and counts alone: linewalk merge joins the two."


@pytest.fixture
def folder(tmp_path: Path, state: Path) -> Path:
    """A job that went on, a copy of its file that a synced folder left beside it, and another job of that name."""
    folder = tmp_path / "jobs"
    folder.mkdir()
    path = new(folder / "willow.toml", accepted(), AT, state=state).path
    shutil.copy(path, folder / COPY)
    saved(path, note(load(path).job, "the gate is stiff", AT, "Mo"), state, hours=5)
    new(folder / "again.toml", Job(job=demo().job), AT, state=state)
    return folder


def copies(folder: Path, state: Path) -> dict[str, str]:
    return {row.name: row.copy.says for row in whole_folder(folder, state) if row.copy}


def test_a_copy_is_told_with_the_file_that_counts_and_what_joins_them(folder: Path, state: Path) -> None:
    assert copies(folder, state) == {COPY: WHICH}
    assert copies(folder, state) == {COPY: WHICH}  # as it is remembered too


def test_only_files_that_are_called_alike_are_read_for_it(folder: Path, state: Path) -> None:
    os.remove(folder / COPY)
    other = load(folder / "again.toml")
    saved(folder / "again.toml", other.job.model_copy(update={"job": other.job.job.model_copy(update={"title": "Elm"})}), state)
    list(listed(folder, state))
    read: list[str] = []

    def counted(path: Path) -> bytes:
        read.append(path.name)
        return path.read_bytes()

    assert not any(row.copy for row in listed(folder, state, disk=Disk(read=counted)))
    assert sorted(name for name in read if name in ("again.toml", "willow.toml")) == ["again.toml", "willow.toml"]


def test_of_a_folder_in_it_the_copy_is_named_by_its_way(folder: Path, state: Path) -> None:
    shutil.move(folder, folder.parent / "2026")
    top = folder.parent
    told: list[tuple[int, int]] = []
    rows = whole_folder(top, state, deep=True, told=lambda number, of: not told.append((number, of)))
    assert [row.name for row in rows if row.copy] == [f"2026/{COPY}"]
    assert all(number <= of for number, of in told)


def test_the_list_on_the_command_line_says_what_it_is(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["jobs", str(folder)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert f"{COPY} {WHICH}" in said
    assert main(["jobs", str(folder), "--csv"]) == 0
    found = {row["file"]: row["copy_of"] for row in csv.DictReader(capsys.readouterr().out.splitlines())}
    assert found == {"willow.toml": "", "again.toml": "", COPY: "willow.toml"}


async def test_the_screen_counts_it_apart_and_says_what_it_is(folder: Path) -> None:
    app = LinewalkApp(folder=folder, by="Mo")
    async with app.run_test(size=(120, 24)) as pilot:
        screen = app.screen
        assert isinstance(screen, JobsScreen)
        await until(pilot, lambda: screen.at_rest)
        await pilot.pause()
        assert "2 jobs, 1 copy" in shown(app)
        await keys(pilot, "home", *["down"] * [row.name for row in screen.query_one("JobTable").rows].index(COPY))  # type: ignore[attr-defined]  # its own
        said = " ".join(shown(app).split())
        assert f"It {WHICH.rstrip('.')}" in said
