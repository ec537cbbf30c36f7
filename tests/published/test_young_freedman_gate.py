"""H. D. Young and R. A. Freedman, University Physics (title from memory), the farmyard gate problem (Numerade answer). Newtons and metres.

Gate 4.00 x 2.00 m, 500 N; a wire at 30 degrees from its top latch corner takes all level pull off the top hinge.
"""

from math import cos, radians, sin

import pytest

from engine.calc.statics.gate_leaf import hinge_couple_lbf

# On the calculation: the wire to the top hinge is none of the program's, and no leaf of a job is 4 m by 2 m.


@pytest.mark.closed_form
def test_wire_that_takes_over_from_the_top_hinge() -> None:
    """About the bottom hinge the wire does what the hinge couple did: T 268 N, 232 N at the bottom hinge, 366 N upright at both.

    The wire isn't the program's: its pull is worked out here, from the program's couple.
    """
    turning = hinge_couple_lbf(500, 4.0, 2.0) * 2.0
    wire = turning / (4.0 * sin(radians(30)) + 2.0 * cos(radians(30)))
    assert wire == pytest.approx(268, abs=0.5)
    assert wire * cos(radians(30)) == pytest.approx(232, abs=0.5)
    assert 500 - wire * sin(radians(30)) == pytest.approx(366, abs=0.5)
