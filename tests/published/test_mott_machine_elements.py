"""R. L. Mott, Machine Elements in Mechanical Design, 4th ed., table A16-6: schedule 40 steel pipe.

The table's last digit is not always the nearest: area agrees to 0.0006 in^2, inertia and section to 0.1 %.
"""

import pytest

from engine.calc.statics.section import tube

pytestmark = pytest.mark.published


@pytest.mark.parametrize(
    ("od_in", "wall_in", "area", "inertia", "section"),
    [
        (1.315, 0.133, 0.494, 0.08734, 0.1328),
        (1.660, 0.140, 0.669, 0.1947, 0.2346),
        (1.900, 0.145, 0.799, 0.3099, 0.3262),
        (2.375, 0.154, 1.075, 0.6658, 0.5607),
        (2.875, 0.203, 1.704, 1.530, 1.064),
    ],
)
def test_pipe(od_in: float, wall_in: float, area: float, inertia: float, section: float) -> None:
    got = tube(od_in, wall_in)
    assert got.area_in2 == pytest.approx(area, abs=0.0006)
    assert got.inertia_in4 == pytest.approx(inertia, rel=0.001)
    assert got.section_in3 == pytest.approx(section, rel=0.001)
