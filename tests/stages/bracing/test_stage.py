"""Bracing: pulls at every support, which of them need a brace, and where its foot goes on the real ground."""

from math import cos, hypot, isclose, radians, sin
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.geometry.ground import Profile
from engine.checklist import WantedReading
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.stages.bracing.stage import Bracing, bracing
from engine.stages.layout.stage import Layout
from engine.stages.posts.stage import posts
from tests.stages.layouts import LIGHT, Spot, layout_of, row, square, survey_of


def braced(layout: Layout, ground: dict[str, Profile] | None = None, **tables: Any) -> Bracing:
    job = Job.model_validate(tables)
    survey = survey_of(layout, ground)
    return bracing(job, survey, layout, posts(job, survey, layout))


def still(layout: Layout, ground: dict[str, Profile] | None = None, **tables: Any) -> Bracing:
    """The same in a year of one day, with fabric that weighs nothing: every state is the one that the cables were pulled in."""
    rules, stock = tables.pop("rules", {}), tables.pop("stock", {})
    cables = {"cold_F": 60, "hot_F": 60, **rules.get("cables", {})}
    return braced(layout, ground, rules={**rules, "cables": cables}, stock={**LIGHT, **stock}, **tables)


def bend(turn_deg: float, kind: str = "line") -> Layout:
    """Two 20 ft bays, the second turned to the right of due east."""
    east, north = 20 + 20 * cos(radians(turn_deg)), -20 * sin(radians(turn_deg))
    middle = Spot("P2", 20, 0, kind="corner") if kind == "corner" else Spot("P2", 20)
    return layout_of({"north": [Spot("P1", 0, kind="end"), middle, Spot("P3", east, north, "end")]})


@pytest.mark.closed_form
def test_an_end_takes_both_cables_and_one_brace_under_its_bay() -> None:
    """Eyes at 3 and 5.979 ft, 50 lb each; band 6 in below the top eye; foot 5 ft out on flat ground."""
    end = still(layout_of({"north": row(3, 20.0)})).pulls["P1"]

    assert end.pull_lbf == pytest.approx(100.0)
    assert end.azimuth_deg == pytest.approx(90.0)
    assert end.moment_lbf_ft == pytest.approx(50 * (3 + 5.9791667), abs=1e-4)
    assert end.yield_lbf_ft == pytest.approx(0.1195 * 30000 / 12, abs=0.13)
    assert end.share == pytest.approx(448.96 / 298.7, abs=0.001)
    assert end.braces == 1
    (leg,) = end.legs
    assert leg.id == "P1-a"
    assert leg.foot == pytest.approx((5.0, 0.0))
    assert leg.foot_distance_ft == 5.0
    assert leg.thrust_lbf == pytest.approx(100 * 4.4895833 / 5.4791667, abs=1e-4)
    assert leg.uplift_lbf == pytest.approx(100 * 4.4895833 / 5, abs=1e-4)
    assert leg.axial_lbf == pytest.approx(hypot(leg.thrust_lbf, leg.uplift_lbf))
    assert leg.length_ft == pytest.approx(hypot(5, 5.4791667) + 0.5, abs=1e-6)
    assert (leg.stock_reaches, leg.clear, leg.toward) == (True, True, "P2")


@pytest.mark.closed_form
def test_a_band_holds_the_most_that_any_state_pushes_with_and_says_which() -> None:
    """Moments about the foot of the post in every state, with ice and without: 6 in under the top eye, foot 5 ft out."""
    for tables, words in (({}, "coldest day, wire hung"), ({"rules": {"cables": {"ice_in": 0.25}}}, "iced")):
        result = braced(layout_of({"north": row(3, 22.5)}), **tables)
        (leg,), states = result.pulls["P1"].legs, result.strung["L1"].states.pulls
        pushes = [(3 * pull.bottom_lbf + 5.9791667 * pull.top_lbf) / 5.4791667 for pull in states]
        assert leg.thrust_lbf == pytest.approx(max(pushes), rel=1e-6)
        assert leg.state == states[pushes.index(max(pushes))].state
        assert leg.band_words == f"lifted {leg.uplift_lbf:.0f} lb, pressed to the post {leg.thrust_lbf:.0f} lb, {words}"


