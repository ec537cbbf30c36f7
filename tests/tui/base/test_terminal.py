"""Pictures in plain characters where the terminal has no braille, and words in those that the output has."""

import os
import subprocess
import sys
from functools import cache

import pytest

from tests.demo import FOLDER
from tui.base.terminal import is_plain


@pytest.mark.parametrize(
    ("environment", "encoding", "platform", "plain"),
    [
        ({"WT_SESSION": "a-mark"}, "cp1252", "win32", False),
        ({}, "cp1252", "win32", True),
        ({"WT_SESSION": "a-mark", "LINEWALK_PLAIN": "1"}, "cp1252", "win32", True),
        ({"TERM": "xterm-256color"}, "UTF-8", "linux", False),
        ({"TERM": "linux"}, "UTF-8", "linux", True),
        ({"TERM": "xterm"}, "ANSI_X3.4-1968", "linux", True),
        ({"TERM": "xterm-256color", "LINEWALK_PLAIN": "1"}, "UTF-8", "linux", True),
        ({}, "utf8", "linux", False),
    ],
)
def test_plain_where_there_is_no_braille(environment: dict[str, str], encoding: str, platform: str, plain: bool) -> None:
    assert is_plain(environment, encoding, platform) is plain


JOB = str(FOLDER / "alder_row.toml")
WORDS = {"record": (JOB,), "check": (JOB,), "hours": (JOB, "--from", str(FOLDER)), "--help": ()}


@cache
def printed(word: str, encoding: str) -> "subprocess.CompletedProcess[bytes]":
    """What a command prints into a pipe of this encoding."""
    environment = {**os.environ, "PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"}
    return subprocess.run([sys.executable, "-m", "tui", word, *WORDS[word]], env=environment, capture_output=True, check=False)


@pytest.mark.parametrize("encoding", ["cp1252", "ascii", "cp437"])
@pytest.mark.parametrize("word", WORDS)
def test_what_the_output_has_no_place_for_is_printed_as_the_nearest(encoding: str, word: str) -> None:
    """As a pipe on Windows meets it; the last line is there."""
    said, whole = printed(word, encoding), printed(word, "utf-8")
    assert (said.returncode, said.stderr) == (whole.returncode, whole.stderr)
    assert said.stdout.decode(encoding).count("\n") == whole.stdout.decode("utf-8").count("\n") > 2
