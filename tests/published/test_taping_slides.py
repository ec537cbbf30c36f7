"""University lecture slides "Taping Corrections" (slideplayer 13085605).

The slides' "normal tension" example is left out: its printed 31 lb doesn't follow from its own equation.
"""

import pytest

from engine.calc.measuring.taping import (
    pull_correction_ft,
    sag_correction_ft,
    slope_angle_to_level_ft,
    slope_to_level_ft,
    tape_length_corrected_ft,
    temperature_correction_ft,
)

pytestmark = pytest.mark.published

TAPE_LBF_PER_FT = 2.8 / 100


def sag_ft(spans_ft: list[float], pull_lbf: float) -> float:
    return sum(sag_correction_ft(TAPE_LBF_PER_FT, span_ft, pull_lbf) for span_ft in spans_ft)


def test_slope_by_angle() -> None:
    assert slope_angle_to_level_ft(300.00, 5) == pytest.approx(298.86, abs=0.005)


def test_slope_by_rise() -> None:
    assert slope_to_level_ft(300.00, 26.15) == pytest.approx(298.86, abs=0.005)


def test_slope_correction_by_the_gentle_slope_rule() -> None:
    """The slides' approximation gives 1.14 ft; the exact correction agrees to the printed digits."""
    assert 300.00 - slope_to_level_ft(300.00, 26.15) == pytest.approx(1.14, abs=0.005)


def test_cold_tape() -> None:
    correction_ft = temperature_correction_ft(368.50, 22)
    assert correction_ft == pytest.approx(-0.11, abs=0.005)
    assert 368.50 + correction_ft == pytest.approx(368.39, abs=0.005)


def test_sag_in_full_spans() -> None:
    assert sag_ft([100, 100, 100, 48.75], 12) == pytest.approx(-0.71, abs=0.005)


def test_sag_pulled_harder() -> None:
    assert sag_ft([100, 100, 100, 48.75], 18) == pytest.approx(-0.31, abs=0.005)


def test_sag_in_half_spans() -> None:
    assert sag_ft([50] * 6 + [48.75], 12) == pytest.approx(-0.20, abs=0.005)


def test_pull() -> None:
    assert pull_correction_ft(100, 18, 12, 0.015, 29e6) == pytest.approx(0.0014, abs=0.00005)


def test_long_tape() -> None:
    assert tape_length_corrected_ft(500.00, 100.02, 100.00) == pytest.approx(500.10, abs=0.005)
