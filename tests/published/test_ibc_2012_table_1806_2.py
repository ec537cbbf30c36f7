"""International Building Code 2012, table 1806.2: presumptive lateral bearing, psf per foot below natural grade."""

import pytest

from engine.calc.statics.embedment import lateral_bearing_psf_per_ft

pytestmark = pytest.mark.transcribed


@pytest.mark.parametrize(("soil", "bearing"), [("rock", 1200), ("foliated rock", 400), ("gravel", 200), ("sand", 150), ("clay", 100)])
def test_lateral_bearing(soil: str, bearing: float) -> None:
    assert lateral_bearing_psf_per_ft(soil) == bearing
