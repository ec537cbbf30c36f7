"""A length typed in trade notation, judged at every key."""

import pytest

from engine.checklist import WantedReading
from tui.sheet.reading_judged import judge, wanted_words

DEPTH = WantedReading("in", wanted=24, low=20, high=26)


@pytest.mark.parametrize(
    ("text", "value", "ok", "understood", "verdict"),
    [
        ("22 1/2", 22.5, True, '= 22 1/2"', "✓ Passes."),
        ("1' 10 1/2\"", 22.5, True, '= 22 1/2"', "✓ Passes."),
        ("20", 20, True, '= 20"', "✓ Passes."),
        ("17 3/4", 17.75, False, '= 17 3/4"', 'X Out of range: 2 1/4" under 20".'),
        ("27 1/16", 27.0625, False, '= 27 1/16"', 'X Out of range: 1 1/16" over 26".'),
        ("  ", None, False, "", ""),
    ],
)
def test_an_inch_reading_is_judged(text: str, value: float | None, ok: bool, understood: str, verdict: str) -> None:
    judged = judge(text, DEPTH)
    assert judged.value == (None if value is None else pytest.approx(value))
    assert (judged.ok, judged.understood, judged.verdict) == (ok, understood, verdict)


def test_feet_are_the_bare_unit_where_feet_are_asked() -> None:
    assert judge("23.5", WantedReading("ft", high=25)).understood == "= 23' 6\""
    assert judge("26' 2\"", WantedReading("ft", high=25)).verdict == "X Out of range: 1' 2\" over 25' 0\"."


def test_a_length_with_no_range_is_read_not_passed() -> None:
    assert judge("5", WantedReading("ft")).verdict == "✓ Read."


def test_what_cannot_be_read_says_why() -> None:
    judged = judge("two feet", DEPTH)
    assert (judged.value, judged.ok) == (None, False)
    assert judged.verdict.startswith("! ")
    assert "two feet" in judged.verdict


@pytest.mark.parametrize(
    ("asks", "words"),
    [
        (DEPTH, 'Wanted 24", 20" to 26".'),
        (WantedReading("in", low=2), 'Wanted at least 2".'),
        (WantedReading("ft", wanted=5.0), "Wanted 5' 0\"."),
        (WantedReading("ft"), ""),
        (WantedReading("ft", 37.0, 25.0, 25.0), "Wanted 37' 0\", over the limit of 25' 0\"."),
    ],
)
def test_what_is_wanted_is_said_in_words(asks: WantedReading, words: str) -> None:
    assert wanted_words(asks) == words
