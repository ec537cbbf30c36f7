"""The limits of a new job in metres: those of feet and inches, round, and never the looser for being round where a dog could get out."""

import pytest

from engine.calc.force_words import amount_shown
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.typed_length import TypedLength
from engine.calc.units import FEET_INCHES, METRES, in_units
from engine.job.file.store import starter
from engine.job.model.rules import Rules, first_rules

LEFT = {"step_ft", "tape_sigma_ft", "offset_sigma_ft", "eye_tolerance_in", "ice_in", "fold_in", "mower_width_in"}
"""What is measured of a tape or a walker, asked no more, or nothing by default."""
LENGTHS = [
    (section, field)
    for section in Rules.model_fields
    for field in type(getattr(Rules(), section)).model_fields
    if field.endswith(("_ft", "_in")) and field not in LEFT
]


def of(rules: Rules, section: str, field: str) -> float:
    length = getattr(getattr(rules, section), field)
    assert isinstance(length, float)
    return length


@pytest.mark.parametrize(("section", "field"), LENGTHS)
def test_every_limit_is_round_and_near_that_in_feet(section: str, field: str) -> None:
    metric = of(first_rules(METRES), section, field)
    assert metric == pytest.approx(of(Rules(), section, field), rel=0.4 if field == "grid_in" else 0.06)
    assert isinstance(metric, TypedLength)
    with in_units(METRES):
        shown = format_ft_in(metric) if field.endswith("_ft") else format_in(metric)
    number, unit = metric.text.split()
    assert shown in (metric.text, f"{float(number):.2f} {unit}")


@pytest.mark.closed_form
def test_pull_weight_days_and_wind_are_round_too_and_no_easier_on_the_fence() -> None:
    with in_units(METRES):
        shown = [
            amount_shown(getattr(first_rules(METRES).cables, field), field.rpartition("_")[2])
            for field in ("tension_lbf", "hung_weight_lb", "set_F", "cold_F", "hot_F", "wind_mph")
        ]
    assert shown == [220.0, 1.0, 15.0, -20.0, 45.0, 145.0]
    metres, feet = first_rules(METRES).cables, Rules().cables
    assert metres.cold_F < feet.cold_F < feet.hot_F < metres.hot_F
    assert metres.wind_mph > feet.wind_mph


def test_where_a_dog_or_a_rule_of_strength_is_concerned_none_is_looser() -> None:
    metres, feet = first_rules(METRES), Rules()
    for section, field in (("layout", "bay_max_ft"), ("cables", "loop_max_ft"), ("gate", "bottom_gap_max_in"), ("staking", "stake_max_ft")):
        assert of(metres, section, field) < of(feet, section, field)
    assert of(metres, "fabric", "jump_reach_ft") > of(feet, "fabric", "jump_reach_ft")


def test_a_new_job_has_them_in_metres_and_none_in_feet() -> None:
    assert starter("yard", METRES).rules == first_rules(METRES)
    assert starter("yard", FEET_INCHES).rules == Rules()
    assert (starter("yard", METRES).fence.height_ft, starter("yard").fence.height_ft) == (5.9055, 6.0)
