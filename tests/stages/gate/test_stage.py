"""Gates: opening, leaves, the swing over the ground both ways, and the gap under the leaf."""

from math import cos, hypot, pi, radians, sin
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.geometry.ground import Profile
from engine.checklist import WantedReading
from engine.job.model.job import Job
from engine.stages.gate.stage import Gates, gate
from engine.stages.layout.stage import Layout
from engine.stages.posts.stage import posts
from engine.stages.survey.dog_gaps import least_gap_in
from tests.stages.layouts import Spot, layout_of, survey_of

OPENING_FT = 5 + 2 / 12


def yard(opening_ft: float = OPENING_FT, start_level_ft: float = 0.0, end_level_ft: float = 0.0) -> Layout:
    """A straight line due east with a gate from 20 ft."""
    spots = [
        Spot("P1", 0, kind="end", level_ft=start_level_ft),
        Spot("P2", 20, kind="gate", level_ft=start_level_ft),
        Spot("P3", 20 + opening_ft, kind="gate", level_ft=end_level_ft),
        Spot("P4", 45, kind="end", level_ft=end_level_ft),
    ]
    return layout_of({"north": spots}, gates={"P2-P3": "G1"})


def bank() -> tuple[Layout, dict[str, Profile]]:
    """A gate against a corner: flat ground up to it, then the line turns north (left) and rises 3 ft in 20."""
    corner = 20 + OPENING_FT
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 20, kind="gate"), Spot("P3", corner, kind="gate"), Spot("P4", corner, 20, kind="end")]
    return layout_of({"north": spots}, gates={"P2-P3": "G1"}), {"north": Profile((0.0, corner, corner + 20), (0.0, 0.0, 3.0))}


def gates(layout: Layout, ground: dict[str, Profile] | None = None, asked: dict[str, Any] | None = None, **tables: Any) -> Gates:
    job = Job.model_validate({"gates": {"G1": {"line": "north", "station_ft": 20, **(asked or {})}}, **tables})
    return gate(job, survey_of(layout, ground), layout, posts(job, survey_of(layout), layout))


def codes(result: Gates) -> list[str]:
    return [finding.code for finding in result.findings]


def dog(shoulder_in: float) -> dict[str, Any]:
    return {"dogs": {"rex": {"weight_lb": 30, "shoulder_in": shoulder_in, "body_in": 20}}}


@pytest.mark.closed_form
def test_a_five_foot_leaf_in_a_six_foot_fence() -> None:
    """Leaf 5 ft by 5 ft 10 in; tube 1.375 and 1 in takeoff at each end; 1.2 lb a sq ft by rule; hinges 12 in from top and bottom."""
    work = gates(yard(), rules={"gate": {"leaf_weight_psf": 1.2}}).gates["G1"]
    (leaf,) = work.leaves
    tall = 70 / 12

    assert (work.hinge_post, work.latch_post) == ("P2", "P3")
    assert (work.opening_wanted_ft, work.opening_ft) == (pytest.approx(OPENING_FT), pytest.approx(OPENING_FT))
    assert (leaf.hinge, leaf.latch) == (pytest.approx((20, 0)), pytest.approx((25, 0)))
    assert (leaf.width_ft, leaf.height_ft) == (5.0, pytest.approx(tall))
    assert leaf.stile_ft == pytest.approx(tall - 3.375 / 12)
    assert leaf.rail_ft == pytest.approx(5 - 3.375 / 12)
    assert leaf.diagonal_ft == pytest.approx(hypot(5, tall))
    assert leaf.wire_ft == pytest.approx(hypot(5, tall) + 1)
    assert (leaf.wire_from, leaf.wire_to) == ("top hinge corner", "bottom latch corner")
    assert leaf.weight_lb == pytest.approx(35.0)
    assert leaf.hinge_spacing_ft == pytest.approx(tall - 2)
    assert leaf.hinge_pull_lbf == pytest.approx(35 * 5 / (2 * (tall - 2)))
    assert leaf.brace_force_lbf == pytest.approx(17.5 * hypot(5, tall) / tall)
    assert work.clear_width_in == pytest.approx(62 - 1 - 1.375)
    assert (work.fabric_wire_ft, work.fabric_mesh_ft) == (5.5, 5.5)
    assert codes(gates(yard())) == []


@pytest.mark.closed_form
def test_a_leaf_weighs_what_its_parts_weigh() -> None:
    """Tube 10.69 (D - t) t lb/ft; 14 ga wire 2 x 4 up to 3 ft; a mesh roll of 8 lb; corners, hinges, latch, turnbuckles."""
    tall = 70 / 12
    tubes = 2 * (tall + 5 - 2 * 3.375 / 12) * 10.69 * (1.375 - 0.065) * 0.065
    wire = 5 * 3 * 490 / 12 * pi / 4 * 0.08**2 * (1 / 2 + 1 / 4)
    mesh = 5 * (tall - 3) * 8 / (4 * 100)
    (leaf,) = gates(yard()).gates["G1"].leaves
    assert leaf.weight_lb == pytest.approx(tubes + wire + mesh + 4 * 0.5 + 2 * 1.0 + 1.5 + 2 * 0.3, abs=0.005)


