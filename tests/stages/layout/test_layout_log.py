"""Today's supports: the accepted plan with the log's moves, swaps, additions and drops in their order."""

from math import atan2, degrees, isfinite
from typing import Any

import pytest

from engine.stages.layout.stage import Layout
from engine.walk import walk
from tests.demo import accepted
from tests.stages.flat_yards import coded, laid, logged, posts, ring, stations, straight, yard


def changed(*entries: dict[str, Any], **tables: Any) -> Layout:
    """60 ft of line with posts at 0, 20, 40 and 60, and what the log says happened."""
    return laid(straight(60, {"K": (0.5, 22.0)}, posts=posts("n", 0, 20, 40, 60), log=list(entries), **tables))


@pytest.mark.closed_form
def test_a_moved_post_stands_where_it_went_and_the_plan_stays() -> None:
    """2.5 on and 1.5 right of (0, 20): 1.5 east, 22.5 north. The bays are the straight distances; the cables turn there."""
    found = changed(logged("move", post="P2", along_ft=2.5, out_ft=1.5))
    moved = found.supports["P2"]
    assert (moved.xy, moved.planned, moved.station_ft, moved.offset_ft, moved.moved) == ((1.5, 22.5), (0, 20), 22.5, 1.5, True)
    assert found.bays["P1-P2"].plan_ft == pytest.approx((22.5**2 + 1.5**2) ** 0.5)
    assert found.bays["P2-P3"].plan_ft == pytest.approx((17.5**2 + 1.5**2) ** 0.5)
    assert moved.turn_deg == pytest.approx(-degrees(atan2(1.5, 22.5)) - degrees(atan2(1.5, 17.5)))
    assert coded(found, "bends")[0].says == "P2 stands 1' 6\" right of n, so the fence turns 9° there."
    assert not found.supports["P3"].moved


@pytest.mark.closed_form
def test_moves_add_up() -> None:
    found = changed(logged("move", 1, post="P2", along_ft=2), logged("move", 2, post="P2", along_ft=-0.5, out_ft=-1))
    assert found.supports["P2"].xy == (-1.0, 21.5)
    assert not coded(found, "bends")


@pytest.mark.closed_form
def test_a_post_moved_past_its_neighbour_changes_places_with_it() -> None:
    found = changed(logged("move", post="P2", along_ft=25))
    assert found.lines["n"].supports == ("P1", "P3", "P2", "P4")
    assert [bay.plan_ft for bay in found.bays.values()] == [40, 5, 15]


@pytest.mark.closed_form
def test_a_swap_hangs_the_cables_on_the_tree() -> None:
    found = changed(logged("swap", post="P2", tree="oak"), trees={"oak": {"point": "K", "diameter_in": 12}})
    tree = found.supports["P2"]
    assert (tree.support, tree.at, tree.xy, tree.station_ft, tree.offset_ft, tree.planned) == ("tree", "oak", (0.5, 22), 22, 0.5, (0, 20))
    assert "layout.P2.flag" not in {str(item.key) for item in found.items}


def test_a_swap_to_a_thin_tree_is_out_of_rule() -> None:
    found = changed(logged("swap", post="P2", tree="oak"), trees={"oak": {"point": "K", "diameter_in": 5}})
    assert coded(found, "tree_unfit")[0].says == 'P2 is on tree oak, which is 5" through, under 6".'
    assert not coded(found, "tree_too_thin")


@pytest.mark.closed_form
def test_added_and_dropped_posts() -> None:
    found = changed(logged("add", 1, post="P5", line="n", station_ft=30), logged("drop", 2, post="P2"))
    assert found.lines["n"].supports == ("P1", "P5", "P3", "P4")
    assert [bay.id for bay in found.bays.values()] == ["P1-P5", "P5-P3", "P3-P4"]
    assert found.supports["P5"].planned == (0, 30)
    assert coded(found, "bay_over")[0].subjects == ("P1-P5", "P1", "P5")


def test_the_log_is_followed_in_its_order() -> None:
    """Dropped, then added again somewhere else under the same id, then moved."""
    found = changed(
        logged("drop", 1, post="P2"), logged("add", 2, post="P2", line="n", station_ft=18), logged("move", 3, post="P2", along_ft=1)
    )
    assert stations(found, "n") == [0, 19, 40, 60]


