"""Every word of the command line says that it tells of a repair, and counts what is new alone."""

from pathlib import Path

import pytest

from engine.job.edit import edits
from engine.job.file.store import save
from engine.job.model.job import Job
from tests.demo import FOLDER
from tests.repair.finished import YEARS, finished, opened, signed_file
from tui.cli import main

BY = "Mo"


def broken(job: Job) -> Job:
    """A post is out, another one stands beside it, and one moved."""
    job = edits.add_post(edits.drop_post(job, "P6", YEARS, BY, why="a car leaned it over"), "yard", 62.0, YEARS, BY)
    return edits.move_post(job, "P8", YEARS, BY, along_ft=2)


@pytest.fixture
def mend(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Path:
    """A repair of the demo that an earlier version signed, with what broke."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    (tmp_path / "alder_row.toml").write_bytes((FOLDER / "alder_row.toml").read_bytes())
    path = tmp_path / "mend.toml"
    assert main(["repair", str(tmp_path / "alder_row.toml"), "-o", str(path)]) == 0
    save(opened(path), broken(opened(path).job), state=tmp_path / "state")
    capsys.readouterr()
    return path


def told(capsys: pytest.CaptureFixture[str], *words: str, code: int = 0) -> str:
    assert main([*words]) == code
    return " ".join(capsys.readouterr().out.split())


def test_every_word_says_what_it_repairs(mend: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    named = "A repair of 2588 Alder Row small yard"
    assert f"{named}, signed off 2026-03-09 17:46" in told(capsys, "check", str(mend), code=1)
    assert f"{named}: what stands is not loaded again." in told(capsys, "load", str(mend))
    assert f"{named}: hours are of what is new." in told(capsys, "hours", str(mend), "--from", str(tmp_path))
    assert f"{named}: packs, price and hours are of what is new; another layout is laid out round what stood when it began." in told(
        capsys, "compare", str(mend)
    )
    assert "repair of 2588 Alder Row small yard, signed off 2026-03-09 17:46" in told(capsys, "plan", str(mend))
    assert "Repair of" in told(capsys, "record", str(mend))
    for page in ("record", "sheets"):
        told(capsys, page, str(mend), "-o", str(tmp_path / f"{page}.html"))
        assert "2588 Alder Row small yard, signed off 2026-03-09 17:46" in " ".join((tmp_path / f"{page}.html").read_text().split())


def test_what_is_told_is_of_what_is_new(mend: Path, capsys: pytest.CaptureFixture[str]) -> None:
    load = told(capsys, "load", str(mend))
    assert "round steel post 1 5/8 in, 8 ft: 2 posts" in load
    assert "steel sleeve 30 in: 2 sleeves" in load
    assert not [word for word in ("cable", "brace", "hinge", "lock") if word in load]
    record = told(capsys, "record", str(mend))
    times = record[record.index("Times -----") :]
    assert "2026-03-09" not in times[: times.index("Checklist")]


def test_an_ordinary_job_says_nothing_of_repairs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "yard.toml").write_bytes((FOLDER / "willow_bend.toml").read_bytes())
    for words in (("load", "yard.toml"), ("compare", "yard.toml"), ("plan", "yard.toml"), ("hours", "yard.toml", "--from", str(tmp_path))):
        assert "repair" not in told(capsys, words[0], str(tmp_path / words[1]), *words[2:]).lower()


def test_a_week_with_a_repair_in_it_says_so(mend: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    there = opened(mend)
    who = there.job.job.model_copy(update={"planned_for": YEARS.date()})
    save(there, there.job.model_copy(update={"job": who}), state=tmp_path / "state")
    week = told(capsys, "load", str(tmp_path), "--week", f"{YEARS.date()}")
    assert "a repair of 2588 Alder Row small yard, what stands is not loaded again" in week
    assert "round steel post 1 5/8 in, 8 ft: 2 posts" in week


def test_a_stage_with_nothing_new_isn_t_called_done_on_the_page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    signed_file(tmp_path / "yard.toml", finished("willow_bend"))
    assert main(["repair", str(tmp_path / "yard.toml"), "-o", str(tmp_path / "mend.toml")]) == 0
    assert main(["record", str(tmp_path / "mend.toml"), "-o", str(tmp_path / "mend.html")]) == 0
    page = (tmp_path / "mend.html").read_text(encoding="utf-8")
    assert "<h3>Bracing <small>nothing new</small></h3>" in page
    assert "nothing new done" not in page
