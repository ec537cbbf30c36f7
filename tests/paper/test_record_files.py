"""The record on the disk: tables that any reader gets back whole, files whole or untouched, and a job file never written over."""

import csv
import io
import os
import re
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from engine.calc.lengths import parse_length_ft
from engine.job.edit import edits
from engine.job.errors import NotWritten
from engine.job.file.disk import Disk
from engine.job.file.store import Loaded, load, new
from engine.job.model.job import Job
from engine.job.model.stock_table import stock_of
from engine.paper.load_list import write_load
from engine.paper.record_files import older_words, write_record
from engine.paper.record_office import OF_SOME_JOBS, office_tables
from engine.paper.tables.csv_tables import file_name, record_csv, record_markdown
from engine.paper.tables.csv_text import in_one_word
from engine.paper.tables.told_cells import for_programs
from engine.paper.written_files import IS_THERE
from engine.walk import walk
from tests.ahead.first_talks import PHONE
from tests.demo import AT, BY, others
from tests.paper.test_record_tables import worked
from tests.repair.test_old_sleeves_again import moved_away

FORMATS = sorted((Path(__file__).parents[1] / "job/file/formats").glob("*.toml"))
STOCKED = ("materials", "estimated-materials", "load", "load-offcuts")
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
        columns = table.columns if any(table.columns) else ("what", "says")
        written = [at for at, column in enumerate(columns) if column not in table.for_people]
        told = [rows[0].index(in_one_word(columns[at])) for at in written]
        assert [[row[at] for at in told] for row in rows[1:]] == [[for_programs(row[at]) for at in written] for row in table.rows]
        assert rows[0][0] == "job"
        assert {row[0] for row in rows[1:]} <= {"2611"}
        assert len(set(rows[0])) == len(rows[0])
        assert all(re.fullmatch(r"\w+", head) for head in rows[0])
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
    assert rows[-1][3] == kept


UNITS = ("_ft", "_in", "_m", "_cm", "_mph", "_kmh", "_units", "_packs")
A_NUMBER = re.compile(r"-?\d+(\.\d{1,4})?")
OF_FT = {"ft": 1.0, "in": 1 / 12, "m": 1 / 0.3048, "cm": 0.01 / 0.3048}
IN_FEET = {"m": "ft", "cm": "in", "kmh": "mph"}
A_LENGTH = re.compile(r"(?:driven |at least |at most )?(-?[0-9][0-9 '/.]*(?:['\"]| c?m))(?: (?:from|on) .*)?")
BETWEEN = re.compile(r" to |, | and ")
OF_PEOPLE = ("caption", "note")
"""What people wrote stands as they wrote it."""


def opened(path: Path) -> list[dict[str, str]]:
    """A file as a program reads it that knows the mark."""
    return headed(path)[1]


def headed(path: Path) -> tuple[list[str], list[dict[str, str]]]:
    """The same with its heads."""
    assert path.read_bytes().startswith(b"\xef\xbb\xbf")
    with path.open(encoding="utf-8-sig", newline="") as file:
        heads, *rows = csv.reader(file)
    return heads, [dict(zip(heads, row, strict=True)) for row in rows]


def samples() -> dict[str, Job]:
    """Jobs of every state: half built, signed, in metres, of other versions, a repair, an estimate of thousands."""
    rough = PHONE.model_copy(update={"length_ft": 1_400.0})
    estimate = Job.model_validate({"job": {"number": "E"}, "rough": rough, "stock": {"post-8": {"price": 1_250.0}}})
    formats = {path.stem: load(path).job for path in FORMATS}
    return {"half built": worked(), **others(), **formats, "repair": moved_away(), "estimate": estimate}


def half_a_mark_ft(cell: str) -> float:
    """Half an eighth of an inch, or half of the last decimal, and what four places of a figure leave out."""
    number, _, unit = cell.partition(" ")
    return 0.0001 + (0.5 * 10 ** -len(number.partition(".")[2]) * OF_FT[unit] if unit in OF_FT else 0.0625 / 12)


