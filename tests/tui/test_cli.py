"""The command line, command by command: what it prints, what code it ends with, and that no file it can't read is touched."""

import json
import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

import tui.app
from engine.job.edit import edits
from engine.job.file.store import Loaded, load, new, save
from engine.job.model.job import Job
from tests.paper.test_record_tables import signed
from tests.source import ROOT
from tests.stages.yards import build, plain, tables
from tui.cli import main
from tui.demo import MAIN
from tui.working.working_copy import Walked

AT = datetime(2026, 3, 6, 9, 30, tzinfo=UTC)
Opened = list[tuple[str, str]]


def job_file(folder: Path, job: Job, name: str = "yard.toml") -> Path:
    """A job file as the program writes it."""
    return new(folder / name, job, AT, state=folder / "state").path


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> Opened:
    """What the screen was opened on, and by whom; no screen is opened."""
    seen: Opened = []

    def on_job(loaded: Loaded, by: str, _walked: Walked) -> int:
        seen.append((loaded.path.name, by))
        return 0

    def on_folder(folder: Path, by: str) -> int:
        seen.append((f"{folder}/", by))
        return 0

    monkeypatch.setattr(tui.app, "run_job", on_job)
    monkeypatch.setattr(tui.app, "run_folder", on_folder)
    return seen


@pytest.mark.parametrize("words", [["open"], []])
def test_a_job_is_opened_with_or_without_the_word(words: list[str], tmp_path: Path, opened: Opened) -> None:
    file = job_file(tmp_path, plain())
    assert main([*words, str(file), "--by", "Teal"]) == 0
    assert opened == [("yard.toml", "Teal")]


def test_a_folder_is_listed(tmp_path: Path, opened: Opened) -> None:
    assert main([str(tmp_path)]) == 0
    assert opened == [(f"{tmp_path}/", "")]


def test_no_words_list_this_folder(opened: Opened) -> None:
    assert main([]) == 0
    assert opened == [("./", "")]


COMMANDS_ON_A_FILE = (["open"], ["check"], ["plan"], ["plan", "--json"], ["record"], ["load"], ["sheets", "-o", "none/sheets.html"])


