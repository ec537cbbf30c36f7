"""Freezing rain on a fence, where the rules ask for it."""

from math import pi

import pytest
from pydantic import ValidationError

from engine.calc.statics.elastic_cable import change_of_state_lbf
from engine.job.model.job import Job
from engine.job.model.words.refusals import problems_of
from engine.stages.bracing.what_pulls import ICE_F
from engine.walk import Walk, walk
from tests.stages.flat_yards import posts, straight


def iced(ice_in: float) -> Walk:
    return walk(straight(60.0, posts=posts("n", 0, 20, 40, 60), rules={"cables": {"ice_in": ice_in}}))


def test_no_ice_is_counted_unless_the_rules_ask_for_it() -> None:
    assert Job().rules.cables.ice_in == 0
    (loop,) = iced(0.0).cables.loops.values()
    assert "iced" not in [pull.state for pull in loop.states]
    assert {bay.iced_in for bay in iced(0.0).cables.bays.values()} == {None}


@pytest.mark.independent
def test_a_quarter_inch_by_hand() -> None:
    """Ring of ice round cable, strands and wires at 5 ft 11 3/4 in, 56 lb a cubic foot; mesh 4 ft wide, wire 3 ft down; 20 ft bays."""
    ice = 0.25 * ((6 - 0.25 / 12) / 33) ** 0.1

    def ring_plf(diameter: float) -> float:
        return 56 * pi / 4 * ((diameter + 2 * ice) ** 2 - diameter**2) / 144

    top = 0.016 + 4 * (8 / 400 + 24 / 1.75 * ring_plf(0.06)) + ring_plf(0.09375)
    wire = 490 / 12 * pi / 4 * (0.08**2 / 2 + 0.08**2 / 4)
    bottom = 0.016 + 3 * (wire + (12 / 2 + 12 / 4) * ring_plf(0.08)) + ring_plf(0.09375)
    found = iced(0.25)
    ((loop,), (_, *_)) = (found.cables.loops.values(), found.cables.bays)
    pull = next(pull for pull in loop.states if pull.state == "iced")
    ea = found.bracing.cable.ea_lbf if found.bracing.cable else 0.0
    by_hand = [change_of_state_lbf(50, 20, 0.016, ICE_F - 60, ea, weight_after_plf=load) for load in (top, bottom)]
    assert (pull.top_lbf, pull.bottom_lbf) == pytest.approx(by_hand, rel=1e-4)
    assert found.cables.bays["P1-P2"].iced_in == pytest.approx(
        12 * max(load * 20**2 / (8 * lbf) for load, lbf in zip((top, bottom), by_hand, strict=True)), rel=1e-4
    )


def test_ice_is_the_state_that_ends_are_judged_by_and_a_lock_that_it_opens_is_told() -> None:
    found = iced(0.5)
    end = found.bracing.pulls["P1"]
    assert [leg.state for leg in end.legs] == ["iced"]
    assert end.legs[0].thrust_lbf > iced(0.25).bracing.pulls["P1"].legs[0].thrust_lbf
    assert "lock_too_weak" in [finding.code for finding in found.cables.findings]


def test_ice_thicker_than_any_map_is_refused_by_its_field() -> None:
    with pytest.raises(ValidationError) as refused:
        Job.model_validate({"rules": {"cables": {"ice_in": 3.5}}})
    (problem,) = problems_of(refused.value, Job)
    assert (problem.path, problem.message) == (("rules", "cables", "ice_in"), "3.5 is out of range: it must be at most 3.")
