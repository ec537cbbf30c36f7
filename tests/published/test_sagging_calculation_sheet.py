"""Sheet "Sagging Calculation", Scribd 195492334: change of state of five spans. Kilograms-force, metres, degrees Celsius.

The stored copy of the printed table is scrambled: whole and fractional parts were paired by matching recomputed values. So this
confirms rather than reads, is marked independent, and its tolerance is 0.0015 kg, the largest difference of all ten.
"""

import pytest

from engine.calc.statics.elastic_cable import change_of_state_lbf

pytestmark = pytest.mark.independent

EA, ALPHA, WEIGHT, TENSION = 7700 * 243, 1.89e-5, 0.987, 8810.348 / 5


@pytest.mark.parametrize(
    ("span", "hot", "cold"),
    [
        (250, 1275.709412, 2009.705),
        (300, 1363.413335, 1953.299),
        (350, 1431.500233, 1911.928),
        (400, 1484.938504, 1881.642),
        (450, 1527.335447, 1859.202),
    ],
)
def test_from_27_to_80_and_to_10_degrees(span: float, hot: float, cold: float) -> None:
    assert change_of_state_lbf(TENSION, span, WEIGHT, 80 - 27, EA, ALPHA) == pytest.approx(hot, abs=0.0015)
    assert change_of_state_lbf(TENSION, span, WEIGHT, 10 - 27, EA, ALPHA) == pytest.approx(cold, abs=0.0015)