def test_a_straight_row_is_braced_at_its_ends_only() -> None:
    result = braced(layout_of({"north": row(4, 20.0)}))

    assert [pull.braces for pull in result.pulls.values()] == [1, 0, 0, 1]
    assert result.brace_count == 2
    middle = result.pulls["P2"]
    assert (middle.pull_lbf, middle.azimuth_deg, middle.moment_lbf_ft, middle.share) == (0.0, None, 0.0, 0.0)
    assert middle.why == "runs straight through"


@pytest.mark.closed_form
def test_a_square_corner_gets_a_brace_along_each_arm() -> None:
    corner = braced(bend(90, "corner")).pulls["P2"]

    assert corner.pull_lbf == pytest.approx(141.42, abs=0.005)
    assert corner.azimuth_deg == pytest.approx(225.0)
    assert [leg.azimuth_deg for leg in corner.legs] == pytest.approx([270.0, 180.0])
    assert [leg.foot for leg in corner.legs] == [pytest.approx((15.0, 0.0)), pytest.approx((20.0, -5.0))]
    assert corner.why == "turns 90°: braces toward P1 and P3"


@pytest.mark.parametrize(("turn", "legs"), [(0, 0), (20, 0), (30, 1), (44.9, 1), (45, 2), (135, 2)])
@pytest.mark.closed_form
def test_braces_by_turn(turn: float, legs: int) -> None:
    """2 x 100 lb x sin(turn/2) at 4.49 ft passes 0.66 of 298.8 lb ft at 25.4 degrees."""
    pull = still(bend(turn)).pulls["P2"]

    assert pull.braces == len(pull.legs) == legs
    assert pull.pull_lbf == pytest.approx(200 * sin(radians(turn) / 2), abs=1e-6)


def test_a_shallow_bend_is_braced_on_its_inside_and_told() -> None:
    result = still(bend(30))
    (leg,) = result.pulls["P2"].legs

    assert leg.azimuth_deg == pytest.approx(195.0)
    assert leg.toward is None
    assert [finding.code for finding in result.findings] == ["bend_needs_brace", "post_lifted", "foot_gives"]
    assert (
        result.findings[0].says == "P2 isn't a corner, but 52 lb, wire hung, would bend it to 78 % of its yield, over 66 %; guidance only."
    )


def test_several_shallow_bends_are_one_finding_the_sharpest_named() -> None:
    """Turns of 26 and then 36 degrees: two notes once, one a post."""
    one, two = radians(26), radians(62)
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 20), Spot("P3", 20 + 20 * cos(one), -20 * sin(one))]
    last = Spot("P4", spots[2].east_ft + 20 * cos(two), spots[2].north_ft - 20 * sin(two), "end")
    (found,) = [one for one in still(layout_of({"north": [*spots, last]})).findings if one.code == "bend_needs_brace"]

    assert (found.level, found.subjects) == ("note", ("P3", "P2"))
    assert found.says.startswith(
        "P3 isn't a corner, but 62 lb, wire hung, would bend it to 93 % of its yield, over 66 % (1 more is bent too"
    )
    assert found.says_of("P2").startswith("P2 isn't a corner, but 45 lb, wire hung, would bend it to 68 %")
    assert found.do == "Give each one brace on the inside of the bend, its sleeve driven all the way."


def test_a_stouter_post_stands_the_same_bend_alone() -> None:
    result = still(bend(30), stock={"post-8": {"diameter_in": 2.375, "wall_in": 0.13}})

    assert result.pulls["P2"].braces == 0
    assert result.pulls["P2"].why == "bent to 19 % of yield: the post holds it"


def test_a_tee_is_braced_along_its_branch() -> None:
    through = [Spot("P1", 0, kind="end"), Spot("P2", 20, kind="tee"), Spot("P3", 40, kind="end")]
    branch = [Spot("P2", 20, kind="tee"), Spot("P4", 20, 20, kind="end")]

    tee = braced(layout_of({"north": through, "spur": branch})).pulls["P2"]

    assert tee.pull_lbf == pytest.approx(100.0)
    assert tee.azimuth_deg == pytest.approx(0.0)
    assert [leg.toward for leg in tee.legs] == ["P4"]
    assert tee.legs[0].foot == pytest.approx((20.0, 5.0))
    assert tee.why == "lines meet here: a brace toward P4"


