"""American Society of Civil Engineers, ASCE 7-16, table 29.4-2: open signs and lattice frameworks.

Read in a permit calculation filed with the City of Everett WA, record page 79; its wind speed wasn't in view and isn't used.
"""

import pytest

from engine.calc.statics.wind import open_screen_coefficient

pytestmark = pytest.mark.transcribed


@pytest.mark.parametrize(
    ("solidity", "flat", "round_small", "round_large"),
    [(0.05, 2.0, 1.2, 0.8), (0.10, 1.8, 1.3, 0.9), (0.29, 1.8, 1.3, 0.9), (0.30, 1.6, 1.5, 1.1), (0.70, 1.6, 1.5, 1.1)],
)
def test_force_coefficient(solidity: float, flat: float, round_small: float, round_large: float) -> None:
    assert open_screen_coefficient(solidity, round_members=False) == flat
    assert open_screen_coefficient(solidity, round_members=True, d_root_q=2.5) == round_small
    assert open_screen_coefficient(solidity, round_members=True, d_root_q=2.6) == round_large
