"""Gate posts as loaded by their leaf, shut and open, together with the cables."""

from math import hypot
from typing import Any

import pytest

from engine.stages.layout.stage import Layout
from tests.stages.bracing.test_stage import braced, still
from tests.stages.layouts import Spot, layout_of


def gateway(leaf_ft: float = 5.0, **asked: Any) -> tuple[Layout, dict[str, Any]]:
    """A line due east with a gate from P2 at 20 ft."""
    far = 20 + leaf_ft + 2 / 12
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 20, kind="gate"), Spot("P3", far, kind="gate"), Spot("P4", far + 20, kind="end")]
    given = {
        "gates": {"G1": {"line": "north", "station_ft": 20, "leaf_width_ft": leaf_ft, **asked}},
        "rules": {"gate": {"leaf_weight_psf": 1.2}},
    }
    return layout_of({"north": spots}, gates={"P2-P3": "G1"}), given


@pytest.mark.closed_form
def test_a_hinge_post_under_its_leaf_and_the_cables() -> None:
    """35 lb over 5 ft bends 87.5 lb ft toward the leaf; the cables 448.96 lb ft back along the fence. Post yields at 298.75 lb ft."""
    layout, given = gateway()
    pulls = still(layout, **given).pulls
    load = pulls["P2"].leaf
    assert load is not None

    assert (load.gates, load.weight_lb) == (("G1",), pytest.approx(35.0))
    assert load.hinge_pull_lbf == pytest.approx(35 * 5 / (2 * (70 / 12 - 2)))
    assert load.alone_lbf_ft == pytest.approx(87.5)
    assert load.shut_lbf_ft == pytest.approx(448.96 - 87.5, abs=0.01)
    assert load.open_lbf_ft == pytest.approx(hypot(448.96, 87.5), abs=0.01)
    assert load.share == load.alone_share == pytest.approx(87.5 / 298.75, abs=0.001)
    assert (pulls["P2"].braces, pulls["P3"].leaf) == (1, None)
    assert "hinge_post_bent" not in {finding.code for finding in still(layout, **given).findings}


@pytest.mark.closed_form
def test_a_low_gate_is_covered_from_the_rolls_of_the_fence() -> None:
    """A 4 ft gate in a 6 ft fence, a leaf 5 ft by 3 ft 10 in: wire to 2 ft of the 4 ft roll that weighs 1 lb a sq ft, mesh 1/4 lb."""
    rolls = {
        "wire-48": {"weight_lb": 400}, "wire-36": {"weight_lb": 600}, "mesh-48": {"weight_lb": 100}, "mesh-36": {"weight_lb": 900},
    }  # fmt: skip
    layout, given = gateway(height_ft=4.0)
    bare, covered = (braced(layout, **{**given, "rules": {}, "stock": {**rolls, **more}}) for more in ({}, {"wire-48": {"weight_lb": 800}}))
    loads = [result.pulls["P2"].leaf for result in (bare, covered)]

    assert loads[0] is not None
    assert loads[1] is not None
    assert loads[1].weight_lb - loads[0].weight_lb == pytest.approx(5 * 2 * 1.0, abs=0.01)


@pytest.mark.closed_form
@pytest.mark.parametrize(("opens", "along_lbf_ft"), [("left", 448.96 + 87.5), ("right", 448.96 - 87.5)])
@pytest.mark.parametrize(("hinge", "post"), [("start", "P2"), ("end", "P3")])
def test_an_open_leaf_bends_its_post_to_the_side_it_opens_to(opens: str, along_lbf_ft: float, hinge: str, post: str) -> None:
    """Cables pull the hinge post along the fence, and north along a branch: a leaf that opens left, north too, adds to the branch's."""
    far = 25 + 2 / 12
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 20, kind="gate"), Spot("P3", far, kind="gate"), Spot("P4", far + 20, kind="end")]
    at = 20 if post == "P2" else far
    branch = [Spot(post, at, kind="gate"), Spot("P9", at, 20, kind="end")]
    layout = layout_of({"north": spots, "branch": branch}, gates={"P2-P3": "G1"})
    load = still(layout, **gateway(hinge=hinge, opens=opens)[1]).pulls[post].leaf
    assert load is not None
    assert load.open_lbf_ft == pytest.approx(hypot(448.96, along_lbf_ft), abs=0.02)


def test_both_posts_of_a_two_leaf_gate_carry_one() -> None:
    layout, given = gateway(10.0, leaf_width_ft=5.0, leaves=2)
    loads = [braced(layout, **given).pulls[name].leaf for name in ("P2", "P3")]
    assert [load and load.weight_lb for load in loads] == [pytest.approx(35.0), pytest.approx(35.0)]


def test_a_wide_leaf_wants_a_stronger_post() -> None:
    """A 10 ft leaf of 70 lb bends 350 lb ft with the cables held by the brace: 117 % of 298.75, and 66 % is allowed."""
    layout, given = gateway(10.0)
    (found,) = [finding for finding in braced(layout, **given).findings if finding.code == "hinge_post_bent"]
    assert (found.level, found.subjects) == ("fix", ("P2", "G1"))
    assert "G1's leaf of about 70 lb, which bends it to 117 % of its yield with its brace holding the cables" in found.says
    assert found.do == (
        "Hang the leaf on a post at least 1.8 times as strong, or use a narrower leaf; "
        "a brace square to the line would stand under the open leaf."
    )