def test_entries_that_name_no_post_of_the_plan_change_nothing_and_are_told() -> None:
    found = changed(logged("move", 1, post="P9", along_ft=1), logged("drop", 2, post="P2"), logged("move", 3, post="P2", along_ft=1))
    assert [finding.says for finding in coded(found, "log_without_post")] == [
        "The log has a move of P9, which isn't in the plan.",
        "The log has a move of P2, which isn't in the plan.",
    ]
    assert list(found.supports) == ["P1", "P3", "P4"]


def test_moves_before_the_plan_was_last_accepted_are_part_of_it_already() -> None:
    accepted = logged("planned", 2, supports=4)
    found = changed(logged("move", 1, post="P2", along_ft=2), accepted, logged("move", 3, post="P3", along_ft=1))
    assert stations(found, "n") == [0, 20, 41, 60]


def test_a_crews_own_note_about_the_layout_keeps_the_moves() -> None:
    found = changed(logged("move", 1, post="P2", along_ft=2), logged("note", 2, about="layout", text="String is up."))
    assert stations(found, "n") == [0, 22, 40, 60]


def test_a_logged_rock_is_a_keep_out_at_once() -> None:
    found = changed(logged("obstacle", 7, what="rock", line="n", station_ft=20.5, radius_ft=2))
    assert [area.id for area in found.keep_outs] == [("log", "e7", 0)]
    stands = coded(found, "in_keep_out")[0]
    assert (stands.level, stands.subjects) == ("fix", ("P2", "e7"))
    assert stands.says == "P2 stands in rock found at 20' 6\" on n."


def test_the_proposal_steps_round_a_logged_rock() -> None:
    rock = logged("obstacle", what="rock", line="n", station_ft=20, radius_ft=2)
    assert stations(laid(straight(40, log=[rock])), "n") == [0, 18, 40]


@pytest.mark.closed_form
def test_a_moved_tee_takes_the_other_lines_end_with_it() -> None:
    """b runs from (15, 20) to the tee at (0, 20), which is moved 2 forward along a to (0, 22)."""
    points = {"S": (0.0, 0.0), "E": (0.0, 40.0), "M": (0.0, 20.0), "X": (15.0, 20.0)}
    lines = {"a": ["S", "E"], "b": {"points": ["X", "M"], "end_meets": "line", "end_at": "a"}}
    plan = {**posts("a", 0, 20, 40, kinds={1: "tee"}), "P4": {"line": "b", "station_ft": 0, "kind": "end"}}
    found = laid(yard(points, lines, posts=plan, log=[logged("move", post="P2", along_ft=2)]))
    assert found.lines["b"].supports == ("P4", "P2")
    assert found.bays["P4-P2"].plan_ft == pytest.approx((15**2 + 2**2) ** 0.5)


def test_a_post_at_a_meeting_that_the_file_gives_to_the_ending_line_serves_both() -> None:
    points = {"S": (0.0, 0.0), "E": (0.0, 40.0), "M": (0.0, 20.0), "X": (15.0, 20.0)}
    lines = {"a": ["S", "E"], "b": {"points": ["X", "M"], "end_meets": "line", "end_at": "a"}}
    plan = {**posts("a", 0, 40), "P3": {"line": "b", "station_ft": 15, "kind": "tee"}, "P4": {"line": "b", "station_ft": 0, "kind": "end"}}
    found = laid(yard(points, lines, posts=plan))
    assert (found.lines["a"].supports, found.lines["b"].supports) == (("P1", "P3", "P2"), ("P4", "P3"))


@pytest.mark.closed_form
def test_a_closed_lines_first_post_moved_back_stands_round_the_corner() -> None:
    """1 ft back from Q1 (0, 0) along the last side, which runs west: (1, 0)."""
    plan = posts("r", *range(0, 160, 20), kinds=dict.fromkeys(range(8), "line"))
    found = laid(ring(posts=plan, log=[logged("move", post="P1", along_ft=-1)]))
    assert found.supports["P1"].xy == pytest.approx((1, 0))
    assert found.lines["r"].supports[0] == "P1"
    assert found.bays["P8-P1"].plan_ft == pytest.approx(19)
    assert found.bays["P1-P2"].plan_ft == pytest.approx((20**2 + 1) ** 0.5)
    assert (found.bays["P8-P1"].end_ft, found.bays["P1-P2"].start_ft) == (159, 0)


