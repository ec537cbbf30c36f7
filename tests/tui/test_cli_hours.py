"""`linewalk hours` on the command line."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from engine.job.file.store import new
from engine.job.model.job import Job
from tests.ahead.crews import signed, worked
from tests.demo import accepted
from tui.cli import main


def job_file(folder: Path, job: Job, name: str = "yard.toml") -> Path:
    """A job file as the program writes it."""
    return new(folder / name, job, datetime(2026, 3, 30, tzinfo=UTC), state=folder / "state").path


def test_hours_out_of_a_folder_of_finished_jobs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Five jobs whose crew of two took what it usually takes: so does the next, 28 crew hours or so."""
    (tmp_path / "done").mkdir()
    for seed in range(5):
        job_file(tmp_path / "done", signed(worked(seed)), f"job_{seed}.toml")
    (tmp_path / "done" / "broken.toml").write_text("format = 1\n", encoding="utf-8")
    file = job_file(tmp_path, accepted())
    words = ["hours", str(file), "--from", str(tmp_path / "done")]
    assert main([*words, "--start", "2026-12-01", "--crew", "3", "--day-hours", "4"]) == 0
    said = capsys.readouterr().out
    assert "Out of 5 of 5 finished jobs in" in said
    assert "7 of 10 jobs like these come between low and high" in " ".join(said.split())
    (row,) = (line.split() for line in said.splitlines() if line.startswith("all "))
    assert [abs(float(hours) - 28.4) < 2.5 for hours in row[1:]] == [True] * 3
    assert "3 people, 4 h a day, Monday to Friday, from Tue 12/1/2026" in said
    assert "likely  2.4   Thu 12/3/2026" in said
    assert "broken.toml  line 2, column 1: the file stops before its last two lines" in said
    assert main([*words[:3], str(tmp_path)]) == 0
    assert "No figure: 0 finished jobs in" in capsys.readouterr().out
    assert main([*words[:3], str(tmp_path / "nowhere")]) == 2
    assert capsys.readouterr().err == f"nowhere: there is no such folder in {tmp_path}. Check the name.\n"


@pytest.mark.parametrize("wrong", [["--start", "12/1"], ["--crew", "0"], ["--crew", "x"], ["--day-hours", "25"], ["--day-hours", "nan"]])
def test_hours_take_a_day_and_numbers_that_can_be(wrong: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit, match="2"):
        main(["hours", "yard.toml", "--from", "done", *wrong])
    assert f"argument {wrong[0]}: " in capsys.readouterr().err


def test_who_waits_over_a_second_is_told_how_far_it_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tui.words.folders.PATIENCE_S", 0.0)
    file = job_file(tmp_path, accepted())
    job_file(tmp_path, signed(worked(1)), "done.toml")
    assert main(["hours", str(file), "--from", str(tmp_path)]) == 0
    assert capsys.readouterr().err.startswith("Reading job 1 of 1 in ")
    monkeypatch.setattr("tui.words.folders.TELL_S", 0.0)
    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    assert main(["hours", str(file), "--from", str(tmp_path)]) == 0
    assert capsys.readouterr().err.endswith("...\r\x1b[K")
