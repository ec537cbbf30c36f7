"""Pull in profile: what the cables lift in a dip and press down on a hump, and the posts to be pinned."""

from math import hypot, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.model.fence import SupportKind
from engine.job.model.item_key import item_key
from engine.stages.bracing.lifts import Lift, up_or_down
from engine.stages.bracing.stage import Bracing
from engine.stages.layout.stage import Layout
from tests.stages.bracing.test_stage import braced, still
from tests.stages.layouts import Spot, layout_of
from tests.stages.states import pull_in


def dip(low_ft: float, support: SupportKind = "driven") -> Layout:
    """Two 20 ft bays due east; the middle stands `low_ft` lower than both ends."""
    middle = Spot("P2", 20, level_ft=-low_ft, support=support)
    return layout_of({"north": [Spot("P1", 0, kind="end"), middle, Spot("P3", 40, kind="end")]})


@pytest.mark.closed_form
@pytest.mark.parametrize("low_ft", [15.0, -15.0])
def test_a_dip_lifts_its_post_and_a_hump_presses_it_down(low_ft: float) -> None:
    """3-4-5 slopes: two cables of 50 lb, 3/5 of each up in both bays. The ends are pulled level by 4/5 and the other way by 3/5."""
    pulls = still(dip(low_ft)).pulls

    assert pulls["P2"].lift_lbf == pytest.approx(2 * 50 * (0.6 + 0.6) * low_ft / 15)
    assert pulls["P2"].pull_lbf == pytest.approx(0.0, abs=1e-9)
    assert pulls["P1"].lift_lbf == pytest.approx(-2 * 50 * 0.6 * low_ft / 15)
    assert pulls["P1"].pull_lbf == pytest.approx(2 * 50 * 0.8)
    assert pulls["P1"].legs[0].thrust_lbf == pytest.approx(80 * 4.4895833 / 5.4791667, abs=1e-4)


@pytest.mark.closed_form
@pytest.mark.parametrize("grade", [0.0, 0.1, -0.3])
def test_level_lines_and_straight_slopes_lift_nothing(grade: float) -> None:
    spots = [Spot(f"P{n + 1}", 20.0 * n, level_ft=20 * grade * n, kind="line" if 0 < n < 3 else "end") for n in range(4)]
    pulls = braced(layout_of({"north": spots})).pulls
    assert [pulls[name].lift_lbf for name in ("P2", "P3")] == pytest.approx([0.0, 0.0], abs=1e-9)


@pytest.mark.closed_form
def test_the_coldest_day_lifts_by_its_tension() -> None:
    """A tight cable hardly sags, so cooling adds EA alpha dt: 49 wires of d/9, 12 million psi, 60 F."""
    ea = 49 * pi / 4 * (0.09375 / 9) ** 2 * 12e6
    pull = braced(dip(1.0)).pulls["P2"]
    assert pull_in(pull.pulls, "cold").lift_lbf == pytest.approx(pull.lift_lbf * (50 + ea * 6.5e-6 * 60) / 50, rel=0.005)


def row_with(levels_ft: list[float], support: SupportKind = "structure") -> Layout:
    """20 ft bays due east, both ends on what carries the pull."""
    last = len(levels_ft) - 1
    return layout_of(
        {
            "north": [
                Spot(f"P{n + 1}", 20.0 * n, level_ft=level, kind="line", support="driven")
                if 0 < n < last
                else Spot(f"P{n + 1}", 20.0 * n, level_ft=level, kind="end", support=support)
                for n, level in enumerate(levels_ft)
            ]
        }
    )


