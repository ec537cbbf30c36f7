"""The paper-roll example of the encyclopedia article "Cutting stock problem", Wikipedia.

Master rolls of 5,600 mm, 13 widths, 219 pieces; published: total 407,160 mm, bound 72.7, best 73 rolls, waste 0.401 %.
Found here and proven, because the plan meets the bound of 73.
"""

import pytest

from engine.calc.cutting.cut_plan import Stock, plan_cuts

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
PIECES = {f"{width} no. {at}": float(width) for width, count in WIDTHS.items() for at in range(count)}


@pytest.mark.published
def test_paper_rolls_take_73_and_are_proven() -> None:
    plan = plan_cuts(PIECES, [Stock("master", 5600)])
    assert (len(PIECES), sum(PIECES.values())) == (219, 407_160)
    assert (len(plan.rolls), plan.lower_bound, plan.proven) == (73, 73, True)


@pytest.mark.published
def test_paper_rolls_waste_as_published() -> None:
    """Published 0.401 % of the length bought."""
    plan = plan_cuts(PIECES, [Stock("master", 5600)])
    assert plan.waste == 73 * 5600 - 407_160
    assert 100 * plan.waste / (73 * 5600) == pytest.approx(0.401, abs=0.0005)
