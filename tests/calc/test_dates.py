"""Dates: what a crew writes, the year it leaves out, and every refusal in one sentence."""

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.dates import DateError, format_date, parse_date

JUNE = date(2026, 6, 1)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("11/24", date(2026, 11, 24)),
        (" 11/24 ", date(2026, 11, 24)),
        ("11-24", date(2026, 11, 24)),
        ("11/24/2026", date(2026, 11, 24)),
        ("11-24-2026", date(2026, 11, 24)),
        ("11/24/27", date(2027, 11, 24)),
        ("2026-11-24", date(2026, 11, 24)),
        ("1/5/2031", date(2031, 1, 5)),
        ("2/29", date(2028, 2, 29)),
    ],
)
def test_reads_what_a_crew_writes(text: str, day: date) -> None:
    assert parse_date(text, JUNE) == day


@pytest.mark.parametrize(
    ("written_on", "text", "day"),
    [
        (date(2026, 12, 20), "1/4", date(2027, 1, 4)),
        (date(2027, 1, 4), "12/20", date(2026, 12, 20)),
        (date(2026, 11, 24), "11/24", date(2026, 11, 24)),
        (date(2026, 7, 2), "1/1", date(2026, 1, 1)),
        (date(2026, 7, 3), "1/1", date(2027, 1, 1)),
    ],
)
def test_a_day_without_its_year_is_the_nearest_one(written_on: date, text: str, day: date) -> None:
    assert parse_date(text, written_on) == day


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("24/11", "24/11 is not a date, there is no month 24; the month comes first: write it like 11/24/2026 or 2026-11-24."),
        ("2/30", "2/30 is not a date, there is no such day: write it like 11/24/2026 or 2026-11-24."),
        ("2/29/2026", "2/29/2026 is not a date, there is no such day: write it like 11/24/2026 or 2026-11-24."),
        ("", "Nothing is not a date: write it like 11/24, 11/24/2026 or 2026-11-24."),
        ("soon", "soon is not a date: write it like 11/24, 11/24/2026 or 2026-11-24."),
    ],
)
def test_says_what_is_wrong(text: str, sentence: str) -> None:
    with pytest.raises(DateError) as refusal:
        parse_date(text, JUNE)
    assert str(refusal.value) == sentence


def test_where_nobody_knows_the_day_a_year_is_wanted() -> None:
    with pytest.raises(DateError, match=r"^11/24 has no year: write it like 11/24/2026\.$"):
        parse_date("11/24")


@settings(max_examples=100)
@given(st.dates())
def test_a_day_reads_back_as_it_is_written(day: date) -> None:
    assert parse_date(format_date(day)) == day
    assert parse_date(day.isoformat()) == day
