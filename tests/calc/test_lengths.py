"""Lengths: every notation a crew writes, every refusal in one sentence, and nothing lost on the way through print."""

import math
from typing import Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.lengths import LengthError, format_ft, format_ft_in, format_in, parse_length_ft, understood

LENGTHS_FT = st.floats(-52_000, 52_000)
DENOMINATORS = st.sampled_from([1, 2, 4, 8, 16, 32, 64])


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("text", "length_ft"),
    [
        ("23' 4 1/2\"", 23 + 4.5 / 12),
        ("5'2\"", 5 + 2 / 12),
        ("5'-2\"", 5 + 2 / 12),
        ("3' 6", 3.5),
        ("3'", 3.0),
        ("1' 1/2\"", 1 + 0.5 / 12),
        ("22 1/2", 22.5),
        ("3/4", 0.75),
        (".5", 0.5),
        ("26", 26.0),
        ("7.5 ft", 7.5),
        ("5 1/2 ft", 5.5),
        ("4 in", 4 / 12),
        ('4 1/2"', 4.5 / 12),
        ("5ft 2in", 5 + 2 / 12),
        ("5 feet 2 inches", 5 + 2 / 12),
        ("1 FT.", 1.0),
        ("7 m", 7 / 0.3048),
        ("35 cm", 0.35 / 0.3048),
        ("350mm", 0.35 / 0.3048),
        ("-1' 3\"", -1.25),
        ("- 3 in", -0.25),
        ("−2 ft", -2.0),
        ("  5 ft \t", 5.0),
        ("23′ 4½″", 23 + 4.5 / 12),
        ("23’ 4 1/2”", 23 + 4.5 / 12),
        ("2' 3''", 2.25),
        ("¾", 0.75),
        ("22⅛ in", 22.125 / 12),
        ("1⁄4 in", 0.25 / 12),
        ("5\u00a0ft\u00a02\u00a0in", 5 + 2 / 12),
        ("52800", 52_800.0),
        ("22 4 3/8", 22 + 4.375 / 12),
        ("22-4-3/8", 22 + 4.375 / 12),
        ("22 4-3/8", 22 + 4.375 / 12),
        ("22-4 3/8", 22 + 4.375 / 12),
        ("22 - 4 - 3/8", 22 + 4.375 / 12),
        ("22' - 4-3/8\"", 22 + 4.375 / 12),
        ("22'-4 3/8\"", 22 + 4.375 / 12),
        ('22 4 3/8"', 22 + 4.375 / 12),
        ("22 4⅜", 22 + 4.375 / 12),
        ("22.36", 22.36),
        ("268 3/8 in", 268.375 / 12),
        ("268-3/8 in", 268.375 / 12),
        ('4-1/2"', 4.5 / 12),
        ("22 4", 22 + 4 / 12),
        ("22-4", 22 + 4 / 12),
        ("3 6", 3.5),
        ("22 0 1/2", 22 + 0.5 / 12),
        ("22 4.5", 22.375),
        ("-22-4-3/8", -22 - 4.375 / 12),
    ],
)
def test_reads_trade_notation(text: str, length_ft: float) -> None:
    assert parse_length_ft(text) == pytest.approx(length_ft, rel=1e-15)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("text", "length_ft"),
    [
        ("22 1/2", 22.5 / 12), ("22-1/2", 22.5 / 12), ("3/8", 0.375 / 12), ("2 ft", 2.0), ("12 cm", 0.12 / 0.3048),
        ("22 4 3/8", 22 + 4.375 / 12), ("22 4", 22 + 4 / 12),
    ],
)  # fmt: skip
def test_a_bare_number_takes_the_unit_of_its_place(text: str, length_ft: float) -> None:
    assert parse_length_ft(text, bare="in") == pytest.approx(length_ft, rel=1e-15)


