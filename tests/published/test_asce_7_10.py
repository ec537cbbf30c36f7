"""American Society of Civil Engineers, ASCE 7-10, Minimum Design Loads for Buildings and Other Structures, table 29.3-1."""

import pytest

from engine.calc.statics.wind import kz

# On the calculation: a coefficient stands in no sheet; it goes into the depth asked of a sleeve, and fences end at 8 ft.

pytestmark = pytest.mark.published


@pytest.mark.parametrize(
    ("height_ft", "exposure", "coefficient"),
    [(0, "B", 0.57), (15, "B", 0.57), (15, "C", 0.85), (15, "D", 1.03), (20, "B", 0.62), (20, "C", 0.90), (20, "D", 1.08)],
)
def test_exposure_coefficient(height_ft: float, exposure: str, coefficient: float) -> None:
    assert kz(height_ft, exposure) == pytest.approx(coefficient, abs=0.005)
