"""Calculation sheet for a freestanding wall or sign to ASCE 7-05, Scribd 828657211.

Exposure C, 90 mph, importance 1.0, flat ground, 35 ft: 17.80 psf, with Kh written as 1.01.
"""

import pytest

from engine.calc.statics.wind import kz, velocity_pressure_psf

# On the calculation: no fence is 35 ft high, and the pressure by itself stands in no sheet.

pytestmark = pytest.mark.published


def test_pressure_at_the_top() -> None:
    assert velocity_pressure_psf(90, 1.01) == pytest.approx(17.80, abs=0.005)


def test_pressure_without_the_rounding_of_kh() -> None:
    """Kh carried through gives 17.88: within the 0.6 % that the sheet's rounding makes."""
    assert kz(35, "C") == pytest.approx(1.01, abs=0.005)
    assert velocity_pressure_psf(90, kz(35, "C")) == pytest.approx(17.80, rel=0.006)
