"""Lengths in metres: what is printed, what is read, that both are each other's, and that nothing is told coarser than in inches."""

from math import floor

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.length_words import (
    area_words,
    limit_words,
    place_figure,
    plain_length,
    range_words,
    round_length_words,
    said_in_units,
    tape_parts,
    tape_words,
)
from engine.calc.lengths import LengthError, format_ft, format_ft_in, format_in, parse_length_ft, understood
from engine.calc.metric_lengths import MM_PER_FT, step_mm
from engine.calc.phrases import figure, measured
from engine.calc.units import METRES, in_units

FEET = st.floats(-20_000, 20_000, allow_nan=False)


@pytest.mark.parametrize(
    ("length_m", "words"),
    [
        (7.25, "7.25 m"), (7.0, "7.00 m"), (7.253, "7.253 m"), (0.38, "38 cm"), (0.385, "38.5 cm"), (0.0042, "4 mm"), (0.0, "0 m"),
        (-1.5, "-1.50 m"), (-0.004, "-4 mm"), (0.99961, "1.00 m"), (1234.5, "1234.50 m"),
    ],
)  # fmt: skip
@pytest.mark.closed_form
def test_a_length_is_metres_from_one_metre_on_else_centimetres(length_m: float, words: str) -> None:
    with in_units(METRES):
        assert format_ft_in(length_m / 0.3048) == words


@pytest.mark.parametrize(
    ("length_cm", "words"),
    [
        (76.2, "76.2 cm"),
        (121.92, "121.9 cm"),
        (38, "38 cm"),
        (0.42, "4 mm"),
        (1.0, "10 mm"),
        (1.3, "13 mm"),
        (2, "2 cm"),
        (0, "0 cm"),
        (-2, "-2 cm"),
    ],
)
@pytest.mark.closed_form
def test_a_depth_is_centimetres_however_long(length_cm: float, words: str) -> None:
    with in_units(METRES):
        assert format_in(length_cm / 2.54) == words


@pytest.mark.parametrize(
    ("text", "place", "length_mm"),
    [
        ("7.25", "ft", 7250), ("7.25 m", "ft", 7250), ("38", "in", 380), ("38 cm", "ft", 380), ("4 mm", "in", 4), ("22' 4\"", "ft", 6807.2),
        ("22 1/2 in", "in", 571.5), ("-0.5", "ft", -500), ("2 ft", "in", 609.6),
    ],
)  # fmt: skip
@pytest.mark.closed_form
def test_a_bare_number_is_metres_or_centimetres_and_a_mark_is_heeded(text: str, place: str, length_mm: float) -> None:
    with in_units(METRES):
        assert parse_length_ft(text, "in" if place == "in" else "ft") * 304.8 == pytest.approx(length_mm)


@pytest.mark.parametrize("text", ["22 4", "22-4", "22 4 3/8", "7.5 3"])
def test_two_numbers_without_a_mark_are_refused_where_metres_are_in_force(text: str) -> None:
    with in_units(METRES), pytest.raises(LengthError, match=r"7\.25 m"):
        parse_length_ft(text)


def test_a_refusal_shows_a_length_in_metres() -> None:
    with in_units(METRES), pytest.raises(LengthError, match=r"write it like 7\.25 m, 38 cm or 380 mm\."):
        parse_length_ft("long")


@settings(max_examples=100)
@given(length_ft=FEET, denominator=st.sampled_from([1, 2, 4, 8, 16]))
def test_what_is_printed_reads_back_to_half_a_mark(length_ft: float, denominator: int) -> None:
    with in_units(METRES):
        back_ft = parse_length_ft(format_ft_in(length_ft, denominator))
        assert abs(back_ft - length_ft) * MM_PER_FT <= step_mm(denominator) / 2 + 1e-3
        assert format_ft_in(back_ft, denominator) == format_ft_in(length_ft, denominator)


@settings(max_examples=100)
@given(length_mm=st.integers(-6_000_000, 6_000_000))
def test_whole_millimetres_come_back_from_the_four_places_that_a_file_keeps(length_mm: int) -> None:
    """Typed, kept, shown, typed again: the same figure in the file, however often."""
    with in_units(METRES):
        kept_ft = round(parse_length_ft(f"{length_mm} mm"), 4)
        shown = format_ft_in(kept_ft)
        assert round(parse_length_ft(shown), 4) == kept_ft
        assert understood(parse_length_ft(shown)) == f"= {shown}"


