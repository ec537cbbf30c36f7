"""Layout: the proposal's supports, bays and ids, worked by hand on flat yards."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.model.job import Job
from engine.stages.layout.stage import READS, layout, planned_posts
from engine.stages.survey.stage import survey
from tests.stages import yards
from tests.stages.flat_yards import coded, laid, posts, ring, stations, straight, yard
from tests.test_done_means_done import all_ticked


@pytest.mark.closed_form
def test_plain_yard_has_its_supports_shared_out_evenly() -> None:
    """A to T1: 60 ft, 3 bays of 20. T1 to the gate: 15. Gate: 5 ft and 2 in. Gate to T2: 19' 10". T2 to B: 60 ft, 3 of 20."""
    found = laid(yards.plain())
    kinds = [support.kind for support in found.supports.values()]
    assert stations(found, "fence") == pytest.approx([0, 20, 40, 60, 75, 80 + 1 / 6, 100, 120, 140, 160], abs=1e-3)
    assert kinds == ["end", "line", "line", "corner", "gate", "gate", "corner", "line", "line", "end"]
    assert list(found.supports) == [f"P{n}" for n in range(1, 11)]
    assert [name for name, support in found.supports.items() if support.support == "structure"] == ["P1", "P10"]
    assert {bay.id: bay.gate for bay in found.bays.values() if bay.gate} == {"P5-P6": "G1"}
    assert (found.supports["P5"].gate, found.supports["P6"].gate, found.supports["P4"].gate) == ("G1", "G1", None)
    assert not found.accepted


@pytest.mark.closed_form
def test_posts_keep_clear_of_a_gas_line_and_stay_as_even_as_they_can() -> None:
    """Blocked from 18.5 to 21.5: 18.5 with 20.75 twice and 21.5 with 19.25 twice have equal squares; the lower station wins."""
    gas = {"gas": {"kind": "gas", "points": ["G1", "G2"]}}
    found = laid(straight(60, {"G1": (-50.0, 20.0), "G2": (50.0, 20.0)}, utilities=gas))
    assert stations(found, "n") == [0, 18.5, 39.25, 60]
    assert not coded(found, "in_keep_out")


@pytest.mark.closed_form
def test_a_sound_tree_beside_the_line_saves_a_post() -> None:
    """45 ft wants one support between; a 10 in tree at 20, half a foot right, gives it."""
    found = laid(straight(45, {"K": (0.5, 20.0)}, trees={"oak": {"point": "K", "diameter_in": 10}}))
    tree = found.supports["P2"]
    assert stations(found, "n") == [0, 20, 45]
    assert (tree.support, tree.at, tree.offset_ft, tree.xy) == ("tree", "oak", 0.5, (0.5, 20.0))
    assert coded(found, "trees_used")[0].says == "Trees carry the cables at P2 (oak)."


@pytest.mark.closed_form
@pytest.mark.parametrize(("tree", "why"), [({"diameter_in": 4}, 'only 4" through'), ({"diameter_in": 10, "sound": False}, "not sound")])
def test_a_tree_that_is_thin_or_not_sound_is_noted_and_not_used(tree: dict[str, object], why: str) -> None:
    found = laid(straight(45, {"K": (0.5, 20.0)}, trees={"elm": {"point": "K", **tree}}))
    assert stations(found, "n") == [0, 22.5, 45]
    assert coded(found, "tree_too_thin")[0].says == f"Tree elm at 20' 0\" on n is {why}, so no cable hangs on it."


OAK = {"oak": {"point": "K", "diameter_in": 12}}


@pytest.mark.closed_form
def test_the_fence_bends_to_a_tree_beside_the_line_where_that_saves_a_post() -> None:
    """45 ft; a tree at 22, 1.5 ft right: turns of atan(1.5 / 22) and atan(1.5 / 23), bays of the two hypotenuses."""
    found = laid(straight(45, {"K": (1.5, 22.0)}, trees=OAK))
    tree = found.supports["P2"]
    assert list(found.supports) == ["P1", "P2", "P3"]
    assert (tree.support, tree.at, tree.station_ft, tree.offset_ft, tree.xy) == ("tree", "oak", 22.0, 1.5, (1.5, 22.0))
    assert tree.turn_deg == pytest.approx(-math.degrees(math.atan(1.5 / 22) + math.atan(1.5 / 23)))
    assert [bay.plan_ft for bay in found.bays.values()] == pytest.approx([math.hypot(22, 1.5), math.hypot(23, 1.5)])
    (bends,) = coded(found, "bends")
    assert bends.says == "P2 stands 1' 6\" right of n, so the fence turns 8° there."


