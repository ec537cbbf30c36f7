"""Chakrabarti, Soni et al., Power System Engineering, examples 2.5.1 and 2.5.2. Kilograms-force and metres.

Example 5.9 of the same book isn't used: its printed answer isn't the root of its own equation.
"""

from math import hypot, pi

import pytest

from engine.calc.statics.cable_sag import low_point_ft, parabola_length_ft, parabola_sag_ft

pytestmark = pytest.mark.published


def test_example_2_5_1_weight_of_the_conductor() -> None:
    """250 m, sag 2 m, pull 5758/2 kg: 184.29 kg of conductor."""
    weight = 184.29 / parabola_length_ft(250, 2)
    assert parabola_sag_ft(weight, 250, 5758 / 2) == pytest.approx(2, abs=0.0005)


def test_example_2_5_2_low_point() -> None:
    """2.5 kg/m and 1.2 kg/m of wind, pi cm^2 at 4300/3 kg/cm^2, 250 m, supports 10 m apart in level: 60.05 m."""
    assert low_point_ft(250, 10, hypot(2.5, 1.2), pi * 4300 / 3) == pytest.approx(60.05, abs=0.005)
