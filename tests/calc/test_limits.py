"""Numbers outside their range are refused with value, limit and why."""

from math import inf, nan

import pytest

from engine.calc.limits import OutOfRange, require_positive, require_within


@pytest.mark.parametrize("value", [0.0, -1.0, nan, inf, -inf])
def test_only_finite_numbers_above_zero_are_positive(value: float) -> None:
    with pytest.raises(OutOfRange) as caught:
        require_positive(span_ft=value)
    assert caught.value.name == "span_ft"


def test_ends_of_a_range_belong_to_it() -> None:
    require_within(0, 12, "the code's table ends there", depth_ft=0)
    require_within(0, 12, "the code's table ends there", depth_ft=12)


@pytest.mark.parametrize("value", [-0.001, 12.001, nan, inf])
def test_numbers_past_a_range_are_refused(value: float) -> None:
    with pytest.raises(OutOfRange):
        require_within(0, 12, "the code's table ends there", depth_ft=value)


def test_an_infinite_number_is_refused_even_where_no_upper_limit_stands() -> None:
    with pytest.raises(OutOfRange):
        require_within(0, inf, "a cable pulls", pull_lbf=inf)


def test_the_error_says_value_limit_and_why() -> None:
    with pytest.raises(OutOfRange, match="depth_ft is 13; it must be 0 to 12: the code's table ends there") as caught:
        require_within(0, 12, "the code's table ends there", depth_ft=13)
    assert (caught.value.value, caught.value.limit, caught.value.why) == (13, "0 to 12", "the code's table ends there")


def test_it_is_a_value_error() -> None:
    assert issubclass(OutOfRange, ValueError)