def test_an_end_post_moved_past_its_line_keeps_the_bay_on_the_line() -> None:
    found = changed(logged("move", post="P4", along_ft=3))
    assert found.supports["P4"].xy == (0, 63)
    assert (found.bays["P3-P4"].plan_ft, found.bays["P3-P4"].end_ft) == (23, 60)


def test_a_plan_without_posts_for_a_line_or_a_gate_or_a_corner_says_so() -> None:
    points = {"S": (0.0, 0.0), "C": (0.0, 40.0), "E": (20.0, 40.0), "X": (90.0, 0.0), "Y": (90.0, 20.0)}
    gates = {"g": {"line": "n", "station_ft": 10}}
    found = laid(yard(points, {"n": ["S", "C", "E"], "m": ["X", "Y"]}, gates=gates, posts=posts("n", 0, 20, 60)))
    assert [finding.says for finding in coded(found, "line_without_posts")] == ["Line m has no posts in the plan."]
    assert [finding.says for finding in coded(found, "point_without_post")] == ["No post stands at the turn at 40' 0\" on n."]
    gate = coded(found, "gate_without_posts")[0]
    assert (gate.says, gate.do) == (
        "Gate g doesn't have two gate posts in the plan.",
        "Lay n out afresh: that sets them from 10' 0\" to 15' 2\", or says why it can't. Or put the gate elsewhere.",
    )


def test_posts_of_a_line_that_has_no_place_are_left_out_without_a_word() -> None:
    job = straight(40, posts=posts("n", 0, 20, 40), log=[logged("move", post="P2", along_ft=1)])
    found = laid(job.model_copy(update={"points": {}}))
    assert (found.supports, coded(found, "log_without_post")) == ({}, [])


def test_moves_logged_before_any_plan_are_told() -> None:
    found = laid(straight(40, log=[logged("move", post="P2", along_ft=1)]))
    assert stations(found, "n") == [0, 20, 40]
    assert coded(found, "log_without_post")


def test_a_post_past_the_end_and_two_in_one_place() -> None:
    found = laid(straight(40, posts=posts("n", 0, 20, 20, 40, 300)))
    assert coded(found, "same_place")[0].says == "P2 and P3 stand in the same place."
    assert coded(found, "post_past_end")[0].says == "P5 is planned at 300' 0\", past the end of n at 40' 0\"."
    assert all(bay.plan_ft > 0 for bay in found.bays.values())


def test_nothing_comes_out_nan_after_odd_logs() -> None:
    entries = [logged("move", n, post=f"P{n % 5}", along_ft=30 - 17 * n, out_ft=n - 3) for n in range(8)]
    found = changed(*entries)
    figures = [(*support.xy, support.turn_deg, support.level_ft) for support in found.supports.values()]
    assert all(isfinite(figure) for row in figures for figure in row)
    assert all(bay.slope_ft >= bay.plan_ft > 0 for bay in found.bays.values())


def test_a_closed_lines_first_post_moved_back_past_the_last_changes_places_with_it() -> None:
    plan = posts("r", *range(0, 160, 20), kinds=dict.fromkeys(range(8), "line"))
    found = laid(ring(posts=plan, log=[logged("move", post="P1", along_ft=-25)]))
    assert found.lines["r"].supports == ("P2", "P3", "P4", "P5", "P6", "P7", "P1", "P8")
    assert found.supports["P1"].xy == pytest.approx((25, 0))
    assert [found.bays[name].plan_ft for name in ("P7-P1", "P1-P8")] == pytest.approx([15, 5])


def test_a_wall_found_to_hold_no_eyes_once_the_plan_stands_is_told_of_each_support_on_it() -> None:
    job = accepted()
    house = job.structures["house"].model_copy(update={"holds_eyes": False})
    before, after = walk(job), walk(job.model_copy(update={"structures": {**job.structures, "house": house}}))
    assert coded(before.layout, "wall_unfit") == []
    assert [(one.level, one.says) for one in coded(after.layout, "wall_unfit")] == [
        ("fix", "P1 is on house, which can't hold eyes."),
        ("fix", "P16 is on house, which can't hold eyes."),
    ]