@settings(max_examples=100)
@given(sixteenths=st.integers(0, 20_000), more=st.integers(1, 16))
def test_two_lengths_that_an_eighth_tells_apart_are_two_in_metres(sixteenths: int, more: int) -> None:
    one, other = sixteenths / 16 / 12, (sixteenths + more) / 16 / 12
    apart = floor(sixteenths / 2 + 0.5) != floor((sixteenths + more) / 2 + 0.5)
    assert (format_ft_in(one) != format_ft_in(other)) == apart
    with in_units(METRES):
        assert not apart or format_ft_in(one) != format_ft_in(other)


@pytest.mark.closed_form
def test_round_figures_limits_ranges_and_areas() -> None:
    with in_units(METRES):
        assert limit_words(25.0) == "7.62 m"
        assert round_length_words(1240.0) == "378.0 m"
        assert (measured(100.0, "ft"), figure(100.0, "ft"), measured(3, "posts")) == ("30.5 m", "30.5", "3 posts")
        assert plain_length(4.0) == "1.219 m"
        assert range_words(15.0, 30.0) == "38.1 to 76.2 cm"
        assert range_words(0.1, 30.0) == "3 mm to 76.2 cm"
        assert area_words(1076.391) == "100.0 sq m"
        assert (place_figure(-0.001), place_figure(10.0)) == ("0.00", "3.05")
        assert format_ft(26.2) == "7.99 m"
    assert (limit_words(25.0), limit_words(25.5), range_words(15.0, 30.0)) == ("25'", "25' 6\"", '15 to 30"')
    assert (round_length_words(1240.0), area_words(2400.4), measured(100.0, "ft")) == ("1,240 ft", "2,400 sq ft", "100 ft")


@pytest.mark.parametrize(
    ("feet", "metres"),
    [
        ("sleeves stand 20 to 25 ft apart", "sleeves stand 6.1 to 7.62 m apart"),
        ("a bare sag of 1/8 in.", "a bare sag of 3 mm."),
        ("6 to 12 in, flat on the ground", "15 to 30 cm, flat on the ground"),
        ("a step is about 2 1/2 ft; calibrate on a taped 100 ft", "a step is about 76 cm; calibrate on a taped 30.5 m"),
        ("on 4 and 5 ft fences", "on 1.22 and 1.52 m fences"),
        ("a traverse worse than 1 in 500", "a traverse worse than 1 in 500"),
        ("Feet east and north", "Metres east and north"),
        ("2 in and 3 ft", "5 cm and 91 cm"),
        ("a dog of 60 lb; 750 psf", "a dog of 27.2 kg; 35.9 kPa"),
        ("hang that weight (2 lb)", "hang that weight (1 kg)"),
        ("a few inches of tail", "a few centimetres of tail"),
        ("a brace foot and brace feet", "a brace foot and brace feet"),
    ],
)
def test_a_fixed_sentence_says_its_lengths_in_metres(feet: str, metres: str) -> None:
    assert said_in_units(feet) == feet
    with in_units(METRES):
        assert said_in_units(feet) == metres


def test_a_force_and_a_day_of_a_fixed_sentence_are_told_in_their_units() -> None:
    assert said_in_units("all of 50 lbf at 15°F, turned 45°") == "all of 50 lb at 15°, turned 45°"
    with in_units(METRES):
        assert said_in_units("all of 50 lbf at 15°F, turned 45°") == "all of 222 N at -9°C, turned 45°"


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("1,25", 1250), ("1,25 m", 1250), ("1,250", 1250), ("125 cm", 1250), ("12,5cm", 125), ("1.25 m", 1250), ("4' 1\"", 1244.6),
    ],
)  # fmt: skip
@pytest.mark.closed_form
def test_decimals_may_stand_behind_a_comma_in_metres(text: str, length_mm: float) -> None:
    with in_units(METRES):
        assert parse_length_ft(text) * 304.8 == pytest.approx(length_mm)


@pytest.mark.parametrize("text", ["1,25 ft", "1,2,3", ",5", "1,250 mm", "1,5'"])
def test_a_comma_is_refused_where_it_may_part_thousands_and_in_feet(text: str) -> None:
    with in_units(METRES), pytest.raises(LengthError, match="is not a length"):
        parse_length_ft(text)
    with pytest.raises(LengthError, match="is not a length"):
        parse_length_ft("1,25")


def test_a_tape_of_an_older_record_is_told_in_metres() -> None:
    assert tape_words("22' 4\" from A") == "22' 4\" from A"
    with in_units(METRES):
        assert [tape_words(one) for one in ("22' 4\" from A", "6.807 m from A", "", "unknown from A")] == [
            "6.807 m from A", "6.807 m from A", "", "unknown from A",
        ]  # fmt: skip
    assert [tape_parts(one) for one in ("22' 4 1/2\" from A", "10' 0\" from N from", "", "unknown from A", "22' 4\"")] == [
        (22.375, "A"), (10.0, "N from"), None, None, None,
    ]  # fmt: skip
