"""The record on the disk: tables that any reader gets back whole, files whole or untouched, and a job file never written over."""

import csv
import io
import os
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from engine.job.edit import edits
from engine.job.errors import NotWritten
from engine.job.file.disk import Disk, why
from engine.job.file.store import Loaded, new
from engine.paper.csv_tables import record_csv, record_markdown
from engine.paper.record_files import write_record
from engine.paper.record_office import office_tables
from engine.walk import walk
from tests.demo import AT, BY
from tests.paper.test_record_tables import worked

NAMES = [
    *(
        "what-was-built",
        "supports",
        "known-places",
        "bays",
        "cable-loops",
        "gates",
        "changed-from-the-plan",
        "log",
        "readings",
        "materials",
        "left-open",
    ),
    *("plan-against-built", "braces", "what-gives-first-in-wind", "sleeves-left-in-the-ground", "times", "checklist"),
]


def job_file(folder: Path) -> Loaded:
    """The half-built demo in a file of its own."""
    return new(folder / "yard.toml", worked(), AT, state=folder / "state")


def test_every_table_comes_back_from_its_csv() -> None:
    job = worked()
    texts = record_csv(job, walk(job))
    assert list(texts) == NAMES
    for table, text in zip(office_tables(job, walk(job)), texts.values(), strict=True):
        rows = list(csv.reader(io.StringIO(text, newline="")))
        assert [tuple(row) for row in rows[1:]] == list(table.rows)
        assert tuple(rows[0]) == (table.columns if any(table.columns) else ("what", "says"))
        assert len(set(rows[0])) == len(rows[0])
        assert all(rows[0])
        assert text.count("\r\n") >= len(rows)


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        ('=HYPERLINK("x")', '\'=HYPERLINK("x")'),
        ("+1", "'+1"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("-2+3|x", "'-2+3|x"),
        ('a "quoted", word\nand a line', 'a "quoted", word\nand a line'),
    ],
)
def test_no_cell_is_a_formula(said: str, kept: str) -> None:
    job = edits.note(worked(), said, AT + timedelta(hours=1), BY)
    rows = list(csv.reader(io.StringIO(record_csv(job, walk(job))["log"], newline="")))
    assert rows[-1][2] == kept


def test_negative_places_stay_numbers() -> None:
    job = worked()
    rows = list(csv.DictReader(io.StringIO(record_csv(job, walk(job))["plan-against-built"], newline="")))
    norths = [float(row["north ft"]) for row in rows]
    assert norths == pytest.approx([support.north_ft for support in walk(job).layout.supports.values()], abs=0.0051)
    assert min(norths) < 0


def test_markdown_reads_nothing_in_a_cell_as_markup() -> None:
    job = edits.note(worked(), "a | b\n<b>*c*</b> [d](e)", AT + timedelta(hours=1), BY)
    text = record_markdown(job, walk(job))
    assert "a \\| b \\<b\\>\\*c\\*\\</b\\> \\[d\\]\\(e\\)" in text
    titles = [line[3:] for line in text.splitlines() if line.startswith("## ")]
    assert titles == [table.title for table in office_tables(job, walk(job))]
    rows = [line for line in text.splitlines() if line.startswith("| P") and " on back |" in line]
    assert len(rows) == 16


def test_each_ending_gets_its_form(tmp_path: Path) -> None:
    loaded = job_file(tmp_path)
    assert write_record(loaded, tmp_path / "r.html") == (tmp_path / "r.html",)
    assert (tmp_path / "r.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>\n<html")
    write_record(loaded, tmp_path / "r.md")
    assert (tmp_path / "r.md").read_text(encoding="utf-8").startswith("# Fence record\n")
    write_record(loaded, tmp_path / "r.txt")
    assert (tmp_path / "r.txt").read_text(encoding="utf-8").startswith("What was built\n")
    assert [path.name for path in write_record(loaded, tmp_path / "r.csv")] == [f"r-{name}.csv" for name in NAMES]
    made = write_record(loaded, tmp_path / "deep" / "tables", as_folder=True)
    assert made == tuple(tmp_path / "deep" / "tables" / f"{name}.csv" for name in NAMES)
    assert made[1].read_bytes() == (tmp_path / "r-supports.csv").read_bytes()
    assert write_record(loaded, tmp_path / "deep" / "tables", replacing=True) == made