def test_a_post_as_strong_as_is_told_holds() -> None:
    """A leaf of 9.5 ft, 66.5 lb: 315.9 of 298.75 lb ft is 1.602 times the 66 % allowed, and 1.6 would be too little."""
    layout, given = gateway(9.5)
    (found,) = [finding for finding in braced(layout, **given).findings if finding.code == "hinge_post_bent"]
    assert found.do.startswith("Hang the leaf on a post at least 1.7 times as strong")


def test_an_unbraced_hinge_post_is_judged_with_the_cables() -> None:
    """Another line bends on from the gate post by 14 degrees: two arms meet at P2, no brace; the open leaf and the bend together."""
    _, given = gateway(10.0)
    bent = layout_of(
        {
            "north": [Spot("P1", 0, kind="end"), Spot("P2", 20, kind="gate"), Spot("P3", 30.1667, kind="gate"), Spot("P4", 50, kind="end")],
            "branch": [Spot("P2", 20, kind="gate"), Spot("P9", 40, 5, kind="end")],
        },
        gates={"P2-P3": "G1"},
    )
    result = braced(bent, **given)
    load = result.pulls["P2"].leaf
    assert load is not None
    assert result.pulls["P2"].braces == 0
    assert load.share == max(load.shut_share or 0, load.open_share or 0)
    (found,) = [finding for finding in result.findings if finding.code == "hinge_post_bent"]
    assert "with the cables' pull" in found.says
    assert found.do.endswith(", or brace the post along the fence.")


@pytest.mark.closed_form
def test_a_post_between_two_gates_is_bent_by_its_leaf_alone() -> None:
    """No cable ends there: shut and open the leaf bends it by the same 35 lb x 2.5 ft."""
    _, given = gateway()
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 20, kind="gate"), Spot("P3", 20 + 31 / 6, kind="gate"), Spot("P4", 30.5, kind="gate")]
    layout = layout_of({"north": [*spots, Spot("P5", 50, kind="end")]}, gates={"P2-P3": "G0", "P3-P4": "G1"})
    load = braced(layout, **given).pulls["P3"].leaf
    assert load is not None
    assert (load.shut_lbf_ft, load.open_lbf_ft, load.alone_lbf_ft) == pytest.approx((87.5, 87.5, 87.5))


def test_a_hinge_post_of_unknown_strength_is_not_judged() -> None:
    layout, given = gateway(10.0)
    result = braced(layout, **given, stock={"post-8": {"wall_in": 1.0}})
    load = result.pulls["P2"].leaf
    assert load is not None
    assert (load.share, load.alone_lbf_ft) == (None, pytest.approx(350.0))
    assert "hinge_post_bent" not in {finding.code for finding in result.findings}


@pytest.mark.closed_form
def test_a_leaf_shut_along_the_pull_counts_with_it() -> None:
    """A line bends at P2 by 4 in 20 ft to either side: 2 x 50 lb x 4/20.4 toward the shut leaf, at 3 and 5.98 ft; 350 lb ft of leaf."""
    _, given = gateway(10.0)
    crossed = layout_of(
        {
            "bend": [Spot("P8", 24, 20, kind="end"), Spot("P2", 20, kind="gate"), Spot("P9", 24, -20, kind="end")],
            "north": [Spot("P2", 20, kind="gate"), Spot("P3", 30.1667, kind="gate"), Spot("P4", 50, kind="end")],
        },
        gates={"P2-P3": "G1"},
    )
    pull = still(crossed, **given).pulls["P2"]
    cables_lbf_ft = 2 * 50 * 4 / hypot(4, 20) * (3 + 5.9791667)

    assert (pull.braces, pull.leaf is not None) == (0, True)
    assert pull.leaf is not None
    assert pull.leaf.shut_lbf_ft == pytest.approx(cables_lbf_ft + 350, abs=0.05)
    assert pull.leaf.open_lbf_ft == pytest.approx(hypot(cables_lbf_ft, 350), abs=0.05)
    assert pull.leaf.share == pytest.approx((cables_lbf_ft + 350) / 298.75, abs=0.003)


@pytest.mark.closed_form
def test_of_two_leaves_on_one_post_the_harder_hinge_pull_is_told() -> None:
    """5 ft and 3 ft leaves of 1.2 lb a sq ft, 70 in high, hinges 46 in apart: 35 lb x 5 / 2 and 21 lb x 3 / 2 over 46 in."""
    spots = [Spot("P1", 0, kind="end"), Spot("P2", 20, kind="gate"), Spot("P3", 20 + 31 / 6, kind="gate"), Spot("P4", 28.33, kind="gate")]
    layout = layout_of({"north": [*spots, Spot("P5", 50, kind="end")]}, gates={"P2-P3": "G0", "P3-P4": "G1"})
    gates = {
        "G0": {"line": "north", "station_ft": 20, "leaf_width_ft": 5, "hinge": "end"},
        "G1": {"line": "north", "station_ft": 25, "leaf_width_ft": 3},
    }
    load = braced(layout, gates=gates, rules={"gate": {"leaf_weight_psf": 1.2}}).pulls["P3"].leaf
    assert load is not None
    assert (load.gates, load.weight_lb) == (("G0", "G1"), pytest.approx(56.0))
    assert load.hinge_pull_lbf == pytest.approx(35 * 5 / 2 / (46 / 12))


def test_an_opening_whose_gate_is_gone_hangs_no_leaf() -> None:
    layout, given = gateway()
    assert braced(layout, **{**given, "gates": {}}).pulls["P2"].leaf is None
    other = {"G2": given["gates"]["G1"]}
    assert braced(layout, **{**given, "gates": other}).pulls["P2"].leaf is None
