"""What the spread of a length rests on, in numbers and in words."""

import pytest

from engine.ahead.said_length import said_length
from engine.job.model.rough import Rough
from engine.job.model.rules import SurveyRules


def low_high(rough: Rough) -> tuple[float, float, float]:
    """To the tenth of a foot."""
    said = said_length(rough, SurveyRules())
    return round(said.low_ft, 1), round(said.likely_ft, 1), round(said.high_ft, 1)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("rough", "wanted"),
    [
        (Rough(length_ft=140), (126.0, 140.0, 154.0)),
        (Rough(length_ft=140, spread_pct=5), (133.0, 140.0, 147.0)),
        (Rough(paces=(56,)), (119.0, 140.0, 161.0)),
        # 58 steps of 100/41 ft; t of 2 degrees 2.92, times 1/41, times the root of 1/3 + 1: 8.22 %
        (Rough(paces=(30, 28), step_over_ft=100, step_counts=(41, 40, 42)), (129.8, 141.5, 153.1)),
        # one count, judged to scatter by 3 %: 1.645 times 3 % times the root of 2: 6.98 %
        (Rough(paces=(80,), step_over_ft=100, step_counts=(40,)), (186.0, 200.0, 214.0)),
        (Rough(paces=(80,), step_over_ft=100, step_counts=(40,), spread_pct=2), (196.0, 200.0, 204.0)),
        # two counts that disagree widely know next to nothing, and no more than half is told
        (Rough(paces=(80,), step_over_ft=100, step_counts=(36, 44)), (100.0, 200.0, 300.0)),
    ],
)
def test_low_likely_and_high(rough: Rough, wanted: tuple[float, float, float]) -> None:
    assert low_high(rough) == wanted


def test_it_says_what_it_rests_on() -> None:
    rests = {
        "said": said_length(Rough(length_ft=140), SurveyRules()).rests_on,
        "judged": said_length(Rough(length_ft=140, spread_pct=4), SurveyRules()).rests_on,
        "paced": said_length(Rough(paces=(56,)), SurveyRules()).rests_on,
        "calibrated": said_length(Rough(paces=(58,), step_over_ft=100, step_counts=(41, 40, 42)), SurveyRules()).rests_on,
        "once": said_length(Rough(paces=(58,), step_over_ft=100, step_counts=(40,)), SurveyRules()).rests_on,
    }
    assert rests == {
        "said": "The length as it was said, 10 % either way: common practice, no source.",
        "judged": "The length as it was said, 4 % either way: as this job judges it.",
        "paced": "56 steps of 2' 6\", calibrated on no tape; 15 % either way, between steps on level and on rough ground.",
        "calibrated": "58 steps of 2' 5 1/4\", calibrated by 3 counts over 100' 0\"; 8 % either way holds nine in ten, by how the counts "
        "scatter.",
        "once": "58 steps of 2' 6\", calibrated by 1 count over 100' 0\"; 7 % either way holds nine in ten, one count scattering by 3 % "
        "(common practice, no source).",
    }
