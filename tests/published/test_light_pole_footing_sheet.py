"""Footing sheet for a light pole to IBC 2009, Scribd 90622087. Kilonewtons and metres.

1.33 kN at 8.0 m, 0.6 m square (0.849 m across), 31.4 kPa per m, trial depth 1.55 m.
"""

import pytest

from engine.calc.statics.embedment import pole_a_ft

# On the calculation: the term A is a step on the way to a depth, and no fence stands up 8 m.

pytestmark = pytest.mark.published


def test_term_a_at_the_trial_depth() -> None:
    """Published: A 0.226 of the printed S1, 16.223 kPa."""
    assert pole_a_ft(1.33, 16.223, 0.849) == pytest.approx(0.226, abs=0.0005)