def test_the_fence_does_not_bend_for_nothing_nor_too_far() -> None:
    """One bay reaches; a tree 2 ft 1 in off is too far; a bay over the limit beside the tree saves nothing; the rule may forbid it."""
    bent = [
        laid(straight(24, {"K": (1.5, 12.0)}, trees=OAK)),
        laid(straight(45, {"K": (2.1, 22.0)}, trees=OAK)),
        laid(straight(49.96, {"K": (1.9, 25.0)}, trees=OAK)),
        laid(straight(45, {"K": (1.5, 22.0)}, trees=OAK, rules={"layout": {"tree_bend_ft": 0}})),
    ]
    assert [[one.support for one in found.supports.values()] for found in bent] == [["driven"] * 2, *[["driven"] * 3] * 3]


@pytest.mark.closed_form
def test_a_run_through_a_trunk_is_told() -> None:
    """A 12 in trunk: a run 5 in from its middle passes through it, one 6 in from it touches the bark."""
    plan = posts("n", 0, 20, 40)
    (found,) = coded(laid(straight(40, {"K": (5 / 12, 10.0)}, trees=OAK, posts=plan)), "through_trunk")
    assert found.says == 'P1 to P2 runs through the trunk of tree oak, 5" from its middle.'
    assert found.do.startswith("Hang the cables on it, or settle P1 or P2 by an offer;")
    assert (found.level, found.subjects) == ("fix", ("P1-P2", "P1", "P2", "oak"))
    assert not coded(laid(straight(40, {"K": (0.5, 10.0)}, trees=OAK, posts=plan)), "through_trunk")


def test_a_run_through_a_thin_trunk_is_told_once_and_wants_a_post_moved() -> None:
    found = laid(straight(40, {"K": (0.1, 10.0)}, trees={"elm": {"point": "K", "diameter_in": 4}}, posts=posts("n", 0, 20, 40)))
    assert coded(found, "through_trunk")[0].do.startswith("Settle P1 or P2 by an offer;")
    assert not coded(found, "tree_too_thin")


def test_bays_that_end_on_a_tree_do_not_run_through_it() -> None:
    assert not coded(laid(straight(45, {"K": (0.0, 20.0)}, trees=OAK)), "through_trunk")


@pytest.mark.closed_form
def test_a_point_in_a_trunk_hangs_on_the_tree() -> None:
    points = {"S": (0.0, 0.0), "K": (0.0, 20.0), "E": (20.0, 20.0)}
    found = laid(yard(points, {"n": ["S", "K", "E"]}, trees={"oak": {"point": "K", "diameter_in": 14}}))
    corner = found.supports["P2"]
    assert (corner.kind, corner.support, corner.at, corner.turn_deg) == ("corner", "tree", "oak", pytest.approx(90))
    assert not coded(found, "in_keep_out")


@pytest.mark.closed_form
def test_a_wall_that_holds_no_eyes_gets_an_end_post_on_the_first_clear_grid_station() -> None:
    """Nothing is driven within 6 in of the footing: 0.5 ft is the second station of a 3 in grid."""
    wall = {"shed": {"kind": "shed", "points": ["W1", "W2"], "holds_eyes": False}}
    points = {"S": (0.0, 0.0), "E": (0.0, 40.0), "W1": (-10.0, 0.0), "W2": (10.0, 0.0)}
    line = {"points": ["S", "E"], "start_meets": "structure", "start_at": "shed"}
    found = laid(yard(points, {"n": line}, structures=wall))
    assert stations(found, "n") == [0.5, 20.25, 40]
    assert (found.supports["P1"].kind, found.supports["P1"].support) == ("end", "driven")
    gap = coded(found, "gap_at_wall")[0]
    assert (gap.says, gap.subjects) == ("shed can't hold eyes, so n stops 6\" short of it.", ("P1", "shed"))
    assert not coded(found, "in_keep_out")


