"""What the coldest day adds at a support, which arms a tee that turns holds, and how the cables of a deck climb."""

from dataclasses import replace
from math import cos, pi, radians, sin

import pytest
from scipy.optimize import brentq

from engine.calc.geometry.ground import Profile
from engine.job.model.fence import SupportKind
from engine.job.model.job import Job
from engine.stages.bracing.stage import bracing
from engine.stages.posts.arms import MeetingBay, arms_of
from engine.stages.posts.depths import EyeHeights
from engine.stages.posts.heights import BayHeight
from engine.stages.posts.stage import posts
from engine.stages.posts.standing_supports import spans_of, stands_of
from tests.stages.bracing.test_stage import braced
from tests.stages.layouts import Spot, layout_of, square, survey_of
from tests.stages.states import pull_in

EA_LBF = 49 * pi / 4 * (0.09375 / 9) ** 2 * 12e6


def one_bay(bay_ft: float) -> list[Spot]:
    return [Spot("P1", 0, kind="end"), Spot("P2", bay_ft, kind="end")]


@pytest.mark.independent
@pytest.mark.parametrize("bay_ft", [20.0, 60.0])
def test_the_coldest_day_pulls_by_the_state_of_the_bay_s_cable(bay_ft: float) -> None:
    """20 lb at 60 F, cooled to 0: the long bay gives way by its sag."""
    hung = (0.016 * bay_ft) ** 2 / 24

    def state(after_lbf: float) -> float:
        return after_lbf**2 * (after_lbf - 20 + EA_LBF * (6.5e-6 * -60 + hung / 20**2)) - EA_LBF * hung

    pull = braced(layout_of({"north": one_bay(bay_ft)}), rules={"cables": {"tension_lbf": 20}}).pulls["P1"]
    assert pull_in(pull.pulls, "cold").level_lbf == pytest.approx(2 * brentq(state, 1.0, 200.0), rel=1e-6)


@pytest.mark.closed_form
def test_a_bay_of_inches_pulls_all_that_the_cold_adds() -> None:
    """Its cable hardly sags: EA alpha dt on top of 50 lb, two cables."""
    pull = braced(layout_of({"north": one_bay(0.4)})).pulls["P1"]
    assert pull_in(pull.pulls, "cold").level_lbf == pytest.approx(2 * (50 + EA_LBF * 6.5e-6 * 60), rel=1e-3)


def test_a_cable_that_the_stock_does_not_give_has_no_coldest_day() -> None:
    pull = braced(layout_of({"north": one_bay(20.0)}), fence={"cable": "none"}).pulls["P1"]
    assert (pull.pull_lbf, pull.worst_lbf, pull.worst_in) == (pytest.approx(100.0), pytest.approx(100.0), "pulled")


@pytest.mark.parametrize(("turn_deg", "toward"), [(45.0, ["P1", "P3", "P4"]), (44.9, ["P4"])])
def test_a_tee_whose_line_turns_like_a_corner_is_braced_along_all_its_arms(turn_deg: float, toward: list[str]) -> None:
    bent = Spot("P3", 20 + 20 * cos(radians(turn_deg)), -20 * sin(radians(turn_deg)), "end")
    through = [Spot("P1", 0, kind="end"), Spot("P2", 20, kind="tee"), bent]
    branch = [Spot("P2", 20, kind="tee"), Spot("P4", 20, 20, kind="end")]

    legs = braced(layout_of({"north": through, "spur": branch})).pulls["P2"].legs
    assert [leg.toward for leg in legs] == toward


