"""L. C. Reese and W. F. Van Impe, Single Piles and Pile Groups under Lateral Loading, appendix A: Broms's short pile in clay.

305 mm wide, 2.44 m deep, load 0.61 m over the ground; printed: P^2 + 1083 P - 67,900 = 0 in kN, P = 59.4 kN. The shear strength is
illegible in the copy that was read: 47.9 kPa (1,000 psf) is inferred, for it gives that equation to its third digit.
"""

from math import sqrt

import pytest

from engine.calc.statics.short_pile import cohesive_pile_lbf

pytestmark = pytest.mark.published

KPA_INFERRED = 47.9


def test_the_printed_equation_gives_the_printed_load() -> None:
    assert sqrt(541.5**2 + 67_900) - 541.5 == pytest.approx(59.4, abs=0.05)


def test_short_pile_in_clay() -> None:
    """Within 0.2 %, which the three digits of the printed equation leave open."""
    assert cohesive_pile_lbf(0.305, 2.44, 0.61, KPA_INFERRED) == pytest.approx(59.4, rel=0.002)