@pytest.mark.closed_form
def test_the_far_end_at_such_a_wall_steps_back_to_the_grid_too() -> None:
    wall = {"shed": {"kind": "shed", "points": ["W1", "W2"], "holds_eyes": False}}
    points = {"S": (0.0, 0.0), "E": (0.0, 20.1), "W1": (-10.0, 20.1), "W2": (10.0, 20.1)}
    line = {"points": ["S", "E"], "end_meets": "structure", "end_at": "shed"}
    assert stations(laid(yard(points, {"n": line}, structures=wall)), "n") == [0, 19.5]


@pytest.mark.closed_form
def test_a_wall_drawn_run_by_run_is_stepped_off_like_any_other() -> None:
    """A wall round a court closes but for half a foot; a rock before it ends at 3.2 ft, 2.7 ft past the footing: within a move of 3 ft."""
    court = [(-10.0, 0.0), (10.0, 0.0), (10.0, -10.0), (-10.0, -10.0), (-10.0, -0.5)]
    corners = {f"W{n}": spot for n, spot in enumerate(court, 1)}
    wall = {"court": {"points": [*corners], "holds_eyes": False}}
    rock = {"r": {"kind": "rock", "points": ["R"], "radius_ft": 1.4}}
    line = {"points": ["S", "E"], "start_meets": "structure", "start_at": "court"}
    points = {"S": (0.0, 0.0), "E": (0.0, 23.25), "R": (0.0, 1.8), **corners}
    assert stations(laid(yard(points, {"n": line}, structures=wall, obstacles=rock)), "n") == [3.25, 23.25]


def test_a_gate_at_such_a_wall_is_the_end() -> None:
    wall = {"shed": {"kind": "shed", "points": ["W1", "W2"], "holds_eyes": False}}
    points = {"S": (0.0, 0.0), "E": (0.0, 20.0), "W1": (-10.0, 0.0), "W2": (10.0, 0.0)}
    line = {"points": ["S", "E"], "start_meets": "structure", "start_at": "shed"}
    found = laid(yard(points, {"n": line}, structures=wall, gates={"g": {"line": "n", "station_ft": 0.25}}))
    assert stations(found, "n") == pytest.approx([0.25, 5 + 5 / 12, 20], abs=1e-4)
    assert [support.kind for support in found.supports.values()] == ["gate", "gate", "end"]
    assert coded(found, "in_keep_out")[0].subjects == ("P1", "shed")


def test_a_gate_hung_on_the_house_keeps_the_house_as_its_support() -> None:
    job = yards.build(gates={"G1": {"line": "fence", "station_ft": 0}})
    first = laid(job).supports["P1"]
    assert (first.kind, first.support, first.at, first.gate) == ("gate", "structure", "house", "G1")


@pytest.mark.closed_form
def test_a_gate_post_within_half_a_foot_of_a_corner_is_the_corner() -> None:
    """0 to 60.3 in three bays on a 3 in grid: 20, 20.25 and 20.05 are the most even."""
    found = laid(yards.build(gates={"G1": {"line": "fence", "station_ft": 60.3}}))
    assert stations(found, "fence")[:5] == pytest.approx([0, 20, 40.25, 60.3, 65.4667], abs=1e-4)
    assert [support.kind for support in found.supports.values()].count("corner") == 1


TEE = {"S": (0.0, 0.0), "E": (0.0, 40.0), "M": (0.0, 17.0), "X": (15.0, 17.0)}


@pytest.mark.closed_form
def test_a_line_that_ends_on_another_shares_its_tee_post() -> None:
    """The tee is fixed at 17; 17 to 40 is one bay of 23. Line b is 15 ft from its free end X to the tee."""
    tee = {"points": ["X", "M"], "end_meets": "line", "end_at": "a"}
    found = laid(yard(TEE, {"a": ["S", "E"], "b": tee}))
    assert stations(found, "a") == [0, 17, 40]
    assert found.lines["b"].supports == ("P4", "P2")
    assert (found.supports["P2"].kind, found.supports["P2"].line) == ("tee", "a")
    assert (found.bays["P4-P2"].plan_ft, found.bays["P4-P2"].start_ft, found.bays["P4-P2"].end_ft) == (15, 0, 15)


