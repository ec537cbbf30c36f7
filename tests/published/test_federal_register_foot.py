"""85 FR 62698 (5 Oct 2020, doc 2020-21902): the foot is 0.3048 m exactly."""

import pytest

from engine.job.model.job import Job
from engine.walk import walk


@pytest.mark.published
@pytest.mark.parametrize(("text", "length_ft"), [("0.3048 m", 1), ("30.48 cm", 1), ("3048 mm", 10)])
def test_metric_lengths(text: str, length_ft: float) -> None:
    """A point's place written in a job file so, and the line to it."""
    points = {"A": {"east_ft": 0, "north_ft": 0}, "B": {"east_ft": text, "north_ft": 0}}
    walked = walk(Job.model_validate({"points": points, "lines": {"n": {"points": ["A", "B"]}}}))
    assert walked.survey.points["B"].east_ft == pytest.approx(length_ft, rel=1e-15)
    assert walked.survey.lines["n"].length_ft == pytest.approx(length_ft, rel=1e-15)
