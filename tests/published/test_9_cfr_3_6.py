"""9 CFR 3.6, minimum floor space for dogs, as worked in a kennel forum that quotes the USDA rule: 36 in dog, 1,764 in^2."""

import pytest

from engine.calc.measuring.kennel import floor_space_ft2

pytestmark = pytest.mark.published


def test_floor_space_of_a_dog_of_36_inches() -> None:
    assert floor_space_ft2(36) * 144 == pytest.approx(1764, abs=0.5)
