"""Article on line sag, mosg-portal 7917037. Kilograms-force and metres."""

import pytest

from engine.calc.statics.cable_sag import parabola_sag_ft, tension_from_sag_lbf

# On the calculation: no bay is 500 m long, and no cable is pulled to 10,000 kg.

pytestmark = pytest.mark.published


def test_sag_of_a_long_span() -> None:
    """1 kg/m, 500 m, 10,000 kg: 3.125 m."""
    assert parabola_sag_ft(1, 500, 10_000) == pytest.approx(3.125, abs=0.0005)
    assert tension_from_sag_lbf(1, 500, 3.125) == pytest.approx(10_000, abs=0.5)