def lengths_in(cell: str) -> list[str]:
    """The lengths of a cell that holds nothing else but what they are of."""
    parts = [(part, A_LENGTH.fullmatch(part)) for part in BETWEEN.split(cell)]
    return [found[1] for _, found in parts if found] if all(found or re.fullmatch(r"\w+", part) for part, found in parts) else []


def without_twin(row: dict[str, str]) -> list[str]:
    """Lengths in words of which no figure stands in the row."""
    units = {head: row["unit"] if head.endswith("_units") and "unit" in row else head.rpartition("_")[2] for head in row}
    figures = [float(said) * OF_FT[units[head]] for head, said in row.items() if said and units[head] in OF_FT]
    lengths = [length for head, cell in row.items() if head not in OF_PEOPLE for length in lengths_in(cell)]
    return [length for length in lengths if not any(abs(parse_length_ft(length) - one) <= half_a_mark_ft(length) for one in figures)]


def test_every_table_of_every_job_is_one_that_an_office_can_add_up(tmp_path: Path) -> None:
    """Under a head with a unit stand plain numbers only, and a length in words has its number in the row; every row names its job, and its
    stock by an id; a table has the same heads in every job."""
    heads: dict[str, set[tuple[str, ...]]] = {}
    numbers, wrong = 0, []
    for name, job in samples().items():
        loaded = new(tmp_path / f"{name}.toml", job, AT, state=tmp_path / "state")
        folder, stock = tmp_path / name, stock_of(job.stock)
        for path in (*write_record(loaded, folder, as_folder=True), *write_load(job, walk(job).takeoff, folder / "load.csv")):
            named, rows = headed(path)
            in_feet = ((head.rpartition("_"), head) for head in named)
            heads.setdefault(path.stem, set()).add(tuple(f"{start}{mark}{IN_FEET.get(unit, unit)}" for (start, mark, unit), _ in in_feet))
            for row in rows:
                figures = {head: said for head, said in row.items() if head.endswith(UNITS) and said}
                numbers += len(figures)
                wrong += [f"{path}: {head} {said}" for head, said in figures.items() if not A_NUMBER.fullmatch(said)]
                wrong += [f"{path}: {said}" for said in without_twin(row)]
                wrong += [] if row["job"] == job.job.number and row.get("stock", "post-8") in ("", *stock) else [f"{path}: {row}"]
    assert wrong == []
    assert {*heads} - {*NAMES, "load", "load-offcuts"} <= {*map(file_name, OF_SOME_JOBS)}
    assert {name: found for name, found in heads.items() if len(found) > 1} == {}
    assert all("stock" in found.pop() for name, found in heads.items() if name in STOCKED)
    assert numbers > 2_000


def test_a_length_stands_as_a_number_beside_what_a_tape_says(tmp_path: Path) -> None:
    loaded = new(tmp_path / "yard.toml", others()["ridge_ring"], AT, state=tmp_path / "state")
    write_record(loaded, tmp_path / "tables", as_folder=True)

    def row(name: str, head: str, value: str) -> dict[str, str]:
        return next(one for one in opened(tmp_path / "tables" / f"{name}.csv") if one[head] == value)

    bay, loop, post = row("bays", "bay", "P3-P4"), row("cable-loops", "loop", "L1"), row("supports", "id", "P2")
    worked_out = walk(loaded.job)
    assert (float(bay["length_ft"]), bay["length"]) == (round(worked_out.layout.bays["P3-P4"].slope_ft, 4), "15' 1\"")
    assert (float(loop["cable_ft"]), loop["cable"]) == (round(worked_out.cables.loops["L1"].cut_ft, 4), "113' 7 5/8\"")
    assert (post["driven_in"], post["stands_in_what"], post["station_ft"], post["line"]) == ("30", 'driven 30"', "20", "ring")
    assert (float(post["tape_ft"]), post["tape"]) == (round(worked_out.layout.ties["P2"].tape_a_ft, 4), "28' 9 5/8\" from K1")
    assert post["tape_from"] == "K1"
    read = row("readings", "item", "P1 to P2: taped")
    assert (read["read_ft"], read["read_in"], read["at_most_ft"], read["at_least_ft"]) == ("20", "", "21.0014", "19.0014")
    stock = row("materials", "stock", "post-8")
    assert (stock["planned_units"], stock["used_units"], stock["unit"], stock["used"]) == ("23", "11", "posts", "11 posts")
    brace = row("braces", "support", "P3")
    assert (brace["foot_out_planned_ft"], brace["foot_out_read_ft"]) == ("5", "5")


