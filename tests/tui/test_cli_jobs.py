"""`linewalk jobs`, and `linewalk load` of a folder, on the command line."""

import csv
import shutil
from pathlib import Path

import pytest

from tests.demo import FOLDER
from tests.folder.test_planned_week import put
from tui.cli import main


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    jobs = tmp_path / "jobs"
    (jobs / "2025").mkdir(parents=True)
    for name in ("alder_row", "willow_bend"):
        shutil.copy(FOLDER / f"{name}.toml", jobs)
    shutil.copy(FOLDER / "alder_row.toml", jobs / "2025")
    return jobs


def test_jobs_to_read_and_as_csv_are_the_same_ones(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["jobs", str(folder)]) == 0
    text = capsys.readouterr().out
    assert main(["jobs", str(folder), "--csv"]) == 0
    found = list(csv.DictReader(capsys.readouterr().out.splitlines()))
    assert [(row["job"], row["sealed"], row["file"]) for row in found] == [
        ("2611", "", "willow_bend.toml"),
        ("2588", "sealed", "alder_row.toml"),
    ]
    assert text.index("willow_bend.toml") < text.index("alder_row.toml")
    assert main(["jobs", str(folder), "--csv", "--deep"]) == 0
    assert "2025/alder_row.toml" in capsys.readouterr().out


def test_a_file_that_cannot_be_read_is_a_row_and_the_rest_is_written(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "broken.toml").write_text("format = 1\n[job\n", encoding="utf-8")
    out = folder / "jobs.csv"
    assert main(["jobs", str(folder), "-o", str(out)]) == 2
    said, error = capsys.readouterr()
    assert (said, error) == (f"{out}\n", "broken.toml: line 2, column 5: a heading isn't closed with its bracket.\n")
    before = out.read_bytes()
    last = list(csv.DictReader(before.decode("utf-8-sig").splitlines()))[-1]
    assert (last["file"], last["cannot_be_read"]) == ("broken.toml", "line 2, column 5: a heading isn't closed with its bracket.")
    assert main(["jobs", str(folder), "-o", str(out)]) == 2
    assert "jobs.csv: is there already" in capsys.readouterr().err
    assert main(["jobs", str(folder / "2025"), "-o", str(out)]) == 2
    assert out.read_bytes() == before
    assert main(["jobs", str(folder / "2025"), "-o", str(out), "--replace"]) == 0
    assert out.read_bytes().count(b"\r\n") == 2
    assert main(["jobs", str(folder)]) == 2
    assert "broken.toml  line 2, column 5" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("nowhere", "there is no such folder in {}. Check the name."),
        ("alder_row.toml", "is no folder. Name the folder of jobs that it is in."),
    ],
)
def test_what_is_no_folder_ends_with_2(name: str, says: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["jobs", str(folder / name), "-o", str(folder / "jobs.csv")]) == 2
    assert capsys.readouterr() == ("", f"{name}: {says.format(folder)}\n")
    assert not (folder / "jobs.csv").exists()


def test_load_of_a_folder_is_for_the_jobs_of_a_week(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    put(folder, "maple", "2026-12-02")
    out = folder / "load.csv"
    words = ["load", str(folder), "--week", "12/6/2026"]
    assert main(words) == 0
    assert capsys.readouterr().out.startswith(
        "Week of Mon 11/30/2026 to Sun 12/6/2026\n2611, Willow Bend back yard, Wed 12/2/2026: its layout"
    )
    assert main([*words, "-o", str(out)]) == 0
    before = out.read_bytes()
    assert before.startswith(b"\xef\xbb\xbfweek,jobs,place,load_as,stock,what,unit,needed_units,")
    assert capsys.readouterr().out.split() == [str(out.with_name(f"load{part}.csv")) for part in ("", "-jobs", "-offcuts")]
    assert main([*words, "-o", str(out)]) == 2
    assert main([*words, "-o", str(folder / "load.txt")]) == 2
    assert "load.txt: a load list is a CSV file" in capsys.readouterr().err
    (folder / "broken.toml").write_text("format = 1\n[job\n", encoding="utf-8")
    assert out.read_bytes() == before
    assert main([*words, "-o", str(out), "--replace"]) == 2
    error = capsys.readouterr().err
    assert error == "broken.toml: can't be read, and may be of this week: line 2, column 5: a heading isn't closed with its bracket.\n"
    after = out.read_bytes().splitlines()
    assert (after[:-3], after[-2:]) == (before.splitlines()[:-2], before.splitlines()[-2:])
    assert after[-3].startswith(b'2026-11-30,,,,,"NOT IN THIS LIST: broken.toml: can')


def test_load_of_a_folder_without_a_week_is_for_this_one(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["load", str(folder)]) == 0
    assert "Nothing is to be loaded: no job with something to load is planned in this week." in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["load", "jobs", "--week", "11/31/2026"], "11/31/2026 is not a date, there is no such day"),
        (["load", "yard.toml", "--week", "2026-11-30"], "--week is for a folder of jobs, and yard.toml isn't one"),
    ],
)
def test_a_week_that_cannot_be_ends_with_2(words: list[str], says: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit, match="2"):
        main(words)
    assert says in capsys.readouterr().err
