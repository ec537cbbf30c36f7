"""85 FR 62698 (5 Oct 2020, doc 2020-21902): the foot is 0.3048 m exactly."""

import pytest

from engine.calc.lengths import parse_length_ft


@pytest.mark.published
@pytest.mark.parametrize(("text", "length_ft"), [("0.3048 m", 1), ("30.48 cm", 1), ("3048 mm", 10)])
def test_metric_lengths(text: str, length_ft: float) -> None:
    assert parse_length_ft(text) == pytest.approx(length_ft, rel=1e-15)
