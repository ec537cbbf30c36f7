"""Footing sheet for a flagpole to IBC 2018, Scribd 560795266: held at the ground, bearing doubled.

30,000 lb at 3 ft, 4.5 ft wide, 350 psf per ft.
"""

import pytest

from engine.calc.statics.embedment import constrained_depth_ft, pole_a_ft

pytestmark = pytest.mark.published

KPA_PER_PSF = 0.0478802589803


def test_depth_and_pressures() -> None:
    """Published: S1 55.32 kPa, S3 166.0 kPa, depth 1.509 m."""
    got = constrained_depth_ft(30_000, 3, 4.5, 350, factor=2)
    assert got.depth_ft * 0.3048 == pytest.approx(1.509, abs=0.0005)
    assert got.s3_psf * KPA_PER_PSF == pytest.approx(166.0, abs=0.05)
    assert got.s3_psf / 3 * KPA_PER_PSF == pytest.approx(55.32, abs=0.005)


def test_term_a() -> None:
    """Published: 13.501, from a pressure printed to four digits."""
    assert pole_a_ft(30_000, 55.32 / KPA_PER_PSF, 4.5) == pytest.approx(13.501, abs=0.0015)