def test_ids_follow_the_file_and_a_shared_support_is_named_where_it_first_comes() -> None:
    tee = {"points": ["X", "M"], "end_meets": "line", "end_at": "a"}
    found = laid(yard(TEE, {"b": tee, "a": ["S", "E"]}))
    assert found.lines["b"].supports == ("P1", "P2")
    assert found.lines["a"].supports == ("P3", "P2", "P4")
    assert list(found.supports) == ["P1", "P2", "P3", "P4"]


def test_a_line_that_ends_at_anothers_corner_uses_the_corner() -> None:
    points = {"S": (0.0, 0.0), "C": (0.0, 20.0), "E": (20.0, 20.0), "X": (0.0, 30.0), "M": (0.0, 20.4)}
    found = laid(yard(points, {"a": ["S", "C", "E"], "b": {"points": ["X", "M"], "end_meets": "line", "end_at": "a"}}))
    assert [support.kind for support in found.supports.values()] == ["end", "corner", "end", "end"]
    assert found.lines["b"].supports == ("P4", "P2")


def test_two_ends_that_meet_each_other_share_one_post_of_the_first_line() -> None:
    points = {"S": (0.0, 0.0), "C": (0.0, 20.0), "E": (20.0, 20.0)}
    lines = {
        "a": {"points": ["S", "C"], "end_meets": "line", "end_at": "b"},
        "b": {"points": ["C", "E"], "start_meets": "line", "start_at": "a"},
    }
    found = laid(yard(points, lines))
    assert (found.lines["a"].supports, found.lines["b"].supports) == (("P1", "P2"), ("P2", "P3"))
    assert (found.supports["P2"].line, found.supports["P2"].kind) == ("a", "end")


def test_three_ends_that_name_each_other_in_turn_share_one_post() -> None:
    points = {"C": (0.0, 0.0), "N": (0.0, 20.0), "E": (20.0, 0.0), "W": (-20.0, 0.0)}
    lines = {
        name: {"points": ["C", point], "start_meets": "line", "start_at": other}
        for name, point, other in (("a", "N", "b"), ("b", "E", "c"), ("c", "W", "a"))
    }
    found = laid(yard(points, lines))
    assert [found.lines[name].supports for name in "abc"] == [("P1", "P2"), ("P1", "P3"), ("P1", "P4")]


def test_a_line_that_begins_with_a_gate_makes_the_tee_a_gate_post() -> None:
    side = {"points": ["M", "X"], "start_meets": "line", "start_at": "a"}
    found = laid(yard(TEE, {"a": ["S", "E"], "b": side}, gates={"g": {"line": "b", "station_ft": 0}}))
    assert (found.supports["P2"].kind, found.supports["P2"].gate) == ("gate", "g")
    assert found.bays["P2-P4"].gate == "g"


@pytest.mark.closed_form
def test_a_closed_line_ends_on_its_first_support() -> None:
    """Four sides of 40 ft, each two bays of 20; all four corners turn right."""
    found = laid(ring())
    assert stations(found, "r") == [0, 20, 40, 60, 80, 100, 120, 140]
    assert found.lines["r"].bays[-1] == "P8-P1"
    assert (found.bays["P8-P1"].start_ft, found.bays["P8-P1"].end_ft, found.bays["P8-P1"].plan_ft) == (140, 160, 20)
    assert [round(support.turn_deg) for support in found.supports.values()] == [90, 0, 90, 0, 90, 0, 90, 0]
    assert {support.kind for support in found.supports.values()} == {"corner", "line"}


@pytest.mark.closed_form
def test_bays_are_measured_on_the_slope() -> None:
    """Ground rises 15 in 40 ft: two bays of 20 level, 7.5 up, 21.36 on the slope."""
    bay = laid(straight(40, shots=yards.levels("n", [(0, 0), (40, 15)]))).bays["P1-P2"]
    assert (bay.plan_ft, bay.rise_ft, bay.slope_ft) == (20, 7.5, pytest.approx((20**2 + 7.5**2) ** 0.5))


def test_a_gates_own_opening_isnt_divided() -> None:
    wide = {"g": {"line": "n", "station_ft": 5, "leaf_width_ft": 12, "leaves": 2}}
    found = laid(straight(40, gates=wide, rules={"layout": {"bay_max_ft": 20}}))
    assert found.bays["P2-P3"].gate == "g"
    assert found.bays["P2-P3"].plan_ft == pytest.approx(24 + 1 / 6, abs=1e-4)
    assert not coded(found, "bay_over")


