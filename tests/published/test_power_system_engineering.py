"""Chakrabarti, Soni et al., Power System Engineering, example 2.5.1. Kilograms-force and metres.

Example 5.9 of the same book isn't used: its printed answer isn't the root of its own equation.
"""

import pytest

from engine.calc.statics.cable_sag import parabola_length_ft, parabola_sag_ft

# On the calculation: no bay is 250 m long.

pytestmark = pytest.mark.published


def test_example_2_5_1_weight_of_the_conductor() -> None:
    """250 m, sag 2 m, pull 5758/2 kg: 184.29 kg of conductor."""
    weight = 184.29 / parabola_length_ft(250, 2)
    assert parabola_sag_ft(weight, 250, 5758 / 2) == pytest.approx(2, abs=0.0005)