@pytest.mark.parametrize("words", COMMANDS_ON_A_FILE)
@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (b"", "empty"),
        (b"format = 1\n[job\n", "line 2"),
        (b"format = 1\n[job]\ntitle = 'cut off'\n", "cut short"),
        (b"format = 1\n[job]\ntitel = 'a slip'\n\n[end]\ncomplete = true\n", "titel"),
        (b"format = 9\n\n[end]\ncomplete = true\n", "newer"),
        (b"\xff\xfe\x00junk", "UTF-8"),
    ],
)
def test_a_file_that_cannot_be_read_ends_with_2_and_stays(
    words: list[str], raw: bytes, says: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "broken.toml"
    file.write_bytes(raw)
    assert main([*words, str(file)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("broken.toml: ")
    assert says in err
    assert file.read_bytes() == raw
    assert [path.name for path in tmp_path.iterdir()] == ["broken.toml"]


@pytest.mark.parametrize("words", COMMANDS_ON_A_FILE)
def test_a_file_that_is_not_there_ends_with_2(words: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*words, str(tmp_path / "none.toml")]) == 2
    assert capsys.readouterr().err.startswith("none.toml: ")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("words", COMMANDS_ON_A_FILE[1:])
def test_reading_a_job_never_writes_to_it(words: list[str], tmp_path: Path) -> None:
    file = job_file(tmp_path, plain())
    raw, at = file.read_bytes(), file.stat().st_mtime_ns
    main([*words, str(file)])
    assert (file.read_bytes(), file.stat().st_mtime_ns) == (raw, at)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["yard.toml"]


# new


def test_new_makes_a_file_that_opens(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "back_yard.toml"
    assert main(["new", str(file)]) == 0
    assert capsys.readouterr().out == f"{file} is ready. Open it with: linewalk {file}\n"
    assert load(file).job == Job.model_validate({"job": {"title": "back_yard"}})


def test_new_never_writes_over_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "yard.toml"
    file.write_bytes(b"something else")
    assert main(["new", str(file)]) == 2
    assert "is there already" in capsys.readouterr().err
    assert file.read_bytes() == b"something else"


def test_new_in_a_folder_that_is_not_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", str(tmp_path / "nowhere" / "yard.toml")]) == 2
    says = f"there is no folder {tmp_path / 'nowhere'} to put it in. Make it, or choose another place."
    assert capsys.readouterr().err == f"yard.toml: {says}\n"
    assert list(tmp_path.iterdir()) == []


# demo


def test_demo_copies_every_demo_job_and_opens_the_main_one(tmp_path: Path, opened: Opened, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "demo"
    assert main(["demo", str(folder), "--by", "Mo"]) == 0
    assert capsys.readouterr().out == f"Demo jobs are in {folder}.\n"
    assert opened == [(MAIN, "Mo")]
    ours = {path.name: path.read_bytes() for path in (ROOT / "demo_jobs").glob("*.toml")}
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == ours


def test_demo_again_keeps_the_work_in_the_files(tmp_path: Path, opened: Opened, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["demo", str(tmp_path), "--copy-only"]) == 0
    (tmp_path / MAIN).write_bytes(b"worked on")
    assert main(["demo", str(tmp_path), "--copy-only"]) == 0
    assert (tmp_path / MAIN).read_bytes() == b"worked on"
    assert "with your work in them" in capsys.readouterr().out.splitlines()[1]
    assert opened == []


# check, plan, record


def test_check_of_a_job_that_nothing_stops(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = job_file(tmp_path, plain())
    assert main(["check", str(file)]) == 0
    assert capsys.readouterr().out.splitlines()[-1].startswith("yard.toml: 0 to stop for, ")


def test_check_of_a_job_that_something_stops(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    base = tables()
    base["utility_notice"] = {"ticket": "T-100", "called": "2026-03-02", "earliest_start": "2026-03-05", "marks_seen": False}
    file = job_file(tmp_path, build(base))
    assert main(["check", str(file)]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("stop  survey: ")
    assert lines[1].startswith("      ")
    levels = [line[:4].strip() for line in lines[:-1] if not line.startswith("      ")]
    assert levels == sorted(levels, key=["stop", "fix", "note"].index)
    counts = [levels.count(level) for level in ("stop", "fix", "note")]
    assert lines[-1] == f"yard.toml: {counts[0]} to stop for, {counts[1]} to fix, {counts[2]} to note."


def test_check_of_a_new_job_says_what_comes_first(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(job_file(tmp_path, Job()))]) == 1
    assert capsys.readouterr().out.splitlines()[0] == "stop  survey: No call to the one-call centre is entered."


def test_plan_prints_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", str(job_file(tmp_path, plain())), "--json"]) == 0
    assert list(json.loads(capsys.readouterr().out))[-3:] == ["stages", "findings", "takeoff"]


def test_record_prints_what_was_built(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["record", str(job_file(tmp_path, plain()))]) == 0
    said = capsys.readouterr().out
    assert said.startswith("What was built\n--------------\n")
    assert "state  not signed off" in said


# record -o, merge


def test_record_is_written_for_the_office_and_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = job_file(tmp_path, plain())
    raw = file.read_bytes()
    assert main(["record", str(file), "-o", str(tmp_path / "r.html")]) == 0
    assert capsys.readouterr().out == f"{tmp_path / 'r.html'}\n"
    first = (tmp_path / "r.html").read_bytes()
    assert main(["record", str(file), "-o", str(tmp_path / "r.html")]) == 2
    assert "r.html: is there already" in capsys.readouterr().err
    assert main(["record", str(file), "-o", str(tmp_path / "r.html"), "--replace"]) == 0
    assert (tmp_path / "r.html").read_bytes() == first
    assert main(["record", str(file), "-o", f"{tmp_path / 'tables'}/"]) == 0
    assert "supports.csv" in {path.name for path in (tmp_path / "tables").iterdir()}
    assert file.read_bytes() == raw


@pytest.mark.parametrize("command", ["record", "sheets"])
@pytest.mark.parametrize("out", ["yard.toml", "new.toml", "none/r.html", "r.pdf"])
def test_a_page_is_never_written_into_a_job_or_where_it_cannot(
    command: str, out: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = job_file(tmp_path, plain())
    raw = file.read_bytes()
    assert main([command, str(file), "-o", str(tmp_path / out)]) == 2
    said, error = capsys.readouterr()
    assert said == ""
    assert len(error.splitlines()) == 1
    assert error.startswith(f"{Path(out).name}: ")
    assert file.read_bytes() == raw
    assert [path.name for path in tmp_path.iterdir()] == ["yard.toml"]


def parted(folder: Path) -> tuple[Path, Path]:
    """Two files of the plain yard, one 5 ft high with a note, one 6 ft."""
    base = tables()
    lower = {**base, "fence": {**base.get("fence", {}), "height_ft": 5.0}}
    return job_file(folder, build(lower), "a.toml"), job_file(folder, edits.note(build(base), "soft by the gate", AT, "Bo"), "b.toml")


def test_merge_asks_and_writes_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    a, b = parted(tmp_path)
    assert main(["merge", str(a), str(b), "-o", str(tmp_path / "c.toml")]) == 1
    said, error = capsys.readouterr()
    assert said == ""
    assert error.splitlines()[0] == "1. The fence's height: 5' 0\" in a.toml; 6' 0\" in b.toml."
    assert error.splitlines()[-1] == "Nothing was written."
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.toml", "b.toml"]


def test_merge_takes_a_fact_that_one_side_changed_where_it_knows_what_both_came_from(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    start = load(job_file(tmp_path, build(tables()), "a.toml"))
    b = Path(shutil.copy(start.path, tmp_path / "b.toml"))
    save(start, start.job.model_copy(update={"fence": start.job.fence.model_copy(update={"height_ft": 5.0})}), AT)
    there = load(b)
    save(there, edits.note(there.job, "soft by the gate", AT, "Bo"), AT)
    assert main(["merge", str(start.path), str(b), "-o", str(tmp_path / "c.toml")]) == 0
    assert capsys.readouterr().err == ""
    job = load(tmp_path / "c.toml").job
    assert (job.fence.height_ft, len(job.log)) == (5.0, 1)


@pytest.mark.parametrize(("keep", "height_ft"), [("ours", 5.0), ("theirs", 6.0)])
def test_merge_keeps_what_it_is_told_to(keep: str, height_ft: float, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    a, b = parted(tmp_path)
    before = a.read_bytes(), b.read_bytes()
    assert main(["merge", str(a), str(b), "-o", str(tmp_path / "c.toml"), "--keep", keep]) == 0
    said = capsys.readouterr().out.splitlines()
    assert said[:2] == ["Came in from b.toml:", "Logged, by Bo: soft by the gate"]
    assert said[-1].endswith("c.toml holds what was kept, and all else of both.")
    job = load(tmp_path / "c.toml").job
    assert (job.fence.height_ft, len(job.log)) == (height_ft, 1)
    assert (a.read_bytes(), b.read_bytes()) == before


@pytest.mark.parametrize(("keep", "height_ft"), [("1=a", 5.0), ("1=b", 6.0), ("1=theirs", 6.0)])
def test_merge_keeps_what_it_is_told_of_one_question(keep: str, height_ft: float, tmp_path: Path) -> None:
    a, b = parted(tmp_path)
    assert main(["merge", str(a), str(b), "-o", str(tmp_path / "c.toml"), "--keep", "ours", "--keep", keep]) == 0
    assert load(tmp_path / "c.toml").job.fence.height_ft == height_ft


@pytest.mark.parametrize(
    ("answers", "says"),
    [
        (["2=a"], "There is no question 2. This merge asks 1 question."),
        (["1=a", "1=b"], "--keep is said both ways for question 1: say it once."),
    ],
)
def test_an_answer_that_cannot_be_ends_with_2(answers: list[str], says: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    a, b = parted(tmp_path)
    said = [word for answer in answers for word in ("--keep", answer)]
    assert main(["merge", str(a), str(b), "-o", str(tmp_path / "c.toml"), *said]) == 2
    assert capsys.readouterr().err == f"{says}\n"
    assert not (tmp_path / "c.toml").exists()


def test_merge_of_a_signed_job_is_refused_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = job_file(tmp_path, signed())
    assert main(["merge", str(file), str(file), "-o", str(tmp_path / "c.toml")]) == 2
    says = "yard.toml is signed off, and a record can't be mixed with anything. Reopen it with a reason, then merge.\n"
    assert (capsys.readouterr().err, (tmp_path / "c.toml").exists()) == (says, False)


@pytest.mark.parametrize("keep", ["0=a", "1=c", "a", "1", "x=a", "12345=a"])
def test_an_answer_that_is_none_ends_with_2(keep: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    a, b = parted(tmp_path)
    with pytest.raises(SystemExit) as left:
        main(["merge", str(a), str(b), "-o", str(tmp_path / "c.toml"), "--keep", keep])
    assert left.value.code == 2
    assert "is no answer: say ours or theirs for all, or 1=a, 1=b for one question" in capsys.readouterr().err


@pytest.mark.parametrize("again", ["a.toml", "b.toml"])
def test_merging_the_result_with_either_file_again_changes_and_asks_nothing(
    again: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    a, b = parted(tmp_path)
    c, d = tmp_path / "c.toml", tmp_path / "d.toml"
    assert main(["merge", str(a), str(b), "-o", str(c), "--keep", "theirs"]) == 0
    capsys.readouterr()
    assert main(["merge", str(c), str(tmp_path / again), "-o", str(d)]) == 0
    assert capsys.readouterr() == (f"Nothing new came in from {again}.\n{d} holds both.\n", "")
    assert load(d).job == load(c).job


@pytest.mark.parametrize("out", ["a.toml", "b.toml"])
def test_merge_never_writes_over_a_file(out: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    a, b = parted(tmp_path)
    before = a.read_bytes(), b.read_bytes()
    assert main(["merge", str(a), str(b), "-o", str(tmp_path / out), "--keep", "ours"]) == 2
    assert f"{out}: is there already" in capsys.readouterr().err
    assert (a.read_bytes(), b.read_bytes()) == before


def test_the_load_list_is_printed_or_written_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file, out = job_file(tmp_path, plain()), tmp_path / "load.csv"
    assert main(["load", str(file)]) == 0
    printed = capsys.readouterr().out
    assert printed.index("gate frame tube") < printed.index("round steel post") < printed.index("hog rings")
    assert main(["load", str(file), "-o", str(out)]) == 0
    assert capsys.readouterr().out.split() == [str(out), str(tmp_path / "load-offcuts.csv")]
    assert out.read_text(encoding="utf-8").startswith("\N{ZERO WIDTH NO-BREAK SPACE}job,rests_on,place,load_as,stock,what,")
    written = out.read_bytes()
    assert main(["load", str(file), "-o", str(out)]) == 2
    assert main(["load", str(file), "-o", str(file)]) == 2
    assert "is there already" in capsys.readouterr().err
    assert out.read_bytes() == written
    assert main(["load", str(file), "-o", str(out), "--replace"]) == 0
    assert main(["load", str(file), "-o", str(file), "--replace"]) == 2
