"""A job from what was said on the phone, made by words of the command line."""

from pathlib import Path

import pytest

from engine.job.file.store import load
from tests.ahead.first_talks import PHONE as ROUGH
from tests.ahead.first_talks import taped
from tests.stages.yards import plain
from tests.tui.test_cli import job_file
from tui.cli import main

PHONE = ["--rough", "--length", "about 140 ft", "--ends", "house", "--corners", "1", "--gates", "5", "--height", "5 ft"]


def test_new_rough_makes_an_estimate(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "maple.toml"
    assert main(["new", str(file), *PHONE]) == 0
    made = load(file).job
    assert made.rough is not None
    assert (made.rough.length_ft, made.rough.gates_ft, made.fence.height_ft) == (140.0, (5.0,), 5.0)
    says = "ESTIMATE  140 ft (126 to 154) of fence, 5' 0\" high, both ends at the house, 1 corner, a 5 ft gate. Nothing is surveyed yet."
    assert capsys.readouterr().out.startswith(f"{says}\ntakes     7 to 8 posts, 4 braces, 3 cable loops, ")
    main(["check", str(file)])
    assert capsys.readouterr().out.startswith(says)


def test_check_tells_the_difference_in_one_line_once_a_line_is_surveyed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", str(job_file(tmp_path, taped(ROUGH, 152.0).model_copy(update={"rough": ROUGH})))])
    first, *others = capsys.readouterr().out.splitlines()
    assert first == "estimate 140 ft (126 to 154); surveyed 152' 0\", inside the spread; 1 post more"
    assert [line for line in others if "stimate" in line] == []


def test_layouts_side_by_side_say_that_they_stand_beside_an_estimate(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "maple.toml"
    main(["new", str(file), *PHONE])
    capsys.readouterr()
    assert main(["compare", str(file)]) == 0
    assert capsys.readouterr().out.startswith("ESTIMATE  140 ft (126 to 154) of fence, 5' 0\" high")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--rough"], "--rough: say at least a length, --length, or paces, --paces.\n"),
        (["--length", "14x"], "maple.toml wasn't made. --length: 14x is not a length: write it like 23' 4 1/2\", 22 1/2 in or 7 m.\n"),
        (["--corners", "-1"], "maple.toml wasn't made. --corners: -1 is out of range: it must be at least 0.\n"),
        (["--spread", "-3"], "maple.toml wasn't made. --spread: -3 is out of range: it must be over 0.\n"),
        (["--paces", "40", "--step-over", "9 yd", "--step-counts", "4"], "maple.toml wasn't made. --step-over: 9 yd is not a length"),
    ],
)
def test_new_rough_refuses_in_one_sentence(words: list[str], says: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "maple.toml"
    assert main(["new", str(file), *words]) == 2
    assert capsys.readouterr().err.startswith(says)
    assert not file.exists()


def test_new_rough_leaves_a_file_that_stands_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = job_file(tmp_path, plain())
    before = file.read_bytes()
    assert main(["new", str(file), *PHONE]) == 2
    assert "is there already and was left alone" in capsys.readouterr().err
    assert file.read_bytes() == before
