"""9 CFR 3.6, minimum floor space for dogs, as worked in a kennel forum that quotes the USDA rule: 36 in dog, 1,764 in^2."""

import pytest

from tests.published.on_a_job import lines_walked

pytestmark = pytest.mark.published

CORNERS = {"A": (0.0, 0.0), "B": (0.0, 3.0), "C": (3.0, 3.0), "D": (3.0, 0.0), "IN": (1.5, 1.5)}


def test_floor_space_of_a_dog_of_36_inches() -> None:
    """A licensed kennel's yard of 3 ft by 3 ft is told as too small for it."""
    dog = {"weight_lb": 60, "shoulder_in": 24, "body_in": 36}
    walked = lines_walked(CORNERS, {"n": "ABCDA"}, job={"licensed_kennel": True}, dogs={"Rex": dog}, yards={"pen": {"inside": "IN"}})
    assert walked.survey.yards["pen"].floor_needed_ft2 * 144 == pytest.approx(1764, abs=0.5)
    assert "kennel_floor" in [one.code for one in walked.stage_findings["survey"]]