@pytest.mark.closed_form
@pytest.mark.parametrize(("deck", "rises_ft"), [("porch", (3.5, -3.5)), ("", (1.0, -1.0))])
def test_cables_over_a_deck_climb_from_floor_to_floor(deck: str, rises_ft: tuple[float, float]) -> None:
    """The ground rises 1 ft; the floor is half a foot over it at P1 and 3 ft at P2. On the ground beside it only the 1 ft counts."""
    layout = layout_of({"north": [Spot("P1", 0, kind="end"), Spot("P2", 20, level_ft=1.0, kind="end")]})
    lifts_ft = {"P1": 0.5, "P2": 3.0}
    layout = replace(layout, supports={name: replace(one, lift_ft=lifts_ft[name]) for name, one in layout.supports.items()})
    (first, last), (bay,) = stands_of(layout).values(), spans_of(layout).values()
    hang = BayHeight(6.0, EyeHeights(3.0, 5.98), deck)

    arms = [*arms_of(first, [MeetingBay(bay, last, hang)]), *arms_of(last, [MeetingBay(bay, first, hang)])]
    assert tuple(arm.rise_ft for arm in arms) == rises_ft
    assert [arm.toward for arm in arms] == ["P2", "P1"]


def test_a_brace_along_an_arm_stands_on_the_ground_of_its_line_the_way_the_arm_goes() -> None:
    """The ground falls 1 ft a foot from the first post on and is level before the last: each foot stands on what is beside its post."""
    layout = layout_of({"north": one_bay(40.0)})
    ground = {"north": Profile((0.0, 10.0, 40.0), (0.0, -10.0, -10.0))}
    pulls = bracing(Job(), survey_of(layout, ground), layout, posts(Job(), survey_of(layout, ground), layout)).pulls
    levels_ft = [pulls[name].legs[0].foot_level_ft for name in ("P1", "P2")]
    assert levels_ft == pytest.approx([-pulls["P1"].legs[0].foot_distance_ft, -10.0])


OWN = {"diameter_in": 1.625, "wall_in": 0.065, "yield_psi": 30000.0, "length_ft": 8.0}


@pytest.mark.parametrize("lacks", ["diameter_in", "wall_in", "yield_psi"])
def test_a_post_that_lacks_a_size_has_no_strength_and_without_its_tube_no_weight(lacks: str) -> None:
    row = {"kind": "post", **{name: value for name, value in OWN.items() if name != lacks}}
    result = braced(layout_of({"north": one_bay(20.0)}), fence={"post": "own"}, stock={"own": row})

    assert "post_strength_unknown" in [finding.code for finding in result.findings]
    assert (result.pulls["P1"].share, result.pulls["P1"].post_weight_lb is None) == (None, lacks != "yield_psi")


@pytest.mark.closed_form
def test_a_post_weighs_what_its_tube_does_and_a_tree_nothing() -> None:
    """8 ft of 10.69 (D - t) t lb/ft."""
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 20, kind="end", support="tree")]
    pulls = braced(layout_of({"north": spots}), fence={"post": "own"}, stock={"own": {"kind": "post", **OWN}}).pulls

    assert pulls["P1"].post_weight_lb == pytest.approx(8 * 10.69 * (1.625 - 0.065) * 0.065, rel=2e-3)
    assert pulls["P2"].post_weight_lb is None


@pytest.mark.parametrize(("supports", "told"), [(("tree", "tree"), []), (("tree", "driven"), ["post_strength_unknown", "brace_unknown"])])
def test_stock_is_asked_for_only_where_something_is_driven_or_braced(supports: tuple[SupportKind, ...], told: list[str]) -> None:
    spots = [Spot(f"P{n}", 20 * n, kind="end", support=support) for n, support in enumerate(supports)]
    result = braced(layout_of({"north": spots}), fence={"post": "none", "brace": "none"})

    assert [finding.code for finding in result.findings if finding.subjects == ("job",)] == told


def test_a_brace_inside_a_bend_that_finds_no_clear_foot_is_told_of_its_post_alone() -> None:
    """A 30 degree bend is braced toward 195 degrees, 5 ft out at (18.7, -4.8): a rock of 2 ft about it."""
    bent = Spot("P3", 20 + 20 * cos(radians(30)), -20 * sin(radians(30)), "end")
    layout = layout_of({"north": [Spot("P1", 0, kind="end"), Spot("P2", 20), bent]}, keep_outs=[square(18.7, -4.8, 1.0)])

    told = [str(finding.key) for finding in braced(layout).findings if finding.subjects[0] == "P2"]
    assert told == ["bend_needs_brace:P2", "foot_in_keep_out:P2"]