def test_a_leaf_whose_parts_are_not_all_known_goes_by_the_square_foot() -> None:
    (leaf,) = gates(yard(), stock={"own": {"kind": "hinge"}}).gates["G1"].leaves
    assert leaf.weight_lb == pytest.approx(35.0)


@pytest.mark.closed_form
def test_flat_ground_leaves_the_bottom_gap_all_the_way_round() -> None:
    work = gates(yard()).gates["G1"]

    assert [(swing.side, swing.clear) for swing in work.swings] == [("left", True), ("right", True)]
    assert [swing.least_in for swing in work.swings] == pytest.approx([2.0, 2.0])
    assert (work.better, work.ground_rise_ft, work.bottom_gap_most_in) == ("left", 0.0, pytest.approx(2.0))
    left, right = work.swings
    assert len(left.leaves[0].arc) == len(right.leaves[0].arc) == 7
    assert (left.leaves[0].arc[0], left.leaves[0].arc[-1], right.leaves[0].arc[-1]) == (
        pytest.approx((25, 0)),
        pytest.approx((20, 5)),
        pytest.approx((20, -5)),
    )
    assert left.leaves[0].arc[2] == pytest.approx((20 + 5 * cos(radians(30)), 5 * sin(radians(30))))


def test_a_gate_hung_on_the_far_post_still_opens_left_of_the_line() -> None:
    work = gates(yard(), asked={"hinge": "end"}).gates["G1"]
    (leaf,) = work.leaves

    assert (work.hinge_post, work.latch_post) == ("P3", "P2")
    assert leaf.latch == pytest.approx((20 + 2 / 12, 0))
    assert work.swings[0].leaves[0].arc[-1] == pytest.approx((20 + OPENING_FT, 5))


def test_two_leaves_hang_one_on_each_post() -> None:
    result = gates(yard(10 + 2 / 12), asked={"leaves": 2})
    work = result.gates["G1"]

    assert [leaf.hinge for leaf in work.leaves] == [pytest.approx((20, 0)), pytest.approx((30 + 2 / 12, 0))]
    assert [leaf.latch for leaf in work.leaves] == [pytest.approx((25, 0)), pytest.approx((25 + 2 / 12, 0))]
    assert work.opening_wanted_ft == pytest.approx(10 + 2 / 12)
    assert work.clear_width_in == pytest.approx(122 - 2 * (2 / 3 + 1.375))
    assert (work.fabric_wire_ft, work.fabric_mesh_ft) == (11.0, 11.0)
    assert [str(item.key) for item in result.items if "diagonal" in item.key.what] == [
        "gate.G1.diagonal_a1",
        "gate.G1.diagonal_b1",
        "gate.G1.diagonal_a2",
        "gate.G1.diagonal_b2",
    ]


@pytest.mark.closed_form
def test_a_leaf_that_swings_over_a_bank_is_told_which_way_to_hang() -> None:
    """Square open to the left its tip lies 5 ft up the other run, 5 x 3/20 = 9 in higher: 2 - 9 = -7 in."""
    layout, ground = bank()

    result = gates(layout, ground, {"hinge": "end"})
    work = result.gates["G1"]

    left, right = work.swings
    assert (left.least_in, left.of_worst.at_deg, left.of_worst.at_ft, left.clear) == (pytest.approx(-7.0), 90.0, 5.0, False)
    assert (right.least_in, right.clear, work.better) == (pytest.approx(2.0), True, "right")
    (finding,) = [finding for finding in result.findings if finding.code == "gate_drags"]
    assert finding.says == "Gate G1 strikes the ground when it opens left, at 90° and 5' 0\" from the hinge."
    assert finding.do == "Hang it to open right."


def test_a_gate_that_opens_the_clear_way_is_not_told() -> None:
    layout, ground = bank()

    assert codes(gates(layout, ground, {"hinge": "end", "opens": "right"})) == []


def test_two_leaves_are_as_clear_as_the_worse_of_them() -> None:
    corner = 30 + 2 / 12
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 20, kind="gate"), Spot("P3", corner, kind="gate"), Spot("P4", corner, 20, kind="end")]
    layout = layout_of({"north": spots}, gates={"P2-P3": "G1"})
    ground = {"north": Profile((0.0, corner, corner + 20), (0.0, 0.0, 3.0))}

    left, right = gates(layout, ground, {"leaves": 2}).gates["G1"].swings

    assert (left.least_in, right.least_in) == (pytest.approx(-7.0), pytest.approx(2.0))
    assert left.leaves[0].arc[-1] == pytest.approx((20, 5))


