"""Engineering forum thread 276653 at eng-tips.com: the term A of the pole formula.

3,000 lb, 150 psf per ft at a third of 6 ft, raised by 1.33 for wind, 1 ft wide: "almost 17.6 ft".
"""

import pytest

from engine.calc.statics.embedment import pole_a_ft

# On the calculation: the term A is a step on the way to a depth, and no fence pulls by 3,000 lb.

pytestmark = pytest.mark.published


def test_term_a() -> None:
    assert pole_a_ft(3000, 150 * 6 / 3 * 1.33, 1.0) == pytest.approx(17.6, abs=0.05)
