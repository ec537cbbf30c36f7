"""US steel wire (Washburn & Moen) gauge tables at jgmes.com and sizes.com; both print the same diameters.

Texas Department of Transportation, Item 550, Chain Link Fence, gives its 9 gauge wire as 0.148 in.
"""

import pytest

from engine.calc.statics.section import steel_wire_gauge_in

pytestmark = pytest.mark.published


@pytest.mark.parametrize(
    ("gauge", "diameter_in"),
    [
        (9, 0.1483),
        (10, 0.1350),
        (11, 0.1205),
        (12, 0.1055),
        (13, 0.0915),
        (14, 0.0800),
        (15, 0.0720),
        (16, 0.0625),
        (17, 0.0540),
        (18, 0.0475),
        (19, 0.0410),
        (20, 0.0348),
    ],
)
def test_diameter(gauge: float, diameter_in: float) -> None:
    assert steel_wire_gauge_in(gauge) == diameter_in


def test_chain_link_wire() -> None:
    assert steel_wire_gauge_in(9) == pytest.approx(0.148, abs=0.0005)
