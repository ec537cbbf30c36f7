"""Stakes: where each goes along every bay, and where none may."""

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.geometry.ground import Profile
from engine.calc.lengths import format_ft_in
from engine.job.model.job import Job
from engine.stages.bracing.stage import bracing
from engine.stages.cables.stage import cables
from engine.stages.fabric.stage import fabric
from engine.stages.layout.keep_outs import KeepOutId
from engine.stages.layout.stage import KeepOut, Layout
from engine.stages.posts.stage import posts
from engine.stages.staking.stage import Staking, staking
from tests.stages.layouts import Spot, layout_of, row, square, survey_of

ROCK = KeepOutId("obstacle", "rock")
LINE_BAY = [Spot("P1", 0), Spot("P2", 20), Spot("P3", 40)]


def staked(layout: Layout, ground: dict[str, Profile] | None = None, **tables: Any) -> Staking:
    job = Job.model_validate(tables)
    survey = survey_of(layout, ground)
    work = posts(job, survey_of(layout), layout)
    hung = fabric(job, survey, layout, work, cables(job, survey, layout, work, bracing(job, survey, layout, work)))
    return staking(job, survey, layout, hung)


def gas(depth_in: float | None) -> dict[str, Any]:
    return {"utilities": {"gas": {"kind": "gas", "points": ["A", "B"], "depth_in": depth_in}}}


@pytest.mark.closed_form
def test_stakes_stand_closer_beside_end_posts() -> None:
    """Every 2 ft for 4 ft from an end, every 4 ft between; the stake at a line post counts once."""
    result = staked(layout_of({"north": row(3, 20.0)}))

    assert result.bays["P1-P2"].stations_ft == pytest.approx((0, 2, 4, 8, 12, 16, 20))
    assert result.bays["P2-P3"].stations_ft == pytest.approx((24, 28, 32, 36, 38, 40))
    assert (result.total, result.spare) == (13, 2)
    assert result.findings == ()


@pytest.mark.parametrize("kind", ["corner", "end", "gate", "tee"])
def test_every_post_that_is_no_line_post_has_closer_stakes(kind: Any) -> None:
    spots = [Spot("P1", 0), Spot("P2", 20, kind=kind), Spot("P3", 40)]

    result = staked(layout_of({"north": spots}))

    assert result.bays["P1-P2"].stations_ft == pytest.approx((0, 4, 8, 12, 16, 18, 20))
    assert result.bays["P2-P3"].stations_ft == pytest.approx((20, 22, 24, 28, 32, 36, 40))


def test_a_short_bay_between_corners_is_all_close() -> None:
    layout = layout_of({"north": [Spot("P1", 0, kind="end"), Spot("P2", 7, kind="end")]})

    assert staked(layout).bays["P1-P2"].stations_ft == pytest.approx((0, 1.75, 3.5, 5.25, 7))


@pytest.mark.closed_form
def test_a_dip_has_closer_stakes() -> None:
    """A V 1 ft deep takes the apron under 6 in between 5 and 15 ft: five spaces of 2 ft there."""
    ground = {"north": Profile((0.0, 10.0, 20.0, 40.0), (0.0, -1.0, 0.0, 0.0))}

    result = staked(layout_of({"north": LINE_BAY}), ground, rules={"cables": {"tension_lbf": 1000}})

    assert result.bays["P1-P2"].stations_ft == pytest.approx((0, 2.5, 5, 7, 9, 11, 13, 15, 17.5, 20), abs=0.05)
    assert "staking.P1-P2.dips_filled" in [str(item.key) for item in result.items]


def test_no_stake_stands_in_a_keep_out_and_its_neighbours_cover() -> None:
    result = staked(layout_of({"north": LINE_BAY}, keep_outs=[square(8, 0, 0.5)]))

    bay = result.bays["P1-P2"]
    assert bay.stations_ft == pytest.approx((0, 10 / 3, 20 / 3, 10, 40 / 3, 50 / 3, 20))
    assert (bay.uncovered, bay.blocked_by) == ((), (ROCK,))
    assert result.findings == ()


