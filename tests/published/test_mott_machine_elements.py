"""R. L. Mott, Machine Elements in Mechanical Design, 4th ed., table A16-6: schedule 40 steel pipe.

The table's last digit is not always the nearest: the section modulus agrees to 0.1 %.
"""

import pytest

from engine.calc.statics.section import tube

pytestmark = pytest.mark.published


@pytest.mark.parametrize(
    ("od_in", "wall_in", "section"),
    [
        (1.315, 0.133, 0.1328),
        (1.660, 0.140, 0.2346),
        (1.900, 0.145, 0.3262),
        (2.375, 0.154, 0.5607),
        (2.875, 0.203, 1.064),
    ],
)
def test_pipe(od_in: float, wall_in: float, section: float) -> None:
    assert tube(od_in, wall_in).section_in3 == pytest.approx(section, rel=0.001)
