"""Swapped figures: every neighbouring pair, in decimals and in feet and inches."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.limits import OutOfRange
from engine.calc.measuring.misread import swapped_figures


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("reading", "swapped"),
    [
        (57.4, (75.4, 54.7)),
        (41.36, (14.36, 43.16, 41.63)),
        (33.0, ()),
        (23.375, (32.375,)),
        (7.0, ()),
        (0.0, ()),
    ],
)
def test_every_neighbouring_pair(reading: float, swapped: tuple[float, ...]) -> None:
    assert swapped_figures(reading) == swapped


@given(st.text("123456789", min_size=2, max_size=6).map(lambda figures: int(figures) / 100))
@settings(max_examples=100)
def test_swapping_back_gives_the_reading(reading: float) -> None:
    assert all(reading in swapped_figures(turned) for turned in swapped_figures(reading))


def test_refuses_what_nobody_reads() -> None:
    with pytest.raises(OutOfRange):
        swapped_figures(-1.0)
