"""A file that was changed after it was signed says so in every word of the command line that prints from it."""

from pathlib import Path

import pytest

from tests.demo import FOLDER
from tui.cli import main


@pytest.fixture
def changed(tmp_path: Path) -> Path:
    text = (FOLDER / "alder_row.toml").read_text(encoding="utf-8")
    file = tmp_path / "signed.toml"
    file.write_text(text.replace("reading_in = 30", "reading_in = 29", 1), encoding="utf-8")
    return file


@pytest.mark.parametrize("words", [["check"], ["record"], ["load"]])
def test_what_is_printed_says_that_the_file_was_changed(words: list[str], changed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*words, str(changed)]) == 0
    assert "changed" in capsys.readouterr().out


def test_what_this_version_sees_otherwise_is_told_of_a_signed_job(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(FOLDER / "alder_row.toml")]) == 0
    assert capsys.readouterr().out.splitlines()[-1] == (
        "This version finds 2 things to stop for or to fix and asks 9 items that had no part in the sign-off; "
        "the record holds what was signed."
    )


def test_what_it_sees_in_a_file_that_was_changed_since_is_told_of_that_file(changed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(changed)]) == 0
    assert capsys.readouterr().out.splitlines()[-1] == (
        "By the file as it was changed, this version finds 2 things to stop for or to fix and asks 9 items that had not been left open at "
        "sign-off."
    )


def test_nothing_of_the_kind_is_told_of_an_open_one(capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", str(FOLDER / "willow_bend.toml")])
    assert "sign-off" not in capsys.readouterr().out.splitlines()[-1]


def test_a_load_list_that_is_written_has_it_said_beside(changed: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["load", str(changed), "-o", str(tmp_path / "load.csv")]) == 0
    assert "changed afterwards" in capsys.readouterr().err
