"""University lecture slides "Taping Corrections" (slideplayer 13085605): a tape held along the slope."""

import pytest

from engine.calc.measuring.taping import slope_to_level_ft

pytestmark = pytest.mark.published


def test_slope_by_rise() -> None:
    """The slides take 1.14 ft off by the gentle slope rule; the exact correction agrees to the printed digits."""
    assert slope_to_level_ft(300.00, 26.15) == pytest.approx(298.86, abs=0.005)
