"""US Army SMCT task 071-329-1006: an average soldier takes 116 single paces to 100 m on level ground, about 148 across rough ground."""

import pytest

from engine.ahead.estimate import estimate
from engine.ahead.said_length import said_length
from engine.calc.lengths import parse_length_ft
from engine.job.model.job import Job
from engine.job.model.rough import Rough
from engine.job.model.rules import SurveyRules


@pytest.mark.published
@pytest.mark.parametrize(("count", "paces", "metres"), [(116, 29, "25 m"), (148, 74, "50 m")])
def test_paces_by_the_count_are_the_distance(count: float, paces: float, metres: str) -> None:
    rough = Rough(paces=(paces,), step_over_ft=parse_length_ft("100 m"), step_counts=(count,))
    found = estimate(Job(rough=rough))
    assert found is not None
    assert found.length_ft.likely == pytest.approx(parse_length_ft(metres), rel=1e-6)


@pytest.mark.published
@pytest.mark.parametrize("count", [116, 148])
def test_a_step_nobody_calibrated_may_be_either(count: float) -> None:
    """100 m walked on either ground lies inside what paces of the usual step are told to be."""
    said = said_length(Rough(paces=(count,)), SurveyRules())
    assert said.low_ft <= parse_length_ft("100 m") <= said.high_ft