def test_negative_places_stay_numbers() -> None:
    job = worked()
    rows = list(csv.DictReader(io.StringIO(record_csv(job, walk(job))["plan-against-built"], newline="")))
    norths = [row["north_ft"] for row in rows]
    assert list(map(float, norths)) == pytest.approx([support.north_ft for support in walk(job).layout.supports.values()], abs=0.00006)
    assert min(map(float, norths)) < 0
    supports = list(csv.DictReader(io.StringIO(record_csv(job, walk(job))["supports"], newline="")))
    assert [row["north_ft"] for row in supports] == norths


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
    assert older_words(made) == ()
    (tmp_path / "r-photos.csv").touch()
    again = write_record(loaded, tmp_path / "r.csv", replacing=True)
    assert older_words(again) == (f"{tmp_path / 'r-photos.csv'} is of an older record: this one has no such table.",)


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
    assert str(refused.value) == "r.html: couldn't be written: the disk is full. Make room on it, or choose another place."
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
    with pytest.raises(NotWritten, match=r"^taken: can't be made: something of that name is there already\. Choose another place\.$"):
        write_record(loaded, tmp_path / "taken", as_folder=True)
    assert (tmp_path / "taken").read_text() == "a file"


@pytest.mark.parametrize("replacing", [True, False])
def test_a_pipe_is_never_written_over_and_no_link_or_name_ends_in_a_fault(replacing: bool, tmp_path: Path) -> None:
    loaded = job_file(tmp_path)
    os.mkfifo(tmp_path / "pipe.html")
    (tmp_path / "away.html").symlink_to("nowhere/record.html")
    said = {"pipe.html": "isn't an ordinary file", f"{'x' * 300}.html": "its name is too long. Give a shorter one.", "away.html": IS_THERE}
    said |= {"away.html": f"there is no folder {tmp_path.resolve() / 'nowhere'} to put it in."} if replacing else {}
    for name, says in said.items():
        with pytest.raises(NotWritten, match=re.escape(says)):
            write_record(loaded, tmp_path / name, replacing=replacing)


@pytest.mark.parametrize("name", ["other.toml", "other.html", "linked.html"])
def test_a_job_of_any_name_is_never_written_over(name: str, tmp_path: Path) -> None:
    loaded = job_file(tmp_path)
    other = tmp_path / ("other.toml" if name == "linked.html" else name)
    other.write_bytes(loaded.path.read_bytes())
    if name == "linked.html":
        (tmp_path / name).symlink_to(other)
    raw = other.read_bytes()
    with pytest.raises(NotWritten, match="job file"):
        write_record(loaded, tmp_path / name, replacing=True)
    assert other.read_bytes() == raw


@pytest.mark.parametrize("replacing", [False, True])
def test_a_disk_that_fails_amid_tables_leaves_none_of_them_and_no_folder_of_its_own(replacing: bool, tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir()
    loaded = job_file(tmp_path)
    begun = 0

    def full_soon(fd: int, data: bytes) -> None:
        nonlocal begun
        begun += 1
        if begun > 3:
            raise OSError(28, os.strerror(28))
        os.write(fd, data)

    with pytest.raises(NotWritten, match="couldn't be written: the disk is full"):
        write_record(loaded, tmp_path / "new" / "tables", as_folder=True, replacing=replacing, disk=replace(Disk(), write=full_soon))
    with pytest.raises(NotWritten, match="couldn't be written: the disk is full"):
        write_record(loaded, tmp_path / "mine", as_folder=True, replacing=replacing, disk=replace(Disk(), write=full_soon))
    assert sorted(path.name for path in tmp_path.rglob("*") if path.name != "state") == ["mine", "yard.toml"]
