"""UK navigation-skills page (smw-ab): 62 double paces to 100 m, so 450 m is 4 x 62 + 31 = 279 double paces."""

import pytest

from engine.calc.lengths import parse_length_ft
from engine.job.model.job import Job
from engine.walk import walk
from tests.stages.yards import known


@pytest.mark.published
def test_279_double_paces_are_450_m() -> None:
    """Beside what is measured between the two points, as the survey shows it; a file holds a step to a ten thousandth of a foot."""
    job = {
        "points": known({"A": (0.0, 0.0), "B": (0.0, parse_length_ft("450 m"))}),
        "shots": {"S": {"method": "paces", "from_point": "A", "to_point": "B", "paces": 279}},
        "rules": {"survey": {"step_ft": parse_length_ft("100 m") / 62}},
    }
    (check,) = walk(Job.model_validate(job)).survey.paced
    assert check.paced_ft == pytest.approx(parse_length_ft("450 m"), abs=279 * 0.00005)
    assert check.measured_ft == pytest.approx(check.paced_ft, abs=0.02)