def test_what_lies_beside_the_line_is_said_not_to_be_known() -> None:
    result = gates(yard())

    assert ([swing.known_share for swing in result.gates["G1"].swings], codes(result)) == ([0.0, 0.0], [])


@pytest.mark.closed_form
def test_a_slope_under_the_gate_opens_the_gap_on_its_low_side() -> None:
    """The level edge hangs 2 in over the high side: 2 + 4 = 6 in over the low side."""
    result = gates(yard(end_level_ft=4 / 12))

    work = result.gates["G1"]
    assert (work.ground_rise_ft, work.bottom_gap_most_in) == (pytest.approx(4 / 12), pytest.approx(6.0))
    slope, gap = result.findings[:2]
    assert (slope.code, slope.level) == ("gate_on_slope", "note")
    assert slope.says == 'The ground under gate G1 rises 4".'
    assert slope.do == 'Set P2 4" higher so that both tops match, and trim the bottom rail to the slope.'
    assert (gap.code, gap.level) == ("gate_gap_over_rule", "fix")
    assert gap.says == 'There is up to 6" under gate G1, most toward P2, over the 3" rule.'


def test_a_hollow_between_the_posts_counts_too() -> None:
    ground = {"north": Profile((0.0, 20.0, 22.0, 20 + OPENING_FT, 45.0), (0.0, 0.0, -0.25, 0.0, 0.0))}

    work = gates(yard(), ground).gates["G1"]

    assert (work.bottom_gap_most_in, work.ground_rise_ft) == (pytest.approx(5.0), 0.0)


@pytest.mark.parametrize(
    ("shoulder_in", "found"), [(21.0, ["gate_on_slope", "gate_gap_over_rule"]), (20.0, ["gate_on_slope", "gate_gap_lets_dog_out"])]
)
def test_a_gap_that_the_smallest_dog_gets_through_stops_the_job(shoulder_in: float, found: list[str]) -> None:
    result = gates(yard(end_level_ft=4 / 12), **dog(shoulder_in))

    assert codes(result) == found


def test_even_a_gap_within_the_rule_stops_the_job_for_a_tiny_dog() -> None:
    result = gates(yard(), **dog(6.5))

    assert codes(result) == ["gate_gap_lets_dog_out"]
    assert result.findings[0].level == "stop"
    assert result.findings[0].says == 'There is 2" under gate G1, and the smallest dog gets through anything over about 2" (judgement).'


def test_a_gap_that_was_read_is_left_to_its_reading() -> None:
    tick = {"gate.G1.bottom_gap": {"at": "2026-04-02T09:00:00Z", "by": "Lee", "reading_in": 2.5}}

    assert codes(gates(yard(end_level_ft=4 / 12), checks=tick)) == ["gate_on_slope"]


@pytest.mark.parametrize(("off_in", "words"), [(1.0, "wide"), (-1.0, "narrow")])
def test_posts_the_wrong_distance_apart(off_in: float, words: str) -> None:
    result = gates(yard(OPENING_FT + off_in / 12))

    (finding,) = [finding for finding in result.findings if finding.code == "gate_opening_off"]
    assert finding.subjects == ("G1", "P2", "P3")
    assert f', 1" too {words}; ' in finding.says
    assert finding.do.startswith("Settle P3 or P2 by an offer")


def test_an_opening_within_tolerance_or_read_is_not_told() -> None:
    tick = {"gate.G1.opening": {"at": "2026-04-02T09:00:00Z", "by": "Lee", "reading_ft": 5.17}}

    assert codes(gates(yard(OPENING_FT + 0.4 / 12))) == []
    assert codes(gates(yard(OPENING_FT + 1 / 12), checks=tick)) == []


@pytest.mark.parametrize(("mower_in", "found"), [(54.0, []), (60.0, ["gate_mower"])])
def test_the_mower_passes_or_is_told(mower_in: float, found: list[str]) -> None:
    assert codes(gates(yard(), rules={"gate": {"mower_width_in": mower_in}})) == found


@pytest.mark.parametrize(
    ("tables", "code"),
    [
        ({"fence": {"gate_tube": "none"}}, "tube_unknown"),
        ({"rules": {"gate": {"hinge_inset_in": 40}}}, "gate_not_worked"),
        ({"rules": {"gate": {"bottom_gap_in": 80}}}, "gate_not_worked"),
        ({"stock": {"gate-tube": {"diameter_in": 24}}, "rules": {"gate": {"corner_takeoff_in": 24}}}, "gate_not_worked"),
    ],
)
def test_a_gate_that_can_not_be_made_is_told_and_left_out(tables: dict[str, Any], code: str) -> None:
    result = gates(yard(), **tables)

    assert (result.gates, result.items) == ({}, ())
    assert [finding.code for finding in result.findings] == [code]


