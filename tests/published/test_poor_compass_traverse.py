""" "Compass Rule: Adjustment of Bearing and Distance of a Closed Traverse" (Scribd document 493615208).

Its closure in latitude is summed from rounded latitudes (+0.285; unrounded 0.2836): closures are held to
0.002 ft.
"""

import pytest

from engine.calc.measuring.traverse import traverse
from tests.calc.measuring.courses import courses

pytestmark = pytest.mark.published

TRAVERSE = traverse((0.0, 0.0), courses(("N 76°00' E", 80.40), ("S 36°00' E", 46.30), ("S 61°00' W", 72.80), ("N 38°00' W", 68.00)))


def test_closure() -> None:
    assert TRAVERSE.total_ft == pytest.approx(267.50, abs=0.005)
    assert TRAVERSE.closure_latitude_ft == pytest.approx(0.285, abs=0.002)
    assert TRAVERSE.closure_departure_ft == pytest.approx(-0.311, abs=0.002)
