"""The paper-roll example of the encyclopedia article "Cutting stock problem", Wikipedia.

Master rolls of 5,600 mm, 13 widths, 219 pieces; published: total 407,160 mm, bound 72.7, best 73 rolls, waste 0.401 %.
Found here and proven, because the plan meets the bound of 73.
"""

import pytest

from engine.walk import Walk
from tests.published.on_a_job import cut_from_rolls

FT_PER_MM = 1 / 40
"""The rolls are paper; here wire, a fortieth of a foot for a millimetre: 219 loops of 34 to 55 ft from rolls of 140 ft."""
WIDTHS = {
    1380: 22,
    1520: 25,
    1560: 12,
    1710: 14,
    1820: 18,
    1880: 18,
    1930: 20,
    2000: 10,
    2050: 12,
    2100: 14,
    2140: 16,
    2150: 18,
    2200: 20,
}
PIECES = [width for width, count in WIDTHS.items() for _ in range(count)]


def hung() -> Walk:
    """A fence whose loops take these pieces of wire."""
    return cut_from_rolls(tuple(width * FT_PER_MM for width in PIECES), 5600 * FT_PER_MM)


@pytest.mark.published
def test_paper_rolls_take_73_and_are_proven() -> None:
    plan = hung().fabric.wire_rolls
    assert (len(PIECES), sum(PIECES)) == (219, 407_160)
    assert (len(plan.rolls), plan.lower_bound, plan.proven) == (73, 73, True)
    assert {row.stock: row.packs for row in hung().takeoff.rows}["wire-48"] == 73


@pytest.mark.published
def test_paper_rolls_waste_as_published() -> None:
    """Published 0.401 % of the length bought."""
    plan = hung().fabric.wire_rolls
    left_mm = sum(roll.left for roll in plan.rolls) / FT_PER_MM
    assert left_mm == pytest.approx(73 * 5600 - 407_160, abs=0.01)
    assert 100 * left_mm / (73 * 5600) == pytest.approx(0.401, abs=0.0005)
