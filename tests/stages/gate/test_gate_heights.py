"""How high a leaf is, as the fence where it hangs or as its gate says, and how high over its ground."""

import pytest

from engine.job.model.job import Job
from engine.stages.gate.stage import gate
from engine.stages.posts.stage import posts
from engine.stages.posts.top_line import straight_tops_ft
from tests.stages.gate.test_stage import codes, gates, yard
from tests.stages.layouts import survey_of


@pytest.mark.closed_form
def test_a_leaf_is_as_high_as_the_fence_where_it_hangs() -> None:
    """A 4 ft stretch round a 5 ft gate: a leaf of 3 ft 10 in, 1.2 lb a sq ft by rule; rings every foot round 17 ft 8 in."""
    low = {"heights": {"low": {"line": "north", "from_ft": 10, "to_ft": 40, "height_ft": 4}}}
    work = gates(yard(), rules={"gate": {"leaf_weight_psf": 1.2}}, **low).gates["G1"]
    assert work.leaves[0].height_ft == pytest.approx(46 / 12)
    assert work.leaves[0].weight_lb == pytest.approx(1.2 * 5 * 46 / 12)
    assert work.rings == 18


@pytest.mark.closed_form
@pytest.mark.parametrize(("height_ft", "post_ft"), [(4.0, 6.0), (7.5, 7.5)])
def test_a_gate_may_have_a_height_of_its_own(height_ft: float, post_ft: float) -> None:
    """The leaf hangs 2 in over the ground. Its posts stay as high as the fence, or rise with the leaf; their eyes stay the fence's."""
    layout = yard()
    job = Job.model_validate({"gates": {"G1": {"line": "north", "station_ft": 20, "height_ft": height_ft}}})
    work = posts(job, survey_of(layout), layout)
    result = gate(job, survey_of(layout), layout, work).gates["G1"]
    assert result.leaves[0].height_ft == pytest.approx(height_ft - 2 / 12)
    assert straight_tops_ft(layout, work.hangs, 6.0)["P2"] == pytest.approx(post_ft)
    assert [hang.height_ft for hang in work.heights["P2"]] == [6.0]


@pytest.mark.closed_form
@pytest.mark.parametrize(("rise_in", "told"), [(1.9, False), (2.1, True), (-1.9, False), (-2.1, True)])
def test_a_rise_of_over_2_in_is_a_slope(rise_in: float, told: bool) -> None:
    assert ("gate_on_slope" in codes(gates(yard(end_level_ft=rise_in / 12)))) == told


@pytest.mark.closed_form
def test_ground_that_falls_leaves_the_gap_at_the_end_post() -> None:
    """The first post stands on ground 1 ft up; 4 in fall: both tops 6 ft over the start, the end post 4 in more over its own ground."""
    result = gates(yard(start_level_ft=1.0, end_level_ft=1 - 4 / 12))

    assert result.gates["G1"].post_heights_ft == (pytest.approx(6.0), pytest.approx(6 + 4 / 12))
    slope, gap = result.findings[:2]
    assert slope.says == 'The ground under gate G1 falls 4".'
    assert gap.says == 'There is up to 6" under gate G1, most toward P3, over the 3" rule.'


@pytest.mark.parametrize(("gap_in", "found"), [(3.0, []), (3.1, ["gate_gap_over_rule"])])
def test_a_gap_just_of_the_rule_is_allowed(gap_in: float, found: list[str]) -> None:
    assert codes(gates(yard(), rules={"gate": {"bottom_gap_in": gap_in}})) == found


@pytest.mark.closed_form
def test_a_post_that_is_too_short_to_stand_that_much_higher_is_to_be_longer() -> None:
    """A 96 in post of a 72 in fence may give 24 in, of which half of its 30 in sleeve holds 15: 9 in are left of the 20 that are wanted."""
    slope = next(finding for finding in gates(yard(end_level_ft=20 / 12)).findings if finding.code == "gate_on_slope")
    assert slope.do == 'Bring a post 11" longer for P2 so that both tops match, and trim the bottom rail to the slope.'
