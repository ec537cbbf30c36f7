"""A file that was changed after it was signed says so in every word of the command line that prints from it."""

from pathlib import Path

import pytest

from engine.job.file.store import load
from tests.demo import FOLDER
from tests.tui.driving import keys, until, until_shown
from tui.app import LinewalkApp
from tui.cli import main


@pytest.fixture
def changed(tmp_path: Path) -> Path:
    text = (FOLDER / "alder_row.toml").read_text(encoding="utf-8")
    file = tmp_path / "signed.toml"
    file.write_text(text.replace("reading_in = 30", "reading_in = 29", 1), encoding="utf-8")
    return file


@pytest.mark.parametrize("words", ["check", "record", "load", "plan", "compare", "hours --from DONE"])
def test_what_is_printed_says_that_the_file_was_changed(words: str, changed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (changed.parent / "done").mkdir()
    word, *more = words.replace("DONE", str(changed.parent / "done")).split()
    assert main([word, str(changed), *more]) == 0
    assert "The version that was signed isn't kept on this machine." in " ".join(capsys.readouterr().out.split())


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
    for name in ("load.csv", "load-offcuts.csv"):
        assert "Signed off, but the file isn't what was signed: it was changed afterwards." in (tmp_path / name).read_text().splitlines()[1]


async def test_a_load_list_written_from_the_screen_says_it_too(changed: Path) -> None:
    app = LinewalkApp(loaded=load(changed), by="Mo")
    async with app.run_test(size=(80, 24)) as pilot:
        await until_shown(pilot, "isn't what was signed any more")
        await keys(pilot, "t", "c")
        written = changed.with_name("signed-load.csv")
        await until(pilot, written.exists)
    assert "Signed off, but the file isn't what was signed: it was changed afterwards." in written.read_text().splitlines()[1]