def test_two_lines_that_meet_end_to_end_balance_like_one() -> None:
    one = [Spot("P1", 0, kind="end"), Spot("P2", 20, kind="end")]
    other = [Spot("P2", 20, kind="end"), Spot("P3", 40, kind="end")]

    assert braced(layout_of({"north": one, "east": other})).pulls["P2"].braces == 0


def test_a_gate_carries_no_cable_so_its_posts_are_ends() -> None:
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 20, kind="gate"), Spot("P3", 25, kind="gate"), Spot("P4", 45, kind="end")]

    pulls = braced(layout_of({"north": spots}, gates={"P2-P3": "G1"})).pulls

    assert [leg.foot for leg in pulls["P2"].legs] == [pytest.approx((15.0, 0.0))]
    assert [leg.foot for leg in pulls["P3"].legs] == [pytest.approx((30.0, 0.0))]


def test_a_post_between_two_gates_carries_nothing() -> None:
    spots = [Spot(f"P{n}", 5.0 * n, kind="gate") for n in (1, 2, 3)]

    pull = braced(layout_of({"north": spots}, gates={"P1-P2": "G1", "P2-P3": "G2"})).pulls["P2"]

    assert (pull.pull_lbf, pull.braces, pull.why) == (0.0, 0, "carries no cable")


def test_trees_and_structures_take_the_pull_unbraced() -> None:
    spots = [Spot("P1", 0, kind="end", support="structure"), Spot("P2", 20, kind="corner", support="tree"), Spot("P3", 20, 20, kind="end")]

    pulls = braced(layout_of({"north": spots})).pulls

    assert [pulls[name].braces for name in ("P1", "P2", "P3")] == [0, 0, 1]
    assert (pulls["P1"].yield_lbf_ft, pulls["P1"].share, pulls["P1"].why) == (None, None, "the structure carries the pull")


@pytest.mark.closed_form
def test_a_foot_downhill_comes_nearer_so_that_the_stock_brace_reaches() -> None:
    """Ground falls 8 in 100 ft: 5 ft out takes 8.22 ft, 4.75 ft 8.04 ft, 4.5 ft 7.87 ft of brace."""
    layout = layout_of({"north": [Spot("P1", 0, kind="end"), Spot("P2", 20, kind="end", level_ft=-1.6)]})

    result = braced(layout)
    (leg,) = result.pulls["P1"].legs

    assert leg.foot_distance_ft == 4.5
    assert leg.foot_level_ft == pytest.approx(-0.36)
    assert leg.length_ft == pytest.approx(hypot(4.5, 5.4791667 + 0.36) + 0.5)
    assert leg.stock_reaches


def test_a_brace_that_nowhere_reaches_is_told() -> None:
    layout = layout_of({"north": [Spot("P1", 0, kind="end"), Spot("P2", 20, kind="end", level_ft=-4)]})

    result = braced(layout)

    assert str(result.findings[0].key) == "brace_too_short:P1:P2"
    assert result.findings[0].says == "P1's brace toward P2 is 8' 8 1/4\" long, over the 8' 0\" of the stock brace."
    assert not result.pulls["P1"].legs[0].stock_reaches


def test_the_ground_under_the_foot_is_that_of_the_line() -> None:
    ground = {"north": Profile((0.0, 2.0, 8.0, 40.0), (0.0, 1.0, 1.0, 0.0))}

    (leg,) = braced(layout_of({"north": row(3, 20.0)}), ground).pulls["P1"].legs

    assert leg.foot_level_ft == 1.0
    assert leg.length_ft == pytest.approx(hypot(5, 4.4791667) + 0.5)


def test_a_foot_is_moved_clear_of_a_keep_out() -> None:
    layout = layout_of({"north": row(3, 20.0)}, keep_outs=[square(5, 0, 0.1)])

    (leg,) = braced(layout).pulls["P1"].legs

    assert (leg.foot_distance_ft, leg.clear) == (4.75, True)


def test_a_foot_that_can_not_be_cleared_is_told() -> None:
    layout = layout_of({"north": row(3, 20.0)}, keep_outs=[square(5, 0, 0.9)])

    result = braced(layout)

    assert str(result.findings[0].key) == "foot_in_keep_out:P1:P2"
    assert result.findings[0].says == "P1's brace toward P2: the foot 5' 0\" out stands in a keep-out, the rock."
    assert not result.pulls["P1"].legs[0].clear


