"""Pictures in plain characters where the terminal has no braille."""

import pytest

from tui.base.terminal import is_plain


@pytest.mark.parametrize(
    ("environment", "encoding", "plain"),
    [
        ({"TERM": "xterm-256color"}, "UTF-8", False),
        ({"TERM": "linux"}, "UTF-8", True),
        ({"TERM": "xterm"}, "ANSI_X3.4-1968", True),
        ({"TERM": "xterm-256color", "LINEWALK_PLAIN": "1"}, "UTF-8", True),
        ({}, "utf8", False),
    ],
)
def test_plain_where_there_is_no_braille(environment: dict[str, str], encoding: str, plain: bool) -> None:
    assert is_plain(environment, encoding) is plain
