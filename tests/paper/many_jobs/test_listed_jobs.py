"""The list of jobs for the office: figures under heads with their unit, the job first, what can't be read with the reason."""

import csv
from pathlib import Path

import pytest
from hypothesis import given, settings

from engine.folder.listing import Listed
from engine.folder.listing_memory import ListedFacts
from engine.job.errors import NotWritten
from engine.paper.many_jobs.listed_jobs import COLUMNS, jobs_csv, jobs_text, write_jobs
from tests.folder.test_job_order import LISTS

OAK = ListedFacts(
    "2701", "Oak yard", "A client", "2026-04-14", 10, 30, "cables", "stop", 2, "", "post_in_house", "P4 stands in the house.",
    "", "", 140.25, "feet-inches",
)  # fmt: skip
ELM = ListedFacts("", "Elm ring", "", "2026-04-18", 4, 4, "", "", 0, "sealed", "", "", "2026-04-20 16:05", "Teal", 30 / 0.3048, "metres")
ROWS = (Listed("oak.toml", OAK), Listed("elm.toml", ELM), Listed("bad.toml", error="line 2: no end."))


def rows_of(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(text.splitlines()))


def test_a_row_a_job_the_job_first_and_what_is_not_known_left_empty() -> None:
    elm, oak, bad = rows_of(jobs_csv(ROWS))
    assert list(oak.items()) == [
        ("job", "2701"), ("title", "Oak yard"), ("client", "A client"), ("planned", "2026-04-14"), ("stage_number", "5"),
        ("stage", "cable loops"), ("open_items", "20"), ("done_items", "10"), ("worst", "stop"), ("worst_code", "post_in_house"),
        ("worst_finding", "P4 stands in the house."), ("short_stock_rows", "2"), ("sealed", ""), ("signed_at", ""), ("signed_by", ""),
        ("length_ft", "140.25"), ("length", "140' 3\""), ("units", "feet-inches"), ("copy_of", ""),
        ("file", "oak.toml"), ("cannot_be_read", ""),
    ]  # fmt: skip
    assert (elm["job"], elm["sealed"], elm["signed_at"], elm["signed_by"]) == ("Elm ring", "sealed", "2026-04-20 16:05", "Teal")
    assert (elm["length_ft"], elm["length"], elm["units"], elm["stage_number"]) == ("98.4252", "30.00 m", "metres", "")
    assert {name: cell for name, cell in bad.items() if cell} == {"file": "bad.toml", "cannot_be_read": "line 2: no end."}


def test_where_all_jobs_are_in_metres_the_length_is() -> None:
    (elm, _) = rows_of(jobs_csv(ROWS[1:]))
    assert (elm["length_m"], elm["length"], "length_ft" in elm) == ("30", "30.00 m", False)


def test_to_read_it_is_three_tables() -> None:
    lines = jobs_text(ROWS).splitlines()
    assert lines[2].split() == ["number", "title", "client", "planned", "stage", "open", "worst", "short", "sealed", "length", "file"]
    assert lines[3].split()[-5:] == ["0", "sealed", "30.00", "m", "elm.toml"]
    assert lines[6:] == [
        *("Worst of each", "-------------", "job         finding", "2701  stop  P4 stands in the house."),
        *("", "Can't be read", "-------------", "file      why", "bad.toml  line 2: no end."),
    ]
    assert jobs_text(()) == "Jobs\n----\nnone here\n"


@settings(max_examples=100, deadline=None)
@given(LISTS)
def test_every_job_is_one_row_with_a_cell_under_each_head(rows: list[Listed]) -> None:
    found = list(csv.reader(jobs_csv(rows).splitlines()))
    assert [len(row) for row in found] == [len(COLUMNS)] * (1 + len(rows))
    assert sorted(row[COLUMNS.index("file")] for row in found[1:]) == sorted(row.name for row in rows)


def test_nothing_is_written_over(tmp_path: Path) -> None:
    out = write_jobs(ROWS, tmp_path / "jobs.csv")
    assert out.read_bytes().startswith(b"\xef\xbb\xbfjob,title,client,planned,")
    with pytest.raises(NotWritten, match="is there already"):
        write_jobs((), out)
    with pytest.raises(NotWritten, match=r"a list of jobs is a CSV file: give it a name that ends in \.csv"):
        write_jobs((), tmp_path / "jobs.toml", replacing=True)
    assert out.read_bytes().count(b"\r\n") == 4
    write_jobs((), out, replacing=True)
    assert out.read_bytes().count(b"\r\n") == 1