def test_a_gap_that_no_stake_may_fill_is_told() -> None:
    result = staked(layout_of({"north": LINE_BAY}, keep_outs=[square(10, 0, 3)]))

    assert result.bays["P1-P2"].uncovered == (pytest.approx((7, 13)),)
    assert {7.0, 13.0} <= {round(station, 6) for station in result.bays["P1-P2"].stations_ft}
    assert [(str(f.key), f.level, f.says, f.do) for f in result.findings] == [
        (
            "apron_unstaked:P1-P2",
            "fix",
            "Between P1 and P2 no stake goes in from 7' 0\" to 13' 0\": the rock.",
            "Weight the apron down there, or pin it in spots dug by hand.",
        )
    ]


@pytest.mark.closed_form
@pytest.mark.parametrize(("half_ft", "gaps"), [(1.9, ()), (3.0, ((17.0, 23.0),))])
def test_a_gap_across_a_post_is_told_too(half_ft: float, gaps: tuple[tuple[float, float], ...]) -> None:
    """A rock about the post at 20 ft: 3.8 ft from stake to stake, or 6."""
    result = staked(layout_of({"north": LINE_BAY}, keep_outs=[square(20, 0, half_ft)]))

    assert [pytest.approx(gap) for bay in result.bays.values() for gap in bay.uncovered] == list(gaps)
    assert [f.says for f in result.findings] == [
        f"Between P2 and P3 no stake goes in from {format_ft_in(low)} to {format_ft_in(high)}: the rock." for low, high in gaps
    ]


def test_a_keep_out_across_the_end_of_a_close_stretch_is_one_gap() -> None:
    """Close stakes reach 4 ft from the end; the slab from 3 to 7.5 ft is told whole."""
    result = staked(layout_of({"north": row(2, 20.0)}, keep_outs=[square(5.25, 0, 2.25)]))

    assert result.bays["P1-P2"].uncovered == (pytest.approx((3, 7.5)),)


@pytest.mark.parametrize(("from_ft", "told"), [(1.9, True), (2.0, False), (3.0, False), (4.1, False)])
def test_a_boulder_that_runs_on_past_a_close_stretch_is_told_for_what_of_it_is_too_wide_there(from_ft: float, told: bool) -> None:
    """3 1/2 ft of rock: within 4 ft of the end stakes stand 2 ft apart, past it 4 ft."""
    result = staked(layout_of({"north": row(2, 20.0)}, keep_outs=[square(from_ft + 1.75, 0, 1.75)]))

    assert bool(result.bays["P1-P2"].uncovered) == told


def test_a_bay_inside_a_keep_out_has_no_stakes_and_no_item_for_them() -> None:
    result = staked(layout_of({"north": LINE_BAY}, keep_outs=[square(10, 0, 15)]))

    assert result.bays["P1-P2"].stations_ft == ()
    assert result.bays["P1-P2"].uncovered == (pytest.approx((0, 20)),)
    assert [str(item.key) for item in result.items if item.subject == "P1-P2"] == ["staking.P1-P2.tight"]


@pytest.mark.parametrize(
    ("area", "kind", "stops"),
    [
        (KeepOutId("tree", "oak"), "tree", False),
        (KeepOutId("structure", "garden"), "wall", False),
        (KeepOutId("obstacle", "border"), "bed", False),
        (KeepOutId("log", "7"), "roots", False),
        (KeepOutId("log", "8"), "rock", True),
        (KeepOutId("obstacle", "drive"), "slab", True),
        (KeepOutId("deck", "back"), "deck", True),
        (KeepOutId("utility", "gas"), "gas", True),
    ],
)
def test_what_stops_a_stake(area: KeepOutId, kind: str, stops: bool) -> None:
    keep_out = KeepOut(area, kind, square(10, 0, 3).polygon, "it")

    bay = staked(layout_of({"north": LINE_BAY}, keep_outs=[keep_out]), **gas(None)).bays["P1-P2"]

    assert bool(bay.uncovered) == stops
    assert bay.blocked_by == ((area,) if stops else ())


