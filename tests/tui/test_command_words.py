"""Words of the command line: named by help, told from a path, refused with how they are used."""

import re

import pytest

from tui.cli import WORDS, main
from tui.command_words import parsed


def test_help_names_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["--help"])
    assert left.value.code == 0
    said = capsys.readouterr().out
    assert [word for word in WORDS if f"    {word} " not in said] == []


def test_a_word_is_told_from_a_path(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        parsed(["nosuch"])
    assert tuple(re.findall(r"'?(\w+)'?", capsys.readouterr().err.partition("choose from")[2])) == WORDS


@pytest.mark.parametrize("words", [["--wrong"], ["plan"], ["check"], ["chek", "yard.toml"], ["new", "a.toml", "b.toml"]])
def test_a_wrong_word_ends_with_2_and_says_how(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(words)
    assert left.value.code == 2
    assert "usage: linewalk" in capsys.readouterr().err
