"""Text to read is broken to its width between words, and no length is parted."""

from hypothesis import given
from hypothesis import strategies as st
from textual.content import Content

from tui.widgets.reading_text import broken


def lines(words: str, width: int) -> list[str]:
    return [line.plain for line in broken(Content(words), width)]


def test_a_length_in_feet_and_inches_stays_whole() -> None:
    assert lines('bays 106\' 2 1/8", uprights 5\' 11 1/2", tail 6"', 24) == ["bays 106' 2 1/8\",", "uprights 5' 11 1/2\",", 'tail 6"']
    assert lines("(17' 8 3/8\")", 4) == ["(17' 8 3/8\")"]


@given(st.lists(st.sampled_from(["P9", "30", "5'", '1/2"', "is", "lb,"]), max_size=12), st.integers(8, 30))
def test_nothing_is_lost_and_words_stay_in_order(words: list[str], width: int) -> None:
    assert " ".join(lines(" ".join(words), width)).split() == words
