"""University lecture slides "Taping Corrections" (slideplayer 13085605): a tape held along the slope."""

import pytest

from engine.job.model.job import Job
from engine.walk import walk
from tests.stages.yards import known

pytestmark = pytest.mark.published


def test_slope_by_rise() -> None:
    """The slides take 1.14 ft off by the gentle slope rule; the exact correction agrees to the printed digits."""
    leg = {"method": "leg", "from_point": "A", "to_point": "B", "length_ft": 300.00, "rise_ft": 26.15, "azimuth_deg": "N 0 E"}
    job = {"points": known({"A": (0.0, 0.0)}), "shots": {"S": leg}, "lines": {"n": {"points": ["A", "B"]}}}
    assert walk(Job.model_validate(job)).survey.lines["n"].length_ft == pytest.approx(298.86, abs=0.005)
