"""International Building Code 2012, table 1806.2: presumptive bearing, lateral in psf per foot below natural grade, vertical in psf."""

import pytest

from engine.calc.statics.embedment import lateral_bearing_psf_per_ft, vertical_bearing_psf

pytestmark = pytest.mark.transcribed


@pytest.mark.parametrize(("soil", "bearing"), [("rock", 1200), ("foliated rock", 400), ("gravel", 200), ("sand", 150), ("clay", 100)])
def test_lateral_bearing(soil: str, bearing: float) -> None:
    assert lateral_bearing_psf_per_ft(soil) == bearing


@pytest.mark.parametrize(("soil", "bearing"), [("rock", 12_000), ("foliated rock", 4000), ("gravel", 3000), ("sand", 2000), ("clay", 1500)])
def test_vertical_bearing(soil: str, bearing: float) -> None:
    assert vertical_bearing_psf(soil) == bearing