@pytest.mark.parametrize(
    "text",
    [
        "nan",
        "inf",
        "-inf",
        "1e3",
        "22 4 ft",
        "22 4 m",
        "22--4",
        "22 4 3/8 1/2",
        "22 3/8 4",
        "22-4-3",
        "22 4 3",
        "ft",
        "--5",
        "+5",
        "5 ft 2 ft",
        "5 in 2 ft",
        "1,200",
        "7,5 m",
        "1/2/3",
        "5 yd",
        "٣ ft",
        "²",
        "5' -2\"",
    ],
)
def test_refuses_what_is_no_length(text: str) -> None:
    with pytest.raises(LengthError, match=r"is not a length: write it like 23' 4 1/2\", 22 1/2 in or 7 m\.$"):
        parse_length_ft(text)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "No length was written: write one like 23' 4 1/2\"."),
        (" \t", "No length was written: write one like 23' 4 1/2\"."),
        ("5' 14\"", "5' 14\" has 12 inches or more after the feet: carry them over, like 6' 2\" for 5' 14\"."),
        ("5' 12", "5' 12 has 12 inches or more after the feet: carry them over, like 6' 2\" for 5' 14\"."),
        ("5.5' 2\"", "5.5' 2\" has part of a foot and inches too: write whole feet first, like 23' 4 1/2\"."),
        ("22-1/2", "22-1/2 may be 22 1/2 ft or 22' 0 1/2\": write it as one of them."),
        ("22 36", "22 36 has 12 inches or more after the feet: carry them over, like 6' 2\" for 5' 14\"."),
        ("22.5 4", "22.5 4 has part of a foot and inches too: write whole feet first, like 23' 4 1/2\"."),
        ("1/0", "1/0 divides by zero: write a fraction like 1/2."),
        ("22 5/4", "22 5/4 has a fraction of 1 or more after a whole number: write it like 22 1/2."),
        ("52801", "52801 is over 10 miles: write a length on the site, like 23' 4 1/2\"."),
        ("-99999 m", "-99999 m is over 10 miles: write a length on the site, like 23' 4 1/2\"."),
    ],
)
def test_says_what_is_wrong_and_shows_an_example(text: str, sentence: str) -> None:
    with pytest.raises(LengthError) as refusal:
        parse_length_ft(text)
    assert str(refusal.value) == sentence


def test_a_refusal_shows_no_control_characters_and_not_a_whole_book() -> None:
    with pytest.raises(LengthError) as refusal:
        parse_length_ft("\x1b[31m" + "9" * 100_000)
    message = str(refusal.value)
    assert message.isprintable()
    assert len(message) < 200


def test_a_book_of_digits_is_refused_at_once() -> None:
    """In a file of 2 MB one value may be as long: sought by the patterns it would take days."""
    for text in ("9" * 1_900_000, "9 " * 900_000, "9/" * 900_000):
        with pytest.raises(LengthError):
            parse_length_ft(text)


@settings(max_examples=100)
@given(st.text(max_size=20))
def test_any_text_gives_a_finite_length_or_a_refusal(text: str) -> None:
    outcome: float | str
    try:
        outcome = parse_length_ft(text)
    except LengthError as refusal:
        outcome = str(refusal)
    assert outcome.isprintable() if isinstance(outcome, str) else abs(outcome) <= 52_800


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("length_ft", "text"),
    [
        (26 + 2 / 12, "26' 2\""),
        (23.375, "23' 4 1/2\""),
        (4.5 / 12, '4 1/2"'),
        (0.0, '0"'),
        (-0.0, '0"'),
        (-0.001, '0"'),
        (-1.25, "-1' 3\""),
        (-0.5 / 12, '-1/2"'),
        (3.0, "3' 0\""),
        (3 + 0.5 / 12, "3' 0 1/2\""),
        (5 + 11.9375 / 12, "6' 0\""),
        (11.97 / 12, "1' 0\""),
        (2 + 6.25 / 12, "2' 6 1/4\""),
        (2 + 6.0625 / 12, "2' 6 1/8\""),
    ],
)
def test_prints_tape_notation(length_ft: float, text: str) -> None:
    assert format_ft_in(length_ft) == text


@pytest.mark.closed_form
@pytest.mark.parametrize(("denominator", "text"), [(1, "5' 3\""), (2, "5' 3 1/2\""), (4, "5' 3 1/4\""), (16, "5' 3 5/16\"")])
def test_prints_to_the_marks_asked_for(denominator: int, text: str) -> None:
    assert format_ft_in(5 + 3.3 / 12, denominator) == text