def test_a_post_lifted_off_its_sleeve_is_to_be_pinned() -> None:
    """1 ft in 20 both ways lifts by a tenth of what both cables pull, 151 lb on the coldest day with wire hung; the post weighs 8.7 lb."""
    result = braced(row_with([0.0, -1.0, 0.0]))
    (found,) = [finding for finding in result.findings if finding.code == "post_lifted"]
    both_lbf = result.strung["L1"].states.at("hung cold").both_lbf

    assert result.pulls["P2"].lift is not None
    assert result.pulls["P2"].lift.most_lbf == pytest.approx(both_lbf * 2 / hypot(20, 1))
    assert (found.level, found.subjects) == ("fix", ("P2",))
    assert found.says == "P2's post is lifted 16 lb by its cables, coldest day, wire hung; it weighs about 9 lb and stands loose."
    assert "in the ground isn't counted on" in found.do
    assert "P2: post pinned to its sleeve, its cables lift it 16 lb" in [item.says for item in result.items]

    ticked = braced(row_with([0.0, -1.0, 0.0]), checks={"bracing.P2.pinned": {"state": "done", "at": "2026-05-01T09:00:00Z", "by": "Kit"}})
    assert "post_lifted" not in [finding.code for finding in ticked.findings]
    assert "bracing.P2.pinned" in [str(item.key) for item in ticked.items]


@pytest.mark.closed_form
def test_braces_and_cables_lift_a_corner_post_together() -> None:
    """Two arms that climb 1 ft in 20 from a square corner: two braces and both cables of both arms, in one state."""
    spots = [Spot("P1", 0, level_ft=1, kind="end"), Spot("P2", 20, kind="corner"), Spot("P3", 20, 20, level_ft=1, kind="end")]
    result = still(layout_of({"north": spots}))
    pull = result.pulls["P2"]

    assert pull.lift is not None
    assert pull.lift.most_lbf == pytest.approx(sum(leg.uplift_lbf for leg in pull.legs) + 4 * 50 / hypot(20, 1), rel=1e-6)
    assert pull.lift.by == "its braces and cables"
    assert "P2" in next(finding for finding in result.findings if finding.code == "post_lifted").subjects


def test_every_braced_post_is_pinned_before_it_is_let_go() -> None:
    result = braced(row_with([0.0, 0.0, 0.0], "driven"))
    assert [str(item.key) for item in result.items if item.key.what == "pinned"] == ["bracing.P1.pinned", "bracing.P3.pinned"]
    (found,) = [finding for finding in result.findings if finding.code == "post_lifted"]
    assert found.subjects == ("P1", "P3")


def test_the_worst_of_several_lifted_posts_is_named_first() -> None:
    (found,) = [one for one in braced(row_with([0.0, -1.0, 0.0, -2.0, 0.0])).findings if one.code == "post_lifted"]
    assert found.subjects == ("P4", "P2")
    assert found.says.endswith("stands loose (1 more is lifted too).")


@pytest.mark.parametrize(("low_ft", "support"), [(0.4, "driven"), (-3.0, "driven"), (3.0, "tree")])
def test_a_light_lift_a_hump_and_a_tree_ask_for_no_pin(low_ft: float, support: SupportKind) -> None:
    result = braced(dip(low_ft, support))
    assert not [item for item in result.items if item.key == item_key("bracing.P2.pinned")]
    assert not [finding for finding in result.findings if finding.code == "post_lifted" and "P2" in finding.subjects]


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("cables_lbf", "braces_lbf", "weight_lb", "most_lbf", "lifts"),
    [
        (10.0, 4.0, 9.0, 14.0, True),
        (-5.0, 15.0, 9.0, 10.0, True),  # pressed down by its cables, lifted more by its brace
        (10.0, 0.0, 11.0, 10.0, False),
        (0.9, 0.0, 0.0, 0.9, False),  # under a pound nobody worries, whatever is known of the weight
        (1.4, 0.0, 0.0, 1.4, True),
        (1.4, 0.0, 2.0, 1.4, False),
    ],
)
def test_what_lifts_a_post_out(cables_lbf: float, braces_lbf: float, weight_lb: float, most_lbf: float, lifts: bool) -> None:
    lift = Lift("P2", cables_lbf, braces_lbf, "pulled", weight_lb)
    assert (lift.most_lbf, lift.lifts) == (most_lbf, lifts)