def test_a_foot_past_a_short_bay_is_told() -> None:
    result = braced(layout_of({"north": [Spot("P1", 0, kind="end"), Spot("P2", 4, kind="end")]}))

    assert [str(finding.key) for finding in result.findings[:2]] == ["foot_past_bay:P1:P2", "foot_past_bay:P2:P1"]


def test_a_band_below_the_ground_finds_no_footing() -> None:
    result = braced(layout_of({"north": row(2, 20.0)}), rules={"bracing": {"band_below_eye_in": 72}})

    assert [finding.code for finding in result.findings] == ["brace_no_footing", "brace_no_footing"]
    assert (result.pulls["P1"].braces, result.pulls["P1"].legs) == (1, ())


def test_stock_that_lacks_sizes_gives_findings() -> None:
    result = braced(bend(30), fence={"post": "none", "brace": "none"})

    assert [finding.code for finding in result.findings] == ["post_strength_unknown", "brace_unknown", "post_lifted"]
    assert result.pulls["P2"].why == "the post's yield isn't known"
    assert not result.pulls["P1"].legs[0].stock_reaches


def test_a_wall_thicker_than_its_tube_is_an_unknown_strength() -> None:
    result = braced(bend(30), stock={"post-8": {"wall_in": 1.0}})

    assert result.findings[0].code == "post_strength_unknown"


def test_checklist_asks_for_each_leg_and_the_post() -> None:
    items = braced(bend(90, "corner")).items

    assert [str(item.key) for item in items if item.subject == "P2"] == [
        "bracing.P2.foot_a",
        "bracing.P2.solid_a",
        "bracing.P2.band_a",
        "bracing.P2.foot_b",
        "bracing.P2.solid_b",
        "bracing.P2.band_b",
        "bracing.P2.plumb",
        "bracing.P2.footed",
        "bracing.P2.pinned",
    ]
    foot = next(item for item in items if item.key == item_key("bracing.P2.foot_b"))
    assert foot.says == "P2: brace b toward P3, foot out from the post"
    assert foot.reading == WantedReading("ft", 5.0, 4.5, 5.5)


def test_no_layout_gives_nothing() -> None:
    result = braced(layout_of({}))

    assert (result.pulls, result.brace_count, result.findings, result.items) == ({}, 0, (), ())


def test_supports_on_one_spot_make_no_direction() -> None:
    level = {"north": Profile((0.0,), (0.0,))}

    result = braced(layout_of({"north": [Spot("P1", 0, kind="end"), Spot("P2", 0, kind="end")]}), level)

    assert [pull.braces for pull in result.pulls.values()] == [0, 0]


@settings(max_examples=60)
@given(turn=st.floats(1, 179), tension=st.floats(1, 500), spin=st.floats(0, 359))
def test_turning_the_yard_turns_every_foot_with_it(turn: float, tension: float, spin: float) -> None:
    def laid(by_deg: float) -> Bracing:
        a, b = radians(90 + by_deg), radians(90 + by_deg + turn)
        end = (20 * sin(a) + 20 * sin(b), 20 * cos(a) + 20 * cos(b))
        spots = [Spot("P1", 0, kind="end"), Spot("P2", 20 * sin(a), 20 * cos(a), "corner"), Spot("P3", *end, "end")]
        return braced(layout_of({"north": spots}), rules={"cables": {"tension_lbf": tension}, "layout": {"corner_deg": 0.5}})

    still, spun = laid(0).pulls["P2"], laid(spin).pulls["P2"]

    assert spun.pull_lbf == pytest.approx(still.pull_lbf)
    for one, other in zip(still.legs, spun.legs, strict=True):
        assert other.axial_lbf == pytest.approx(one.axial_lbf)
        assert isclose((other.azimuth_deg - one.azimuth_deg - spin + 180) % 360, 180, abs_tol=1e-6)
    summed = hypot(
        sum(leg.thrust_lbf * sin(radians(leg.azimuth_deg)) for leg in spun.legs),
        sum(leg.thrust_lbf * cos(radians(leg.azimuth_deg)) for leg in spun.legs),
    )
    assert summed * 5.4791667 == pytest.approx(spun.moment_lbf_ft, rel=1e-5)
