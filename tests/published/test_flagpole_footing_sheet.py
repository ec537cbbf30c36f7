"""Footing sheet for a flagpole to IBC 2018, Scribd 560795266: held at the ground, bearing doubled.

30,000 lb at 3 ft, 4.5 ft wide, 350 psf per ft.
"""

import pytest

from engine.calc.statics.embedment import pole_a_ft

# On the calculation: the term A is a step on the way to a depth, and no fence pulls by 30,000 lb.

pytestmark = pytest.mark.published

KPA_PER_PSF = 0.0478802589803


def test_term_a() -> None:
    """Published: 13.501, from a pressure printed to four digits."""
    assert pole_a_ft(30_000, 55.32 / KPA_PER_PSF, 4.5) == pytest.approx(13.501, abs=0.0015)
