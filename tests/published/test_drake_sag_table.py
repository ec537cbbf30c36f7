"""Electric Power Generation, Transmission and Distribution, table 14.5 (issuhub 4960, p. 191): sag and tension of 795 kcmil Drake.

Printed tension is taken as that at the support, an inference. The table comes from a two-metal, creeping conductor, so it checks
sag against tension only, and to the tolerance that shows: 0.5 % for the parabola, 0.3 % for the catenary.
"""

import pytest

from engine.calc.statics.cable_sag import parabola_sag_ft
from tests.calc.statics.catenary import catenary

# On the calculation: no bay is 700 ft long, and no cable of a job weighs a pound a foot.

BARE = [
    (8824, 7.60), (8161, 8.22), (7301, 9.19), (7142, 9.39), (6300, 10.65), (6242, 10.75),
    (5429, 12.36), (4809, 13.96), (4330, 15.52), (3960, 16.97), (3728, 18.04),
]  # fmt: skip
ROWS = [(1.094, 700, tension, sag) for tension, sag in BARE] + [(2.509, 700, 11_318, 13.61), (2.509, 1000, 12_116, 25.98)]


@pytest.mark.published
@pytest.mark.parametrize(("weight", "span", "tension", "sag"), ROWS)
def test_parabola(weight: float, span: float, tension: float, sag: float) -> None:
    assert parabola_sag_ft(weight, span, tension) == pytest.approx(sag, rel=0.005)


@pytest.mark.independent
@pytest.mark.parametrize(("weight", "span", "tension", "sag"), ROWS)
def test_the_referee_s_catenary(weight: float, span: float, tension: float, sag: float) -> None:
    """Nothing of the program: what its parabola is held to elsewhere is held to the table here."""
    assert catenary(span, 0.0, weight, tension - weight * sag).mid_sag_ft == pytest.approx(sag, rel=0.003)