@pytest.mark.closed_form
@pytest.mark.parametrize(("length_in", "text"), [(22.5, '22 1/2"'), (0.0, '0"'), (-0.75, '-3/4"'), (62.0, '62"'), (11.99, '12"')])
def test_prints_inches(length_in: float, text: str) -> None:
    assert format_in(length_in) == text


@pytest.mark.closed_form
def test_prints_decimal_feet() -> None:
    assert format_ft(26.16667) == "26.2 ft"
    assert format_ft(-0.04) == "0.0 ft"
    assert format_ft(-1.25) == "-1.2 ft"


@pytest.mark.parametrize("length", [math.nan, math.inf, -math.inf])
def test_never_prints_what_is_not_a_number(length: float) -> None:
    for printer in (format_ft_in, format_in, format_ft):
        with pytest.raises(LengthError, match="finite"):
            printer(length)


def test_refuses_marks_that_no_tape_has() -> None:
    with pytest.raises(LengthError, match="1/10 inch"):
        format_ft_in(5, 10)


@settings(max_examples=100)
@given(LENGTHS_FT, DENOMINATORS)
def test_print_then_read_is_within_half_a_mark(length_ft: float, denominator: int) -> None:
    half_mark_ft = 0.5 / denominator / 12
    assert abs(parse_length_ft(format_ft_in(length_ft, denominator)) - length_ft) <= half_mark_ft + 1e-9
    assert abs(parse_length_ft(format_in(length_ft * 12, denominator)) - length_ft) <= half_mark_ft + 1e-9


@settings(max_examples=100)
@given(LENGTHS_FT, DENOMINATORS)
def test_print_read_print_changes_nothing(length_ft: float, denominator: int) -> None:
    once = format_ft_in(length_ft, denominator)
    assert format_ft_in(parse_length_ft(once), denominator) == once


@settings(max_examples=100)
@given(LENGTHS_FT)
def test_decimal_feet_read_back(length_ft: float) -> None:
    assert abs(parse_length_ft(format_ft(length_ft)) - length_ft) <= 0.05 + 1e-9


@settings(max_examples=100)
@given(LENGTHS_FT)
def test_a_turned_sign_turns_only_the_sign(length_ft: float) -> None:
    assert format_ft_in(-abs(length_ft)).removeprefix("-") == format_ft_in(abs(length_ft))


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("text", "unit", "shown"),
    [
        ("22 4 3/8", "ft", "= 22' 4 3/8\""),
        ("22.36", "ft", "about 22' 4 5/16\""),
        ("268 3/8 in", "ft", "= 22' 4 3/8\""),
        ("268-3/8", "in", '= 268 3/8"'),
        ("7 m", "ft", "about 22' 11 9/16\""),
        ("5 1/64", "in", '= 5 1/64"'),
        ("-1/2", "in", '= -1/2"'),
    ],
)
def test_a_length_is_shown_back_as_it_was_understood(text: str, unit: Literal["ft", "in"], shown: str) -> None:
    assert understood(parse_length_ft(text, unit), unit) == shown


@settings(max_examples=100)
@given(st.integers(0, 52_000), st.integers(0, 11), st.integers(1, 63), st.sampled_from(["' ", "-", " "]), st.sampled_from(["-", " "]))
def test_what_is_shown_back_of_feet_inches_and_a_fraction_reads_to_the_same(
    feet: int, inches: int, over_64: int, after_feet: str, after_inches: str
) -> None:
    length_ft = parse_length_ft(f"{feet}{after_feet}{inches}{after_inches}{over_64}/64")
    assert length_ft == pytest.approx(feet + inches / 12 + over_64 / 768, abs=1e-9)
    sign, _, shown = understood(length_ft).partition(" ")
    assert sign == "="
    assert parse_length_ft(shown) == pytest.approx(length_ft, abs=1e-9)


@settings(max_examples=100)
@given(LENGTHS_FT, st.sampled_from(["ft", "in"]))
def test_what_is_shown_back_of_any_length_reads_to_it(length_ft: float, unit: Literal["ft", "in"]) -> None:
    sign, _, shown = understood(length_ft, unit).partition(" ")
    assert abs(parse_length_ft(shown) - length_ft) * 12 <= (1e-5 if sign == "=" else 1 / 32 + 1e-9)
