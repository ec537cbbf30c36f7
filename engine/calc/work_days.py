"""Working days: Monday to Friday. Holidays are nobody's here; who plans for one starts a day later."""

from datetime import date, timedelta
from math import ceil, isfinite

from engine.calc.limits import OutOfRange

MONDAY_TO_FRIDAY = 5
MOST_DAYS = 2_600.0
"""Ten years of working days; no fence takes longer, and dates end somewhere."""
SAME_DAY = 1e-9


def last_day(start: date, days: float) -> date:
    """The working day on which so many days of work end, when they start in the morning of a day, or of the first working day after it.

    start: the first day. days: working days, 0 or more; a begun day counts whole, none is the first day itself.
    Returns: a Monday to Friday.
    Raises: OutOfRange for no number of days, or more than ten years of them.
    Source: common practice, no source (a five day week).
    Valid for: days of equal length, no holidays.
    Example: 3 days from Thursday 3 December 2026: Monday 7 December.
    """
    if not isfinite(days) or not 0 <= days <= MOST_DAYS:
        raise OutOfRange("days", days, f"0 to {MOST_DAYS:g}", "no fence takes longer")
    more = max(ceil(days - SAME_DAY), 1) - 1
    first = start + timedelta(days=max(7 - start.weekday(), 0) if start.weekday() >= MONDAY_TO_FRIDAY else 0)
    weeks, rest = divmod(more, MONDAY_TO_FRIDAY)
    over = first.weekday() + rest >= MONDAY_TO_FRIDAY
    return first + timedelta(days=7 * weeks + rest + (2 if over else 0))
