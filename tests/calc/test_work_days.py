"""Working days, against numpy's business days."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.limits import OutOfRange
from engine.calc.work_days import last_day

THURSDAY = date(2026, 12, 3)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("start", "days", "end"),
    [
        (THURSDAY, 0.0, date(2026, 12, 3)),
        (THURSDAY, 0.2, date(2026, 12, 3)),
        (THURSDAY, 1.0, date(2026, 12, 3)),
        (THURSDAY, 1.01, date(2026, 12, 4)),
        (THURSDAY, 3.0, date(2026, 12, 7)),
        (date(2026, 12, 5), 1.0, date(2026, 12, 7)),
        (date(2026, 12, 6), 5.0, date(2026, 12, 11)),
    ],
)
def test_a_begun_day_counts_and_weekends_do_not(start: date, days: float, end: date) -> None:
    assert last_day(start, days) == end


@pytest.mark.independent
@settings(max_examples=100, deadline=None)
@given(st.dates(date(2000, 1, 1), date(2100, 1, 1)), st.integers(1, 2600))
def test_whole_days_end_where_numpy_ends_them(start: date, days: int) -> None:
    assert last_day(start, float(days)) == np.busday_offset(start, days - 1, roll="forward").astype(date)


def test_no_number_of_days_ends_nowhere() -> None:
    for days in (-1.0, float("nan"), 2601.0):
        with pytest.raises(OutOfRange):
            last_day(THURSDAY, days)
