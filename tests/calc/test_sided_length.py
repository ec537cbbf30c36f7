"""A length to a side reads back as offers and the log say it; what may be read two ways is refused."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.lengths import LengthError, parse_length_ft
from engine.calc.sided_length import ACROSS, ALONG, Sides, begun, signed
from engine.calc.units import in_units
from engine.job.model.words.log_sentences import move_words


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("text", "sides", "length_ft"),
    [
        ("1 left", ACROSS, -1.0),
        ("6 in to the Right", ACROSS, 0.5),
        ("4' on", ALONG, 4.0),
        ("2 6 back along the line", ALONG, -2.5),
        ("3 in left of it", ACROSS, -0.25),
        ("-1", ACROSS, -1.0),
        ("1 left", {"left": "", "right": "-"}, 1.0),
    ],
)
def test_a_side_behind_a_length_is_its_sign(text: str, sides: Sides, length_ft: float) -> None:
    assert parse_length_ft(signed(text, sides)) == length_ft


@pytest.mark.parametrize("text", ["-1 left", "\u22121 left", "left", "to the left", "1 back", "left 1", "1 left left", ""])
def test_a_minus_beside_a_side_no_length_and_the_other_boxs_words_are_refused(text: str) -> None:
    with pytest.raises(LengthError):
        parse_length_ft(signed(text, ACROSS))


@settings(max_examples=50)
@given(eighths=st.integers(-4000, 4000).filter(bool), metres=st.booleans())
def test_what_a_move_is_told_as_reads_back(eighths: int, metres: bool) -> None:
    moved_ft = eighths / 96
    with in_units("metres" if metres else "feet-inches"):
        for told, sides in ((move_words(moved_ft, 0.0), ALONG), (move_words(0.0, moved_ft), ACROSS)):
            assert parse_length_ft(signed(told, sides)) == pytest.approx(moved_ft, abs=0.009)


@pytest.mark.parametrize(
    ("text", "sides"),
    [
        ("-2' 6 1/8\"", ALONG),
        ("2 ft 6 in", ALONG),
        ("22 1/2 in", ACROSS),
        ("1 ft forward along the line", ALONG),
        ("6 in to the Left of it", ACROSS),
    ],
)
def test_a_length_is_begun_as_long_as_it_may_go_on_to_one(text: str, sides: Sides) -> None:
    """Letter by letter it can be read or is begun; what no letter more makes a length is neither."""
    for letters in range(1, len(text)):
        so_far = text[:letters].strip()
        try:
            parse_length_ft(signed(so_far, sides))
        except LengthError:
            assert begun(so_far, sides), so_far
    assert not any(begun(wrong, sides) for wrong in (text, "", f"{text}x", "abc", "left", "2x", "300 l u"))
