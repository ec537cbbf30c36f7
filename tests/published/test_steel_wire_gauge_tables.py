"""US steel wire (Washburn & Moen) gauge tables at jgmes.com and sizes.com; both print 0.0800 in for 14 gauge."""

import pytest

from engine.job.model.stock_table import default_rows

pytestmark = pytest.mark.transcribed


@pytest.mark.parametrize("stock", ["wire-36", "wire-48"])
def test_the_welded_wire_of_the_stock_is_14_gauge(stock: str) -> None:
    assert default_rows()[stock].wire_in == 0.0800
