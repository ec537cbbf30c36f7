"""US Federal Aviation Administration, Advisory Circular 43.13-1B (1998), table 7-3: MIL-W-83420 composition A, galvanized.

The cables of the default stock are as strong as the table says; a 3/32 in 7x7 carries 920 lb there, a 7x19 of that size 1,000.
"""

import pytest

from engine.job.model.stock_table import default_rows

pytestmark = pytest.mark.transcribed


@pytest.mark.parametrize(
    ("stock", "diameter_in", "construction", "strength"),
    [("cable-1-16", 0.0625, "7x7", 480), ("cable-3-32", 0.09375, "7x7", 920), ("cable-1-8", 0.125, "7x19", 2000)],
)
def test_breaking_strength_of_the_stock(stock: str, diameter_in: float, construction: str, strength: float) -> None:
    row = default_rows()[stock]
    assert (row.diameter_in, row.construction, row.strength_lbf) == (diameter_in, construction, strength)
