"""A folder worked out by a child process: the same rows, kept the same; whatever becomes of the child, every job is there once."""

import json
import subprocess
import sys
from io import BytesIO
from pathlib import Path

import pytest

from engine.ahead import listed_apart as apart
from engine.ahead.finished_jobs import finished_jobs
from engine.ahead.listed_apart import FEWEST, listed_apart, work
from engine.folder.listing import Listed, listed
from engine.folder.listing_memory import recall
from engine.job.file.disk import Disk
from tests.demo import DEMO, FOLDER


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """As many jobs as a child is begun for, one signed and one broken; the program stands in a folder with a file called as a module is."""
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    text = DEMO.read_text(encoding="utf-8")
    for number in range(FEWEST - 2):
        (jobs / f"yard_{number:02}.toml").write_text(text.replace("Willow Bend", f"Yard {number}"), encoding="utf-8")
    (jobs / "alder.toml").write_bytes((FOLDER / "alder_row.toml").read_bytes())
    (jobs / "broken.toml").write_text("format = 1\n[job\n", encoding="utf-8")
    (jobs / "json.py").write_text("raise SystemExit\n", encoding="utf-8")
    monkeypatch.chdir(jobs)
    return jobs


def whole_rows(folder: Path, state: Path, **how: object) -> list[Listed]:
    return sorted((row for row in listed(folder, state, **how) if row.whole), key=lambda row: row.name)  # type: ignore[arg-type]


def child(code: str) -> "subprocess.Popen[bytes]":
    return subprocess.Popen([sys.executable, "-c", code], stdin=subprocess.PIPE, stdout=subprocess.PIPE)


def test_the_rows_are_those_that_are_worked_out_here_and_are_kept(folder: Path, state: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    here = whole_rows(folder, state.with_name("here"))
    with monkeypatch.context() as patched:
        patched.delattr("engine.folder.listing.whole")
        assert whole_rows(folder, state, helper=listed_apart) == here
    assert recall(Disk(), state) == recall(Disk(), state.with_name("here"))
    monkeypatch.delattr("engine.ahead.finished_jobs.finished_file")
    (folder / "broken.toml").unlink()
    assert list(finished_jobs(folder, 20.0, state=state).times) == ["alder.toml"]


def test_few_files_need_no_child(folder: Path, state: Path) -> None:
    (folder / "yard_00.toml").unlink()
    assert list(listed_apart(folder, state, ["alder.toml"] * (FEWEST - 1))) == []
    assert len(whole_rows(folder, state, helper=listed_apart)) == FEWEST - 1


@pytest.mark.parametrize(
    "code",
    [
        'import sys; sys.stdin.read(); print(\'["yard_00.toml", "", "m", nu\', end=\'\')',
        'import sys; sys.stdin.read(); print(\'["broken.toml", "line 2: no end.", "", null]\')',
        "pass",
        "import os; os.close(0); os.close(1)",
    ],
)
def test_a_child_that_ends_too_soon_leaves_the_rest_to_whoever_asked(
    code: str, folder: Path, state: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(apart, "_child", lambda: child(code))
    rows = whole_rows(folder, state, helper=listed_apart)
    assert [row.name for row in rows] == sorted(path.name for path in folder.glob("*.toml"))
    assert len(recall(Disk(), state)) == FEWEST - 1


def test_where_there_can_be_no_child_all_is_worked_out_here(folder: Path, state: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*_: object, **__: object) -> None:
        raise BlockingIOError(11, "too many processes")

    monkeypatch.setattr(subprocess, "Popen", none)
    assert len(whole_rows(folder, state, helper=listed_apart)) == FEWEST


def test_a_list_broken_off_ends_the_child_and_what_it_has_is_kept(folder: Path, state: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    started, begin = [], apart._child

    def begun() -> "subprocess.Popen[bytes] | None":
        started.append(begin())
        return started[-1]

    monkeypatch.setattr(apart, "_child", begun)
    names = sorted(path.name for path in folder.glob("*.toml"))
    rows = listed_apart(folder, state, names)
    first = next(rows)
    rows.close()
    assert first.name == names[0]
    assert started[0].returncode is not None
    assert first.mark in recall(Disk(), state)


def test_the_child_tells_a_line_a_row(folder: Path, state: Path) -> None:
    told = BytesIO()
    work(BytesIO(json.dumps([str(folder), str(state), ["broken.toml", "yard_01.toml"]]).encode()), told)
    broken, yard = map(json.loads, told.getvalue().splitlines())
    assert broken == ["broken.toml", "line 2, column 5: a heading isn't closed with its bracket.", "", None]
    assert yard[3][:2] == ["2611", "Yard 1 back yard"]
