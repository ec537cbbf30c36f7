"""NIST Special Publication 811 (2008), appendix B.8: foot 3.048 E-01 m, inch 2.54 E-02 m, square foot 9.290 304 E-02 m2."""

import pytest

from engine.calc.length_words import area_words
from engine.calc.lengths import format_ft_in, format_in, parse_length_ft
from engine.calc.metric_lengths import MM_PER_FT, MM_PER_IN
from engine.calc.units import METRES, in_units


@pytest.mark.published
def test_foot_and_inch_are_what_the_table_says() -> None:
    assert (MM_PER_FT, MM_PER_IN) == (0.3048 * 1000, 0.0254 * 1000)
    assert parse_length_ft("0.3048 m") == pytest.approx(1.0, rel=1e-15)
    assert parse_length_ft("2.54 cm") * 12 == pytest.approx(1.0, rel=1e-15)


@pytest.mark.published
def test_lengths_and_areas_are_printed_by_them() -> None:
    with in_units(METRES):
        assert format_ft_in(10_000.0) == "3048.00 m"
        assert format_in(1_000.0) == "2540 cm"
        assert area_words(10_000.0) == "929.0 sq m"
