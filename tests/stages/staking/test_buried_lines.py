"""What a stake reaches: sideways into the zone of a buried line, and down over one that lies deep."""

from dataclasses import replace
from typing import Any

import pytest

from engine.calc.geometry.plane import offset_point
from engine.job.model.job import Job
from engine.stages.bracing.stage import bracing
from engine.stages.cables.stage import cables
from engine.stages.fabric.stage import fabric
from engine.stages.layout.keep_outs import KeepOutId
from engine.stages.layout.stage import KeepOut, Layout
from engine.stages.posts.stage import posts
from engine.stages.staking.stage import Staking, staking
from tests.stages.layouts import Spot, layout_of, row, square, survey_of
from tests.stages.staking.test_stage import LINE_BAY, gas, staked

GAS = KeepOutId("utility", "gas")
SLANTED = (Spot("P1", 10, 20), Spot("P2", 22, 36))
"""20 ft up a 3-4-5 triangle, away from the origin."""


def beside(area: KeepOutId, from_off_ft: float, to_off_ft: float) -> KeepOut:
    """A zone along the slanted bay from 7 to 13 ft of it, between two distances to its right."""
    start, end = (10.0, 20.0), (22.0, 36.0)
    corners = ((7.0, from_off_ft), (13.0, from_off_ft), (13.0, to_off_ft), (7.0, to_off_ft))
    return KeepOut(area, "gas", tuple(offset_point(start, end, along, off) for along, off in corners), "the zone")


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("area", "from_off_ft", "to_off_ft", "stops"),
    [
        (GAS, 0.69, 3.0, True),
        (GAS, 0.73, 3.0, False),
        (GAS, -3.0, -0.69, True),
        (GAS, -3.0, -0.73, False),
        (KeepOutId("obstacle", "rock"), 0.1, 3.0, False),  # on rock it stops where it stands, no further
        (KeepOutId("obstacle", "rock"), -0.1, 3.0, True),
    ],
)
def test_a_stake_keeps_as_far_from_a_zone_as_it_reaches_sideways(
    area: KeepOutId, from_off_ft: float, to_off_ft: float, stops: bool
) -> None:
    """12 in at 45 degrees reach 8.485 in to either side: 0.707 ft."""
    bay = staked(layout_of({"north": SLANTED}, keep_outs=[beside(area, from_off_ft, to_off_ft)])).bays["P1-P2"]

    assert bay.uncovered == ((pytest.approx((7.0, 13.0)),) if stops else ())


def test_a_rock_that_is_called_like_a_deep_line_still_stops_a_stake() -> None:
    rock = KeepOut(KeepOutId("obstacle", "gas"), "rock", square(10, 0, 3).polygon, "the rock")

    assert staked(layout_of({"north": LINE_BAY}, keep_outs=[rock]), **gas(60.0)).bays["P1-P2"].uncovered == (pytest.approx((7, 13)),)


def test_a_line_of_unknown_depth_stops_a_stake_whatever_its_tolerance() -> None:
    zone = KeepOut(GAS, "gas", square(10, 0, 3).polygon, "the zone")
    bare = {"utilities": {"gas": {"kind": "gas", "points": ["A", "B"], "tolerance_in": 0}}}

    assert staked(layout_of({"north": LINE_BAY}, keep_outs=[zone]), **bare).findings[0].code == "apron_unstaked"


@pytest.mark.closed_form
def test_the_widest_gap_is_told_with_what_lies_there() -> None:
    """7 ft of pond, 5 ft of rock after it, and a stone before it that a stake misses by going in beside it."""
    pond = replace(square(5.5, 0, 3.5, "pond"), why="the pond")

    result = staked(layout_of({"north": LINE_BAY}, keep_outs=[square(1, 0, 0.2, "stone"), square(15.5, 0, 2.5), pond]))

    assert result.bays["P1-P2"].uncovered == (pytest.approx((2, 9)), pytest.approx((13, 18)))
    (found,) = result.findings
    assert found.says == "Between P1 and P2 no stake goes in from 2' 0\" to 9' 0\", and in 1 more gap: the pond."


@pytest.mark.closed_form
def test_a_gap_from_as_far_before_a_post_as_after_it() -> None:
    """A rock of 8 ft about the post at 20: neither bay lacks more than its 4 ft, both together do."""
    result = staked(layout_of({"north": LINE_BAY}, keep_outs=[square(20, 0, 4.0)]))

    assert [gap for bay in result.bays.values() for gap in bay.uncovered] == [pytest.approx((16, 24))]


@pytest.mark.closed_form
@pytest.mark.parametrize(("close_ft", "stations"), [(2.0, (0, 1.5, 3, 6, 9, 12)), (3.9, (0, 3, 6, 9, 12))])
def test_close_stakes_never_stand_wider_than_the_others(close_ft: float, stations: tuple[float, ...]) -> None:
    """3 ft is the most: close for 3 ft from the end post."""
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 12)]
    rules = {"staking": {"stake_max_ft": 3.0, "stake_close_ft": close_ft}}

    assert staked(layout_of({"north": spots}), rules=rules).bays["P1-P2"].stations_ft == pytest.approx(stations)


def test_spare_stakes_are_a_share_of_a_hundred() -> None:
    result = staked(layout_of({"north": row(41, 20.0)}), rules={"fabric": {"spare_pct": 100}})

    assert result.total == result.spare == 203


def bare(layout: Layout, **tables: Any) -> Staking:
    """Staked before any fabric is known."""
    job = Job.model_validate(tables)
    survey, work = survey_of(layout), posts(job, survey_of(layout), layout)
    hung = fabric(job, survey, layout, work, cables(job, survey, layout, work, bracing(job, survey, layout, work)))
    return staking(job, survey, layout, replace(hung, bays={}))


def test_a_bay_whose_apron_nobody_worked_out_is_staked_all_the_same() -> None:
    result = bare(layout_of({"north": LINE_BAY}))

    assert result.bays["P1-P2"].stations_ft == pytest.approx((0, 4, 8, 12, 16, 20))
    assert [item.key.what for item in result.items if item.subject == "P1-P2"] == ["flush", "tight"]