def test_a_gate_on_a_cliff_is_told_and_left_out() -> None:
    result = gates(yard(end_level_ft=9.0))

    assert [(f.code, f.says) for f in result.findings] == [
        ("gate_not_worked", "Gate G1 can't be worked out as it stands: higher than any gate hangs.")
    ]


def test_a_gate_without_posts_is_left_to_the_layout() -> None:
    result = gates(layout_of({"north": [Spot("P1", 0), Spot("P2", 20)]}))

    assert (result.gates, result.findings, result.items) == ({}, (), ())


def test_checklist_of_a_gate() -> None:
    items = {str(item.key): item for item in gates(yard()).items}

    assert list(items) == [
        "gate.G1.opening",
        "gate.G1.diagonal_a",
        "gate.G1.diagonal_b",
        "gate.G1.two_people",
        "gate.G1.hinge_plumb",
        "gate.G1.hung",
        "gate.G1.swing_clear",
        "gate.G1.latch_holds",
        "gate.G1.bottom_gap",
    ]
    opening = items["gate.G1.opening"].reading
    assert opening is not None
    assert (opening.wanted, opening.low, opening.high) == pytest.approx((OPENING_FT, OPENING_FT - 0.5 / 12, OPENING_FT + 0.5 / 12))
    square = items["gate.G1.diagonal_b"].reading
    assert square is not None
    assert (square.low, square.high) == pytest.approx((hypot(5, 70 / 12) - 0.25 / 12, hypot(5, 70 / 12) + 0.25 / 12))
    assert items["gate.G1.bottom_gap"].reading == WantedReading("in", 2.0, 0.0, 3.0)
    assert items["gate.G1.swing_clear"].says == "G1: swings clear, opening left"


@pytest.mark.closed_form
@pytest.mark.parametrize("which", ["diagonal_a1", "diagonal_b1", "diagonal_a2", "diagonal_b2"])
def test_each_diagonal_is_held_to_that_of_a_square_frame(which: str) -> None:
    """5 ft by 5 ft 10 in is 92.195 in from corner to corner, give or take the half inch of the rule."""
    result = gates(yard(10 + 2 / 12), asked={"leaves": 2}, rules={"gate": {"diagonal_tolerance_in": 0.5}})
    item = next(item for item in result.items if str(item.key) == f"gate.G1.{which}")

    assert item.reading is not None
    assert item.reading.wanted == pytest.approx(hypot(60, 70) / 12)
    assert [item.reading.passes(inches / 12) for inches in (91.5, 91.75, 92.75, 93.0)] == [False, True, True, False]
    assert ('within 1/2"' in item.says) == ("_b" in which)


def test_a_narrow_leaf_is_hung_by_one() -> None:
    items = gates(yard(4 + 2 / 12), asked={"leaf_width_ft": 4}).items

    assert "gate.G1.two_people" not in [str(item.key) for item in items]


def test_no_gates_give_nothing() -> None:
    job = Job()

    result = gate(job, survey_of(yard()), yard(), posts(job, survey_of(yard()), yard()))

    assert (result.gates, result.findings, result.items) == ({}, (), ())


def test_the_lowest_dog_sets_the_gap() -> None:
    job = Job.model_validate(
        {"dogs": {name: {"weight_lb": 9, "shoulder_in": tall, "body_in": 20} for name, tall in (("a", 22), ("b", 13))}}
    )

    assert least_gap_in(job.dogs.values()) == pytest.approx(3.9)
    assert least_gap_in([]) is None


@settings(max_examples=40, deadline=None)
@given(rise_ft=st.floats(-2, 2), width_ft=st.floats(2, 12), leaves=st.integers(1, 2), hinge=st.sampled_from(["start", "end"]))
def test_on_a_straight_line_both_ways_are_alike_and_never_under_the_bottom_gap(
    rise_ft: float, width_ft: float, leaves: int, hinge: str
) -> None:
    opening_ft = round(width_ft, 4) * leaves + 2 / 12
    spots = [Spot("P1", 0), Spot("P2", 20), Spot("P3", 20 + opening_ft, level_ft=rise_ft), Spot("P4", 60, level_ft=rise_ft)]
    layout = layout_of({"north": spots}, gates={"P2-P3": "G1"})

    work = gates(layout, asked={"leaf_width_ft": width_ft, "leaves": leaves, "hinge": hinge}).gates["G1"]

    left, right = work.swings
    assert left.least_in == pytest.approx(right.least_in, abs=1e-6)
    assert left.least_in >= 2.0 - 1e-6
    assert work.bottom_gap_most_in == pytest.approx(2 + 12 * abs(rise_ft))
    assert work.better == "left"
