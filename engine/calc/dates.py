"""Dates as people write them: month first, or year first with hyphens."""

from __future__ import annotations

import re
from datetime import date

_MONTH_FIRST = re.compile(r"([0-9]{1,2})[/-]([0-9]{1,2})(?:[/-]([0-9]{4}|[0-9]{2}))?")
_YEAR_FIRST = re.compile(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})")
_MONTHS = 12
_LIKE = "11/24, 11/24/2026 or 2026-11-24"
_LIKE_WITH_YEAR = "11/24/2026 or 2026-11-24"
_LONGEST_TEXT = 40


class DateError(ValueError):
    """A date that can't be read; the message is one sentence for the crew."""


def parse_date(text: str, near: date | None = None) -> date:
    """A day from `11/24/2026`, `11/24/26`, `2026-11-24`, or `11/24` in the year that brings it nearest to `near`.

    The month comes first, hyphens or slashes between; two figures of a year are of this century. Of two days equally near
    the later one is meant.

    text: what was written. near: the day it was written on; None where a date needs its year.
    Returns the day.
    Raises DateError for anything else.
    Source: common practice, no source (month first, as dates are written in the United States).
    Valid for: years 1 to 9999.

    >>> parse_date("11/24", date(2026, 6, 1))
    datetime.date(2026, 11, 24)
    """
    plain = " ".join(text.split())
    year_first, month_first = _YEAR_FIRST.fullmatch(plain), _MONTH_FIRST.fullmatch(plain)
    if year_first:
        year, month, day = (int(part) for part in year_first.groups())
        return _day(year, month, day, plain)
    if not month_first:
        shown = "".join(character if character.isprintable() else "?" for character in plain[:_LONGEST_TEXT])
        raise DateError(f"{shown or 'Nothing'} is not a date: write it like {_LIKE if near else _LIKE_WITH_YEAR}.")
    month, day, written = int(month_first[1]), int(month_first[2]), month_first[3]
    if written:
        return _day(int(written) + (2000 if len(written) == 2 else 0), month, day, plain)
    if near is None:
        raise DateError(f"{plain} has no year: write it like 11/24/2026.")
    days = [found for year in range(near.year - 4, near.year + 5) if (found := _in_year(year, month, day))]
    return min(days, key=lambda found: (abs(found - near), near - found)) if days else _day(near.year, month, day, plain)


def format_date(day: date) -> str:
    """A day as a crew writes it, such as `11/24/2026`.

    day: any day.
    Returns text that `parse_date` reads back.
    Source: common practice, no source (month first).
    Valid for: any day.
    """
    return f"{day.month}/{day.day}/{day.year:04d}"


def _in_year(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _day(year: int, month: int, day: int, text: str) -> date:
    found = _in_year(year, month, day)
    if found is None:
        says = f"there is no month {month}; the month comes first" if month > _MONTHS else "there is no such day"
        raise DateError(f"{text} is not a date, {says}: write it like {_LIKE_WITH_YEAR}.")
    return found
