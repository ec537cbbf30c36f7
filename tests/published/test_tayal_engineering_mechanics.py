"""A. K. Tayal, Engineering Mechanics, examples 10.3, 10.4 and 10.5 (FOSSEE Python Textbook Companions repository).

The formulas take any consistent units; these are newtons and metres, g = 9.81.
"""

from math import atan2, degrees, sqrt

import pytest

from engine.calc.statics.cable_sag import parabola_length_ft, parabola_sag_ft, tension_from_sag_lbf

# On the calculation: 75 kg/m, 0.5 kg/m and 400 N greatest pull over 20 and 30 m are no cable of a job's stock.


@pytest.mark.published
def test_example_10_3_supports_at_different_levels() -> None:
    """75 kg/m over 20 m, lowest point 2 m under B and 8 m from it: the 16 m about it pull as a level span."""
    assert tension_from_sag_lbf(75 * 9.81, 16, 2) == pytest.approx(11772, abs=0.5)


@pytest.mark.closed_form
def test_example_10_4_slope_at_the_support() -> None:
    """0.5 kg/m over 30 m, sag 0.5 m; the printed slope is worked out here, from our pull."""
    horizontal = tension_from_sag_lbf(0.5 * 9.81, 30, 0.5)
    assert degrees(atan2(0.5 * 9.81 * 15, horizontal)) == pytest.approx(3.814075, abs=5e-7)


@pytest.mark.closed_form
def test_example_10_4_length() -> None:
    """The book's length 30.022222 m is its two-term series, too long by the third, 32 s^4/5L^3."""
    third_term = 32 * 0.5**4 / (5 * 30**3)
    assert parabola_length_ft(30, 0.5) == pytest.approx(30.022222 - third_term, abs=6e-7)


@pytest.mark.published
def test_example_10_5_sag_at_a_given_greatest_pull() -> None:
    """3 N/m over 30 m, greatest pull 400 N."""
    horizontal = sqrt(400**2 - 45**2)
    assert parabola_sag_ft(3, 30, horizontal) == pytest.approx(0.849141, abs=5e-7)
