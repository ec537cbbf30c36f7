"""Pull in profile: what the cables lift in a dip and press down on a hump, and the posts to be pinned."""

from math import pi

import pytest

from engine.job.model.fence import SupportKind
from engine.job.model.item_key import item_key
from engine.stages.bracing.lifts import Lift, up_or_down
from engine.stages.layout.stage import Layout
from tests.stages.bracing.test_stage import braced
from tests.stages.layouts import Spot, layout_of


def dip(low_ft: float, support: SupportKind = "driven") -> Layout:
    """Two 20 ft bays due east; the middle stands `low_ft` lower than both ends."""
    middle = Spot("P2", 20, level_ft=-low_ft, support=support)
    return layout_of({"north": [Spot("P1", 0, kind="end"), middle, Spot("P3", 40, kind="end")]})


@pytest.mark.closed_form
@pytest.mark.parametrize("low_ft", [15.0, -15.0])
def test_a_dip_lifts_its_post_and_a_hump_presses_it_down(low_ft: float) -> None:
    """3-4-5 slopes: two cables of 50 lb, 3/5 of each up in both bays. The ends are pulled level by 4/5 and the other way by 3/5."""
    pulls = braced(dip(low_ft)).pulls

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
    assert pull.cold_lift_lbf == pytest.approx(pull.lift_lbf * (50 + ea * 6.5e-6 * 60) / 50, rel=0.005)


def test_a_post_lifted_off_its_sleeve_is_to_be_pinned() -> None:
    """1 ft in 20 both ways lifts 9.99 lb, 13.9 lb in the cold; the post's 8 ft weigh 8.7 lb."""
    result = braced(dip(1.0))
    (found,) = [finding for finding in result.findings if finding.code == "eye_lifts_post"]

    assert (found.level, found.subjects) == ("fix", ("P2",))
    assert (
        found.says
        == "The cables climb away from P2 and lift its post 10 lb, 14 lb on the coldest day; it weighs about 9 lb and stands loose."
    )
    assert found.do.startswith("Pin post and sleeve together with a screw or bolt through both (common practice, no source)")
    assert "P2: post pinned to its sleeve, the cables lift it 14 lb" in [item.says for item in result.items]

    ticked = braced(dip(1.0), checks={"bracing.P2.pinned": {"state": "done", "at": "2026-05-01T09:00:00Z", "by": "Kit"}})
    assert "eye_lifts_post" not in [finding.code for finding in ticked.findings]
    assert "bracing.P2.pinned" in [str(item.key) for item in ticked.items]


def test_the_worst_of_several_lifted_posts_is_named_first() -> None:
    levels = [0.0, -1.0, 0.0, -2.0, 0.0]
    spots = [Spot(f"P{n + 1}", 20.0 * n, level_ft=level, kind="line" if 0 < n < 4 else "end") for n, level in enumerate(levels)]
    (found,) = [finding for finding in braced(layout_of({"north": spots})).findings if finding.code == "eye_lifts_post"]
    assert found.subjects == ("P4", "P2")
    assert found.says.endswith("stands loose (1 more is lifted too).")


@pytest.mark.parametrize(("low_ft", "support"), [(0.5, "driven"), (-3.0, "driven"), (3.0, "tree")])
def test_a_light_lift_a_hump_and_a_tree_ask_for_no_pin(low_ft: float, support: SupportKind) -> None:
    result = braced(dip(low_ft, support))
    assert not [item for item in result.items if item.key == item_key("bracing.P2.pinned")]
    assert not [finding for finding in result.findings if finding.code == "eye_lifts_post" and "P2" in finding.subjects]


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("target_lbf", "cold_lbf", "weight_lb", "most_lbf", "lifts"),
    [
        (10.0, 14.0, 9.0, 14.0, True),
        (10.0, 4.0, 9.0, 10.0, True),  # pulled on a day colder than any that is asked of it
        (10.0, None, 11.0, 10.0, False),
        (0.9, None, 0.0, 0.9, False),  # under a pound nobody worries, whatever is known of the weight
        (1.4, None, 0.0, 1.4, True),
        (1.4, None, 2.0, 1.4, False),
    ],
)
def test_what_lifts_a_post_out(target_lbf: float, cold_lbf: float | None, weight_lb: float, most_lbf: float, lifts: bool) -> None:
    lift = Lift("P2", target_lbf, cold_lbf, weight_lb)
    assert (lift.most_lbf, lift.lifts) == (most_lbf, lifts)


@pytest.mark.parametrize(("force_lbf", "says"), [(12.4, "up 12 lb"), (-4.0, "down 4 lb"), (0.4, ""), (-0.4, ""), (None, "")])
def test_a_force_in_profile_is_up_or_down_to_the_pound(force_lbf: float | None, says: str) -> None:
    assert up_or_down(force_lbf) == says
