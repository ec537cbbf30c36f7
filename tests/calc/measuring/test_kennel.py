"""Floor space and suited fence height."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.limits import OutOfRange
from engine.calc.measuring.kennel import floor_space_ft2, suited_height_ft


@pytest.mark.closed_form
@pytest.mark.parametrize(("length_in", "area_ft2"), [(24, 6.25), (18, 4.00), (12, 2.25), (31, 9.507)])
def test_floor_space(length_in: float, area_ft2: float) -> None:
    """(length + 6)^2/144."""
    assert floor_space_ft2(length_in) == pytest.approx(area_ft2, abs=5e-4)


@pytest.mark.parametrize("length_in", [3.9, 84.1, float("nan")])
def test_a_dog_of_no_such_length_is_refused(length_in: float) -> None:
    with pytest.raises(OutOfRange):
        floor_space_ft2(length_in)


@pytest.mark.parametrize(
    ("shoulder_in", "jumps", "climbs", "height_ft", "may_not_hold"),
    [
        (10, False, False, 4, False),
        (15, False, False, 5, False),
        (22, False, False, 6, False),
        (10, True, False, 5, False),
        (10, False, True, 5, True),
        (18, True, False, 6, False),
        (24, True, False, 6, True),
        (10, True, True, 6, True),
    ],
)
def test_suited_height_is_our_own_judgement(shoulder_in: float, jumps: bool, climbs: bool, height_ft: float, may_not_hold: bool) -> None:
    """Common practice, no source: the rule stands in the function's docstring."""
    got = suited_height_ft(shoulder_in, jumps, climbs)
    assert (got.height_ft, got.may_not_hold) == (height_ft, may_not_hold)


@given(st.floats(3, 43), st.floats(0, 1), st.booleans(), st.booleans())
@settings(max_examples=50)
def test_a_taller_or_livelier_dog_never_gets_a_lower_fence(shoulder: float, more: float, jumps: bool, climbs: bool) -> None:
    height = suited_height_ft(shoulder, jumps, climbs).height_ft
    assert suited_height_ft(shoulder + more, jumps, climbs).height_ft >= height
    assert suited_height_ft(shoulder, True, climbs).height_ft >= height
    assert suited_height_ft(shoulder, jumps, True).height_ft >= height


def test_a_dog_of_no_such_height_is_refused() -> None:
    with pytest.raises(OutOfRange):
        suited_height_ft(45, False, False)