def test_an_older_record_is_replaced_where_that_is_said_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    loaded = job_file(tmp_path)
    (tmp_path / "r.html").write_text("old")
    with pytest.raises(NotWritten, match="is there already") as refused:
        write_record(loaded, tmp_path / "r.html")
    assert str(refused.value) == "r.html: is there already. Nothing was overwritten; give another name, or say --replace."
    assert (tmp_path / "r.html").read_text(encoding="utf-8") == "old"
    write_record(loaded, tmp_path / "r.html", replacing=True)
    assert (tmp_path / "r.html").read_text(encoding="utf-8") != "old"
    assert sorted(path.name for path in tmp_path.iterdir() if path.name != "state") == ["r.html", "yard.toml"]


@pytest.mark.parametrize("name", ["yard.toml", "other.toml", "other.TOML", "record.pdf", "record"])
def test_a_job_file_or_an_unknown_ending_is_refused(name: str, tmp_path: Path) -> None:
    loaded = job_file(tmp_path)
    raw = loaded.path.read_bytes()
    with pytest.raises(NotWritten, match=r"html, \.md"):
        write_record(loaded, tmp_path / name)
    assert loaded.path.read_bytes() == raw
    assert sorted(path.name for path in tmp_path.iterdir() if path.name != "state") == ["yard.toml"]


def test_a_link_to_the_job_file_is_refused(tmp_path: Path) -> None:
    loaded = job_file(tmp_path)
    raw = loaded.path.read_bytes()
    (tmp_path / "r.html").symlink_to(loaded.path)
    with pytest.raises(NotWritten, match="is the job file itself"):
        write_record(loaded, tmp_path / "r.html")
    assert loaded.path.read_bytes() == raw


@pytest.mark.parametrize("step", ["open_excl", "write", "fsync", "replace"])
def test_a_disk_that_fails_leaves_the_old_record_and_says_so_in_a_sentence(step: str, tmp_path: Path) -> None:
    loaded = job_file(tmp_path)
    (tmp_path / "r.html").write_text("old")

    def full(*_: object) -> None:
        raise OSError(28, os.strerror(28))

    with pytest.raises(NotWritten) as refused:
        write_record(loaded, tmp_path / "r.html", replacing=True, disk=replace(Disk(), **{step: full}))
    assert str(refused.value) == f"r.html: couldn't be written: {why(OSError(28, ''))}"
    assert (tmp_path / "r.html").read_text() == "old"
    assert sorted(path.name for path in tmp_path.iterdir() if path.name != "state") == ["r.html", "yard.toml"]


def test_one_table_that_is_there_keeps_all_of_them_back(tmp_path: Path) -> None:
    loaded = job_file(tmp_path)
    (tmp_path / "r-times.csv").write_text("mine")
    with pytest.raises(NotWritten, match=r"^r-times\.csv: is there already"):
        write_record(loaded, tmp_path / "r.csv")
    assert sorted(path.name for path in tmp_path.iterdir() if path.name != "state") == ["r-times.csv", "yard.toml"]
    assert (tmp_path / "r-times.csv").read_text() == "mine"


@pytest.mark.parametrize("step", ["open_excl", "write", "fsync"])
def test_a_disk_that_fails_leaves_no_begun_record(step: str, tmp_path: Path) -> None:
    loaded = job_file(tmp_path)

    def full(*_: object) -> None:
        raise OSError(28, os.strerror(28))

    with pytest.raises(NotWritten, match="couldn't be written"):
        write_record(loaded, tmp_path / "r.html", disk=replace(Disk(), **{step: full}))
    assert sorted(path.name for path in tmp_path.iterdir() if path.name != "state") == ["yard.toml"]


def test_a_folder_that_cannot_be_made(tmp_path: Path) -> None:
    loaded = job_file(tmp_path)
    (tmp_path / "taken").write_text("a file")
    with pytest.raises(NotWritten, match=r"^taken: can't be made: "):
        write_record(loaded, tmp_path / "taken", as_folder=True)
    assert (tmp_path / "taken").read_text() == "a file"
