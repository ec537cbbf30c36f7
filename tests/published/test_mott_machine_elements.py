"""R. L. Mott, Machine Elements in Mechanical Design, 4th ed., table A16-6: schedule 40 steel pipe.

The table's last digit is not always the nearest: the section modulus agrees to 0.1 %.
"""

import pytest

from tests.published.on_a_job import lines_walked

pytestmark = pytest.mark.published

YIELD_PSI = 36_000


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
    """As a job's post: the bending at which it yields, which the share of yield a crew sees is of, is the modulus times the yield."""
    post = {"diameter_in": od_in, "wall_in": wall_in, "yield_psi": YIELD_PSI}
    pull = lines_walked({"A": (0.0, 0.0), "B": (0.0, 40.0)}, {"n": "AB"}, stock={"post-8": post}).bracing.pulls["P1"]
    assert pull.yield_lbf_ft is not None
    assert 12 * pull.yield_lbf_ft / YIELD_PSI == pytest.approx(section, rel=0.001)
    assert pull.share == pytest.approx(pull.moment_lbf_ft / pull.yield_lbf_ft)
