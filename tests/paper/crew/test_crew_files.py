"""The crew's sheets on the disk: whole or as it was before, never over a job file, of a version, and none of a job that is signed off."""

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from engine.job.errors import NotWritten
from engine.job.file.heading import Heading
from engine.job.file.store import Loaded, load, new
from engine.paper.crew.crew_files import free_sheets_name, planned_words, write_sheets
from tests.demo import AT, FOLDER, accepted


def job_file(folder: Path) -> Loaded:
    return new(folder / "yard.toml", accepted(), AT, state=folder / "state")


def test_sheets_are_written_over_older_ones_where_that_is_said(tmp_path: Path) -> None:
    loaded, out = job_file(tmp_path), tmp_path / "sheets.html"
    out.write_text("the sheets before")
    with pytest.raises(NotWritten, match="is there already"):
        write_sheets(loaded, out)
    assert out.read_text() == "the sheets before"
    assert write_sheets(loaded, out, replacing=True) == out
    text = out.read_text(encoding="utf-8")
    assert text.startswith("<!DOCTYPE html>")
    assert "as planned on 4/14/2026 from revision 1<" in text
    assert sorted(path.name for path in tmp_path.iterdir()) == ["sheets.html", "yard.toml"]


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("other.toml", "can't be written over a job file"),
        ("yard.toml", "can't be written over a job file"),
        ("sheets.pdf", r"ends in \.html"),
        ("sheets", r"ends in \.html"),
        ("no/sheets.html", "couldn't be written: there is no folder .*no to put it in"),
    ],
)
def test_a_wrong_name_is_refused_in_a_sentence_and_nothing_is_touched(tmp_path: Path, name: str, says: str) -> None:
    loaded = job_file(tmp_path)
    before = {path.name: path.read_bytes() for path in tmp_path.glob("*.*")}
    with pytest.raises(NotWritten, match=says):
        write_sheets(loaded, tmp_path / name)
    assert {path.name: path.read_bytes() for path in tmp_path.glob("*.*")} == before


def test_the_job_file_isn_t_written_over_by_another_name(tmp_path: Path) -> None:
    loaded, link = job_file(tmp_path), tmp_path / "sheets.html"
    link.symlink_to(loaded.path)
    before = loaded.path.read_bytes()
    with pytest.raises(NotWritten, match="is the job file itself"):
        write_sheets(loaded, link)
    assert loaded.path.read_bytes() == before


def test_a_job_that_is_signed_off_gets_no_sheets(tmp_path: Path) -> None:
    with pytest.raises(NotWritten, match=r"alder_row\.toml: is signed off, so nothing is left to work by: print its record, or reopen it"):
        write_sheets(load(FOLDER / "alder_row.toml"), tmp_path / "sheets.html")
    assert list(tmp_path.iterdir()) == []


def test_sheets_say_of_which_version_they_are(tmp_path: Path) -> None:
    heading = Heading(revision=12, saved_at=datetime(2026, 11, 24, 16, 2, tzinfo=UTC))
    assert planned_words(heading) == "as planned on 11/24/2026 from revision 12"
    assert planned_words(heading, unsaved=True) == "as planned on 11/24/2026 from revision 12 and what isn't saved yet"
    assert planned_words(Heading()) == "as planned in a file without a date, from revision 0"
    loaded = replace(job_file(tmp_path), heading=heading)
    assert "from revision 12 and what isn&#x27;t saved yet" in write_sheets(loaded, tmp_path / "s.html", unsaved=True).read_text("utf-8")


def test_a_free_name_stands_beside_the_job(tmp_path: Path) -> None:
    first = free_sheets_name(tmp_path / "yard.toml")
    first.write_text("")
    assert [first.name, free_sheets_name(tmp_path / "yard.toml").name] == ["yard-sheets.html", "yard-sheets-2.html"]
