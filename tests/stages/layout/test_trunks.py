"""A fence goes round a trunk: what is proposed clears it, and what is laid out afresh stays clear."""

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.change.fresh_layout import fresh_layout
from engine.stages.layout.stage import Layout, layout
from engine.stages.survey.stage import survey
from engine.walk import walk
from tests.demo import accepted, demo
from tests.stages.flat_yards import coded, laid, straight


def nearest_ft(found: Layout, middle: tuple[float, float]) -> float:
    """How near the fence comes to the middle of a trunk, by shapely."""
    bays = [shapely.LineString([found.supports[bay.from_id].xy, found.supports[bay.to_id].xy]) for bay in found.bays.values()]
    return float(min(shapely.distance(bay, shapely.Point(middle)) for bay in bays))


@pytest.mark.independent
def test_a_proposal_goes_past_a_trunk_by_a_post_set_off_its_line() -> None:
    """A 4 in dogwood on the demo's line: 2 in of trunk and 6 in of gap, in whole inches of a move."""
    surveyed = survey(demo())
    found = layout(demo(), surveyed)

    assert found.supports["P10"].offset_ft == pytest.approx(-11 / 12, abs=1e-4)
    assert 8 / 12 - 0.005 <= nearest_ft(found, surveyed.points[demo().trees["dogwood"].point].xy) < 9 / 12
    assert coded(found, "through_trunk") == []


@pytest.mark.independent
@settings(max_examples=40, deadline=None)
@given(at_ft=st.floats(10, 80), aside_ft=st.floats(-0.4, 0.4), inches=st.floats(2, 5.5))
def test_no_proposal_runs_through_a_thin_trunk(at_ft: float, aside_ft: float, inches: float) -> None:
    """Anywhere along 90 ft of four bays that have 2 1/2 ft to spare, 10 ft or more from its ends."""
    found = laid(straight(90, {"T": (aside_ft, at_ft)}, trees={"t": {"point": "T", "diameter_in": inches}}))

    assert nearest_ft(found, (aside_ft, at_ft)) >= inches / 24 - 0.03
    assert coded(found, "through_trunk") == []


@pytest.mark.closed_form
@pytest.mark.parametrize(("reach_ft", "told"), [(1.5, False), (0.5, True)])
def test_no_post_is_set_further_aside_than_it_may_be_moved(reach_ft: float, told: bool) -> None:
    """A 4 in trunk half way from the wall to P2 on the line: 8 in aside half way is 16 in at P2."""
    bay_ft = laid(straight(90)).supports["P2"].station_ft
    trees = {"t": {"point": "T", "diameter_in": 4}}
    found = laid(straight(90, {"T": (0.0, bay_ft / 2)}, trees=trees, rules={"layout": {"move_reach_ft": reach_ft}}))

    assert bool(coded(found, "through_trunk")) == told
    assert abs(found.supports["P2"].offset_ft) == pytest.approx(0.0 if told else 17 / 12, abs=1 / 12)


def test_where_the_bays_have_nothing_to_spare_it_is_told() -> None:
    """Four bays of 25 ft: a post set aside would make one longer."""
    found = laid(straight(100, {"T": (0.0, 12.0)}, trees={"t": {"point": "T", "diameter_in": 4}}))

    (told,) = coded(found, "through_trunk")
    assert told.do == "Draw the line clear of it, or accept the plan and settle P1 or P2 by an offer."


def test_laid_out_afresh_the_fence_stays_clear_of_the_trunk() -> None:
    job = accepted()
    assert job.posts["P10"].offset_ft == pytest.approx(-11 / 12, abs=1e-4)
    fresh = fresh_layout(job, walk(job))
    assert fresh.posts["P10"].offset_ft == pytest.approx(-11 / 12, abs=1e-4)
    assert fresh.same
