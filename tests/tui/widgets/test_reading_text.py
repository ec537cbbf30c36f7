"""Text to read is broken to its width between words, and no length is parted."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual.app import App, ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from tui.widgets.reading_text import ReadingText, broken


def lines(words: str, width: int) -> list[str]:
    return [line.plain for line in broken(Content(words), width)]


def test_a_length_in_feet_and_inches_stays_whole() -> None:
    assert lines('bays 106\' 2 1/8", uprights 5\' 11 1/2", tail 6"', 24) == ["bays 106' 2 1/8\",", "uprights 5' 11 1/2\",", 'tail 6"']
    assert lines("(17' 8 3/8\")", 4) == ["(17' 8 3/8\")"]


@given(st.lists(st.sampled_from(["P9", "30", "5'", '1/2"', "is", "lb,"]), max_size=12), st.integers(8, 30))
def test_nothing_is_lost_and_words_stay_in_order(words: list[str], width: int) -> None:
    assert " ".join(lines(" ".join(words), width)).split() == words


class TwoTexts(App[None]):
    """A text with a row under it, and one that nothing stands below."""

    def compose(self) -> ComposeResult:
        with VerticalScroll():
            yield ReadingText(id="first")
            yield Static("under it", id="under")
            yield ReadingText(id="last")


def shown(text: ReadingText) -> list[str]:
    """Its lines as they are drawn, blank ones at its end left out."""
    return "\n".join("".join(part.text for part in text.render_line(y)).rstrip() for y in range(text.size.height)).rstrip().split("\n")


async def test_what_is_told_moves_what_stands_below_it_and_nothing_of_before_is_left() -> None:
    app = TwoTexts()
    async with app.run_test(size=(40, 12)) as pilot:
        first, under, last = app.query_one("#first", ReadingText), app.query_one("#under"), app.query_one("#last", ReadingText)
        seen = []
        for says in ("one", "one\ntwo\nthree", "other\nwords", ""):
            first.tell(Content(says))
            last.tell(Content(says), last=True)
            await pilot.pause()
            seen.append((first.size.height, under.region.y, shown(first), shown(last)))
    told = [["one"], ["one", "two", "three"], ["other", "words"], [""]]
    assert seen == [(high, high, words, words) for high, words in zip((1, 3, 2, 0), told, strict=True)]


async def test_the_screen_is_laid_out_anew_where_the_words_want_other_room_and_for_the_last_only_where_they_want_more(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    app, asked = TwoTexts(), list[bool]()
    async with app.run_test(size=(40, 12)) as pilot:
        for name, is_last in (("#first", False), ("#last", True)):
            text = app.query_one(name, ReadingText)
            text.tell(Content("one\ntwo"), last=is_last)
            await pilot.pause()
            with monkeypatch.context() as patch:
                patch.setattr(text, "refresh", lambda *, layout: asked.append(layout))
                for says in ("six\nten", "six", "one\ntwo\nthree"):
                    text.tell(Content(says), last=is_last)
    assert asked == [False, True, True, False, False, True]


async def test_a_word_longer_than_a_line_is_not_cut() -> None:
    app = TwoTexts()
    async with app.run_test(size=(20, 12)) as pilot:
        last = app.query_one("#last", ReadingText)
        last.tell(Content(f"photo {'x' * 45}.jpg stands"), last=True)
        await pilot.pause()
        words = "".join(line.strip() for line in shown(last))
    assert words == f"photo{'x' * 45}.jpgstands"