def test_items_ask_for_strings_gates_flags_and_bays() -> None:
    found = laid(yards.plain())
    items = {str(item.key): item for item in found.items}
    assert list(items)[:3] == ["layout.fence.string", "layout.G1.clear", "layout.P2.flag"]
    assert "layout.P1.flag" not in items
    assert "layout.P5-P6.taped" not in items
    reading = items["layout.P1-P2.taped"].reading
    assert reading is not None
    assert (reading.unit, reading.low, reading.high) == ("ft", pytest.approx(19.0), pytest.approx(21.0))
    assert reading.wanted == pytest.approx(20.0, abs=1e-3)


def test_accepting_the_proposal_leaves_every_support_where_it_was() -> None:
    job = yards.sloping()
    proposed = laid(job)
    accepted = laid(job.model_copy(update={"posts": planned_posts(proposed)}))
    assert accepted.accepted
    assert accepted.supports == proposed.supports
    assert accepted.bays == proposed.bays
    assert coded(proposed, "not_accepted")
    assert not coded(accepted, "not_accepted")


STRAY_GATE = Job.model_validate({"gates": {"g": {"line": "x", "station_ft": 3}}})


@pytest.mark.parametrize("job", [yards.empty(), yards.half_surveyed(), STRAY_GATE])
def test_a_job_without_a_placed_line_says_so(job: Job) -> None:
    found = laid(job)
    assert (found.supports, found.bays, found.items) == ({}, {}, ())
    assert coded(found, "no_line_placed")


def test_rules_that_no_tape_can_set_leave_the_fixed_supports() -> None:
    found = laid(straight(60, rules={"layout": {"grid_in": 0.01}}))
    assert stations(found, "n") == [0, 60]
    assert coded(found, "bay_over")


def test_layout_reads_only_what_it_says() -> None:
    """A stage is kept in memory by the parts it names in READS, so it may read no other; of ticks those of old sleeves alone."""

    class Watched:
        def __init__(self, job: Job) -> None:
            self.job, self.read = job, set[str]()

        def __getattr__(self, name: str) -> object:
            self.read.add(name)
            return getattr(self.job, name)

    job = yards.plain()
    watched = Watched(job)
    layout(watched, survey(job))  # type: ignore[arg-type]  # a stand-in that notes what is read
    assert watched.read - {"checks"} <= set(READS)
    others = job.model_copy(update={"checks": {key: tick for key, tick in all_ticked(job).checks.items() if key.what != "old_sleeve"}})
    assert layout(others, survey(job)) == layout(job, survey(job))


lengths = st.integers(30, 2000).map(lambda tenths: tenths / 10)


@pytest.mark.closed_form
@settings(max_examples=40, deadline=None)
@given(lengths, st.integers(8, 30))
def test_a_clear_straight_line_takes_the_fewest_posts_and_breaks_no_limit(length_ft: float, most_ft: int) -> None:
    """Fewest bays of a straight line: its length over the limit, rounded up; the grid can cost one more at an exact fit."""
    found = laid(straight(length_ft, rules={"layout": {"bay_max_ft": most_ft}}))
    bays = [bay.slope_ft for bay in found.bays.values()]
    fewest = -(-length_ft // most_ft)
    assert max(bays) <= most_ft + 0.001
    assert fewest <= len(bays) <= fewest + 1
    assert sum(bays) == pytest.approx(length_ft)


@settings(max_examples=40, deadline=None)
@given(lengths, st.lists(st.tuples(st.integers(-30, 30), st.integers(0, 200), st.integers(1, 40)), max_size=6))
def test_no_shared_out_post_stands_in_a_keep_out(length_ft: float, rocks: list[tuple[int, int, int]]) -> None:
    points = {f"R{n}": (east / 10, float(north)) for n, (east, north, _) in enumerate(rocks)}
    obstacles = {f"r{n}": {"kind": "rock", "points": [f"R{n}"], "radius_ft": radius / 10} for n, (_, _, radius) in enumerate(rocks)}
    found = laid(straight(length_ft, points, obstacles=obstacles))
    assert {finding.subjects[0] for finding in coded(found, "in_keep_out")} <= {"P1", list(found.supports)[-1]}
    assert stations(found, "n") == sorted(stations(found, "n"))
