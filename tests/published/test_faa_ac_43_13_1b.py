"""US Federal Aviation Administration, Advisory Circular 43.13-1B (1998), table 7-3: MIL-W-83420 composition A, galvanized."""

import pytest

from engine.calc.statics.elastic_cable import rope_strength_lbf

pytestmark = pytest.mark.published


@pytest.mark.parametrize(
    ("diameter_in", "construction", "strength"),
    [
        (0.03125, "3x7", 110),
        (0.046875, "7x7", 270),
        (0.0625, "7x7", 480),
        (0.0625, "7x19", 480),
        (0.09375, "7x7", 920),
        (0.09375, "7x19", 1000),
        (0.125, "7x19", 2000),
        (0.15625, "7x19", 2800),
        (0.1875, "7x19", 4200),
        (0.21875, "7x19", 5600),
        (0.25, "7x19", 7000),
    ],
)
def test_breaking_strength(diameter_in: float, construction: str, strength: float) -> None:
    assert rope_strength_lbf(diameter_in, construction) == strength
