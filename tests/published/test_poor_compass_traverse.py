""" "Compass Rule: Adjustment of Bearing and Distance of a Closed Traverse" (Scribd document 493615208).

Its closure in latitude is summed from rounded latitudes (+0.285; unrounded 0.2836): closures are held to
0.002 ft.
"""

import pytest

from tests.published.on_a_job import legs_walked

pytestmark = pytest.mark.published


def test_closure() -> None:
    walked = legs_walked(("N 76°00' E", 80.40), ("S 36°00' E", 46.30), ("S 61°00' W", 72.80), ("N 38°00' W", 68.00))
    (legs,) = walked.survey.traverses
    assert legs.length_ft == pytest.approx(267.50, abs=0.005)
    assert legs.lat_error_ft == pytest.approx(0.285, abs=0.002)
    assert legs.dep_error_ft == pytest.approx(-0.311, abs=0.002)
