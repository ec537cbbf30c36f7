"""How high a leaf is: as the fence where it hangs, or as its gate says."""

import pytest

from engine.job.model.job import Job
from engine.stages.gate.stage import gate
from engine.stages.posts.heights import heights_at
from engine.stages.posts.stage import posts
from engine.stages.posts.top_line import straight_tops_ft
from tests.stages.gate.test_stage import gates, yard
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
    work = posts(job, layout)
    result = gate(job, survey_of(layout), layout, work).gates["G1"]
    assert result.leaves[0].height_ft == pytest.approx(height_ft - 2 / 12)
    assert straight_tops_ft(layout, work.hangs, 6.0)["P2"] == pytest.approx(post_ft)
    assert [hang.height_ft for hang in heights_at(layout, work.hangs)["P2"]] == [6.0]