@pytest.mark.parametrize(("force_lbf", "says"), [(12.4, "up 12 lb"), (-4.0, "down 4 lb"), (0.4, ""), (-0.4, ""), (None, "")])
def test_a_force_in_profile_is_up_or_down_to_the_pound(force_lbf: float | None, says: str) -> None:
    assert up_or_down(force_lbf) == says


LOOPS = {"loop_min_ft": 1.0, "loop_max_ft": 5.0}


def iced_corner(one_ft: float, other_ft: float, climb_ft: float, ice_in: float, cold_F: float) -> Bracing:
    """A square corner between two ends, each a loop of one bay; the first bay climbs."""
    spots = [Spot("P1", 0, level_ft=climb_ft, kind="end"), Spot("P2", one_ft, kind="corner"), Spot("P3", one_ft, other_ft, "end")]
    return braced(layout_of({"north": spots}), rules={"cables": {"ice_in": ice_in, "cold_F": cold_F, **LOOPS}})


def most_lift_lbf(result: Bracing, post: str) -> float:
    """The worst of all states by every arm's cables and brace in that one, from the moments about the post's foot."""
    lifts = []
    for state in [pull.state for pull in result.strung["L1"].states.pulls]:
        lift = 0.0
        for leg, loop in zip(result.pulls[post].legs, result.strung.values(), strict=True):
            (bay,), pull = loop.bays, loop.states.at(state)
            level, rise = bay.plan_ft / bay.slope_ft, (1 if bay.from_id == post else -1) * bay.rise_ft / bay.slope_ft
            thrust = (3 * pull.bottom_lbf + 5.9791667 * pull.top_lbf) * level / 5.4791667
            lift += thrust * (5.4791667 - leg.foot_level_ft) / leg.foot_distance_ft + pull.both_lbf * rise
        lifts.append(lift)
    return max(lifts)


@pytest.mark.independent
def test_two_braces_worst_in_different_states_lift_their_post_in_one() -> None:
    """A short bay pulls hardest on the coldest day, a long one with ice on: neither brace is left out of the other's state."""
    result = iced_corner(6.0, 25.0, 0.0, 0.1, -20.0)
    pull = result.pulls["P2"]
    assert [leg.state for leg in pull.legs] == ["hung cold", "iced"]
    assert pull.lift is not None
    assert pull.lift.most_lbf == pytest.approx(most_lift_lbf(result, "P2"), rel=1e-6)
    assert pull.lift.most_lbf > 1.5 * max(leg.uplift_lbf for leg in pull.legs)


@pytest.mark.independent
@settings(max_examples=60, deadline=None)
@given(
    one_ft=st.floats(5, 25), other_ft=st.floats(5, 25), climb_ft=st.floats(-2, 2), ice_in=st.floats(0.01, 0.6), cold_F=st.floats(-30, 40)
)
def test_lift_is_never_less_than_that_of_any_one_state(
    one_ft: float, other_ft: float, climb_ft: float, ice_in: float, cold_F: float
) -> None:
    result = iced_corner(one_ft, other_ft, climb_ft, ice_in, cold_F)
    lift = result.pulls["P2"].lift
    assert lift is not None
    assert lift.most_lbf == pytest.approx(most_lift_lbf(result, "P2"), rel=1e-6)


def test_each_lifted_post_is_told_in_its_own_words() -> None:
    (found,) = [one for one in braced(row_with([0.0, -1.0, 0.0, -2.0, 0.0])).findings if one.code == "post_lifted"]
    assert found.says_of("P2").startswith("P2's post is lifted 16 lb by its cables")
    assert found.says_of("P2").endswith("stands loose.")
    assert found.says_of("P4").startswith("P4's post is lifted ")
    assert found.says_of("north") == found.says