@pytest.mark.parametrize(("depth_in", "stops"), [(26.0, True), (27.0, False)])
@pytest.mark.closed_form
def test_a_deep_line_is_passed_over_and_told(depth_in: float, stops: bool) -> None:
    """A 12 in stake at 45 degrees reaches 8.49 in; with 18 in of tolerance the line has to lie deeper than 26.49."""
    keep_out = KeepOut(KeepOutId("utility", "gas", 2), "gas", square(10, 0, 3).polygon, "the tolerance zone of the gas line")

    result = staked(layout_of({"north": LINE_BAY}, keep_outs=[keep_out]), **gas(depth_in))

    assert bool(result.bays["P1-P2"].uncovered) == stops
    if not stops:
        (note,) = result.findings
        assert (str(note.key), note.level) == ("stakes_over_line:gas:P1-P2", "note")
        assert note.says == 'Stakes reach 8 1/2" down over gas, which is marked as 27" deep.'


def test_a_post_moved_off_the_line_takes_its_stakes_along() -> None:
    """The keep-out lies on the bay as it stands, not on the line as it was drawn."""
    spots = [Spot("P1", 0), Spot("P2", 20, 3.0)]

    on_it = staked(layout_of({"north": spots}, keep_outs=[square(10, 1.5, 0.4)]))
    off_it = staked(layout_of({"north": spots}, keep_outs=[square(10, 0, 0.4)]))

    assert (on_it.bays["P1-P2"].blocked_by, off_it.bays["P1-P2"].blocked_by) == ((ROCK,), ())


def test_a_gate_has_no_stakes() -> None:
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 20, kind="gate"), Spot("P3", 25, kind="gate"), Spot("P4", 45, kind="end")]

    result = staked(layout_of({"north": spots}, gates={"P2-P3": "G1"}, keep_outs=[square(22, 0, 1)]))

    assert list(result.bays) == ["P1-P2", "P3-P4"]
    assert result.bays["P3-P4"].stations_ft[0] == 25.0
    assert result.findings == ()


def test_checklist_of_a_bay() -> None:
    items = staked(layout_of({"north": row(2, 20.0)})).items

    assert [(str(item.key), item.says) for item in items] == [
        ("staking.P1-P2.flush", "P1-P2: 8 stakes driven flush, so that a mower passes"),
        ("staking.P1-P2.tight", "P1-P2: apron tight and flat"),
    ]


def test_no_layout_gives_nothing() -> None:
    result = staked(layout_of({}))

    assert (result.bays, result.total, result.spare, result.findings, result.items) == ({}, 0, 0, (), ())


blocks = st.lists(st.tuples(st.floats(-2, 42), st.floats(0.1, 4)), max_size=4)


@settings(max_examples=80, deadline=None)
@given(blocks=blocks)
def test_stakes_keep_out_and_leave_no_untold_gap(blocks: list[tuple[float, float]]) -> None:
    keep_outs = [square(middle, 0, half, f"r{n}") for n, (middle, half) in enumerate(blocks)]

    result = staked(layout_of({"north": row(3, 20.0)}, keep_outs=keep_outs))

    for bay, (start, end) in zip(result.bays.values(), ((0.0, 20.0), (20.0, 40.0)), strict=True):
        stations = bay.stations_ft
        assert list(stations) == sorted(set(stations))
        assert all(abs(station - middle) > half - 0.02 for station in stations for middle, half in blocks)
        shared = [20.0] if start == 20.0 and 20.0 in result.bays["P1-P2"].stations_ft else []
        for low, high in pairwise([start, *shared, *stations, end]):
            told = any(a - 0.02 <= low and high <= b + 0.02 for a, b in bay.uncovered)
            assert high - low <= 4.0 + 1e-6 or told
    assert result.total == sum(len(bay.stations_ft) for bay in result.bays.values())
    gaps = [gap for bay in result.bays.values() for gap in bay.uncovered]
    for low, high in pairwise(sorted({station for bay in result.bays.values() for station in bay.stations_ft})):
        assert high - low <= 4.0 + 1e-6 or any(a < high and low < b for a, b in gaps)
