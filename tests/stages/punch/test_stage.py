"""The closing list: ways out, what is open, what changed from the plan, and that no job, however broken, stops the walk."""

from copy import deepcopy
from datetime import UTC, datetime
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.edit.edits import accept_layout, add_post, drop_post, move_post, swap_to_tree, tick
from engine.job.model.fence import Post
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.paper.plan.plan_json import plan_text
from engine.stages.punch.closing_list import closing_lines
from engine.stages.punch.stage import BuiltOtherwise
from engine.walk import Walk, walk
from tests.repair.finished import finished
from tests.stages import yards

AT = datetime(2026, 4, 2, 9, 0, tzinfo=UTC)
BY = "Lee"


def accepted(job: Job) -> Job:
    """The job with its proposed layout as its plan."""
    posts = {
        name: Post(line=s.line, station_ft=s.station_ft, offset_ft=s.offset_ft, kind=s.kind, support=s.support, at=s.at)
        for name, s in walk(job).layout.supports.items()
    }
    return accept_layout(job, posts, AT, BY)


def ways(job: Job) -> list[tuple[str, str, float]]:
    return [(way.subject, way.where, round(way.opening_in, 1)) for way in walk(job).punch.ways_out]


def wall_without_eyes(shoulder_in: float = 10.0) -> yards.Tables:
    """The end posts are driven 6 and 9 in off a wall that carries no eyes."""
    tables = yards.tables()
    tables["structures"]["house"]["holds_eyes"] = False
    tables["dogs"]["rex"]["shoulder_in"] = shoulder_in
    return tables


def codes(done: Walk) -> list[str]:
    return [finding.code for finding in done.punch.findings]


def test_a_closed_flat_yard_has_no_way_out() -> None:
    done = walk(yards.plain())

    assert (done.punch.ways_out, done.punch.changes, done.punch.signed) == ((), (), False)
    assert codes(done) == ["punch_unfinished"]


@pytest.mark.closed_form
def test_a_hole_under_the_wire_is_as_high_as_the_dip_less_the_apron() -> None:
    """18 in of dip less 12 in of apron, less what the cable sags at 5 of 20 ft."""
    done = walk(yards.sloping(((0, 0), (5, -1.5), (10, 0), (160, 0))))

    (bay,) = [bay for bay in done.fabric.bays.values() if bay.short]
    sag_in = 0.75 * 12 * 0.016 * 20**2 / (8 * 50)
    assert bay.least_apron_in == pytest.approx(-6 + sag_in, abs=1e-3)
    assert [finding.code for finding in done.findings if finding.level == "stop"] == ["hole_under_wire"]
    assert done.punch.ways_out == ()


@pytest.mark.parametrize(
    ("dog", "gets_out"),
    [({"shoulder_in": 20}, False), ({"shoulder_in": 19}, True), ({"shoulder_in": 30, "digs": True}, True)],
)
def test_a_hole_of_six_inches_is_a_way_out_for_a_dog_of_nineteen_or_one_that_digs(dog: dict[str, Any], gets_out: bool) -> None:
    job = yards.sloping(((0, 0), (5, -1.5), (10, 0), (160, 0)))
    job = job.model_copy(update={"dogs": {"rex": job.dogs["rex"].model_copy(update=dog)}})

    assert [subject for subject, _, _ in ways(job)] == (["P1-P2"] if gets_out else [])


def test_a_hole_that_was_filled_is_no_way_out() -> None:
    job = yards.sloping(((0, 0), (5, -1.5), (10, 0), (160, 0))).model_copy(update={"dogs": {}})

    filled = tick(job, item_key("fabric.P1-P2.infill"), AT, BY)

    assert [where for _, where, _ in ways(job)] == ["under the wire, P1 to P2 at 5' 0\""]
    assert ways(filled) == []


def test_without_dogs_what_is_over_the_rule_counts() -> None:
    flat = yards.build(yards.tables(), dogs={})
    high = yards.build(yards.tables(), dogs={}, rules={"gate": {"bottom_gap_in": 3.5}})

    assert ways(flat) == []
    assert ways(high) == [("G1", "under gate G1", 3.5)]


def test_the_crews_reading_of_a_gate_wins() -> None:
    tables = yards.tables()
    tables["dogs"]["rex"]["shoulder_in"] = 8
    tables["rules"] = {"gate": {"bottom_gap_in": 4.5}}
    job = yards.build(tables)

    assert ways(job) == [("G1", "under gate G1", 4.5)]
    assert ways(tick(job, item_key("gate.G1.bottom_gap"), AT, BY, reading_in=2.0)) == []
    wide = tick(tick(job, item_key("gate.G1.bottom_gap"), AT, BY, reading_in=2.0), item_key("gate.G1.opening"), AT, BY, reading_ft=5.75)
    assert ways(wide) == [("G1", "beside gate G1", 9.0)]


def test_posts_off_a_wall_without_eyes_are_ways_out_until_the_house_is_closed() -> None:
    job = yards.build(wall_without_eyes())

    done = walk(job)

    assert ways(job) == [("P10", "between P10 and house", 9.0), ("P1", "between P1 and house", 6.0)]
    first = done.punch.ways_out[0]
    assert (first.kind, first.line, first.yard) == ("round", "fence", "back")
    assert first.closes_with == 'wire and mesh carried 9" past P10 and fixed to house'
    (stop, _) = done.punch.findings
    assert (stop.code, stop.level, stop.subjects) == ("punch_ways_out", "stop", ("P10", "P1"))
    assert stop.says == 'A dog has 2 ways out, the largest 9": between P10 and house.'
    assert ways(tick(job, item_key("punch.job.house_closed"), AT, BY)) == []


def test_a_gap_too_small_for_the_dog_is_no_way_out() -> None:
    assert [(subject, wide_in) for subject, _, wide_in in ways(yards.build(wall_without_eyes(25.0)))] == [("P10", 9.0)]
    assert ways(yards.build(wall_without_eyes(31.0))) == []


def test_a_line_that_stops_short_of_the_tree_it_meets_leaves_a_way_out() -> None:
    """The hickory's bark is 18 in east of the line's end at T2."""
    tables = yards.tables()
    tables["points"]["HICKORY"] = {"east_ft": 42.0, "north_ft": 60.0}
    tables["trees"] = {"hickory": {"point": "HICKORY", "diameter_in": 12}}
    tables["lines"]["fence"] = {"points": ["A", "T1", "T2"], "end_meets": "tree", "end_at": "hickory"}
    del tables["yards"], tables["dogs"]["rex"]["yard"]
    tables["dogs"] = {}

    assert ("P7", "between P7 and hickory", 18.0) in ways(yards.build(tables))


def test_only_the_dogs_of_the_yard_count() -> None:
    tables = wall_without_eyes(31.0)
    tables["points"]["FAR"] = {"east_ft": 200.0, "north_ft": 200.0}
    tables["yards"]["front"] = {"inside": "FAR"}
    tables["dogs"]["pip"] = {"weight_lb": 6, "shoulder_in": 8, "body_in": 12, "yard": "front"}

    assert ways(yards.build(tables)) == []
    tables["dogs"]["pip"]["yard"] = "back"
    assert len(ways(yards.build(tables))) == 2


def test_a_yard_that_does_not_close_is_the_largest_way_out() -> None:
    """The line stops at T2, 60 ft short of the house."""
    tables = yards.tables()
    tables["lines"]["fence"] = {"points": ["A", "T1", "T2"], "start_meets": "structure", "start_at": "house"}

    assert ways(yards.build(tables)) == [("back", "yard back doesn't close, 60' 0\" open", 720.0)]


def test_without_a_yard_the_free_end_is_told() -> None:
    tables = yards.tables()
    tables["lines"]["fence"] = {"points": ["A", "T1", "T2"], "start_meets": "structure", "start_at": "house"}
    del tables["yards"], tables["dogs"]["rex"]["yard"]

    assert ways(yards.build(tables)) == [("P7", "line fence ends free at P7", 720.0)]


def test_a_free_end_inside_a_yard_that_closes_is_no_way_out() -> None:
    tables = yards.tables()
    tables["lines"]["spur"] = {"points": ["IN", "T1"]}

    assert ways(yards.build(tables)) == []


def test_moves_swaps_additions_and_drops_since_the_plan() -> None:
    tables = yards.tables()
    tables["points"]["OAK"] = {"east_ft": 40.0, "north_ft": 40.0}
    tables["trees"] = {"oak": {"point": "OAK", "diameter_in": 12}}
    tables["rules"] = {"layout": {"tree_reach_ft": 0.0}}
    job = accepted(yards.build(tables))
    stands = walk(job).layout.supports
    oak = min(stands, key=lambda name: abs(stands[name].station_ft - 120))
    assert walk(job).punch.changes == ()

    job = move_post(job, "P2", AT, BY, along_ft=1.5, out_ft=2.0)
    job = swap_to_tree(job, oak, "oak", AT, BY)
    job = add_post(job, "fence", 30.0, AT, BY)
    job = drop_post(job, "P3", AT, BY)

    changes = {change.support: (change.what, round(change.moved_ft, 3)) for change in walk(job).punch.changes}
    added = next(entry.post for entry in job.log if entry.kind == "add")
    assert changes == {
        "P2": ("moved", 2.5),
        oak: ("swapped for tree oak", pytest.approx(abs(stands[oak].north_ft - 40), abs=0.01)),
        added: ("added", 0.0),
        "P3": ("left out", 0.0),
    }
    assert walk(job).punch.changes[-1] == BuiltOtherwise("P3", "left out", 0.0)


def test_a_post_moved_back_and_one_added_and_dropped_are_no_change() -> None:
    job = accepted(yards.plain())
    job = move_post(move_post(job, "P2", AT, BY, along_ft=1.0), "P2", AT, BY, along_ft=-1.0)
    job = add_post(job, "fence", 30.0, AT, BY)
    added = next(entry.post for entry in job.log if entry.kind == "add")

    assert walk(drop_post(job, added, AT, BY)).punch.changes == ()


def test_what_is_open_is_counted_by_stage_and_ticked_off() -> None:
    job = accepted(yards.plain())
    done = walk(job)

    assert [group.stage for group in done.punch.unfinished][:3] == ["survey", "layout", "posts"]
    keys = [item.key for group in done.punch.unfinished for item in group.items]
    for key in keys:
        job = tick(job, key, AT, BY)
    closed = walk(job)

    assert closed.punch.unfinished == ()
    assert "punch_unfinished" not in codes(closed)


def test_open_findings_are_stops_and_fixes_only() -> None:
    done = walk(yards.sloping())

    assert {finding.level for finding in done.punch.open_findings} <= {"stop", "fix"}
    assert "gate_gap_over_rule" in [finding.code for finding in done.punch.open_findings]


@pytest.mark.parametrize(("loaded", "level"), [(0, "note"), (3, "fix")])
def test_a_short_truck_is_told(loaded: int, level: str) -> None:
    job = yards.build(yards.tables(), stock={"post-8": {"loaded": loaded}})
    done = walk(job)

    (short,) = [finding for finding in done.punch.findings if finding.code == "punch_materials_short"]
    (row,) = [row for row in done.takeoff.rows if row.stock == "post-8"]
    assert (short.level, short.says) == (level, f"The truck is short: {row.packs - loaded} of round steel post 1 5/8 in, 8 ft.")


def test_more_used_than_planned_is_told_where_the_two_figures_differ() -> None:
    """A gate of 5' hangs, and 4' 6" is wanted: 21 ft of tube for 20; of its face wire the two are 17.4 and 16.7 ft, both told as 17."""
    job = finished("willow_bend")
    narrower = job.gates["side"].model_copy(update={"leaf_width_ft": 4.5})
    done = walk(job.model_copy(update={"gates": {"side": narrower}}))
    lines = closing_lines(done.punch, done.stage_findings, done.checklists)
    assert [line.says for line in lines if line.group == "materials"] == ["gate frame tube 1 3/8 in, 10 1/2 ft: 21 ft used, 20 planned."]


def test_checklist_of_the_closing_walk() -> None:
    tables = yards.tables()
    tables["decks"] = {"porch": {"points": ["A", "B", "T1"]}}

    items = walk(yards.build(tables)).punch.items

    assert [str(item.key) for item in items] == [
        "punch.back.walked",
        "punch.job.house_closed",
        "punch.job.decks_protected",
        "punch.job.gates_worked_by_client",
        "punch.job.offcuts_picked_up",
        "punch.job.care_notes",
        "punch.job.client_accepts",
    ]


def test_an_empty_job_closes_with_nothing() -> None:
    punch = walk(yards.empty()).punch

    assert (punch.ways_out, punch.changes, punch.findings, punch.items, punch.takeoff.rows) == ((), (), (), (), ())


def test_a_half_surveyed_job_shows_its_gap() -> None:
    ((subject, where, _),) = ways(yards.half_surveyed())

    assert (subject, where) == ("back", "yard back doesn't close, 72' 1 3/8\" open")


TABLES = ("points", "shots", "structures", "trees", "lines", "gates", "yards", "dogs", "posts")


def whole() -> yards.Tables:
    """Tables of a sloping yard with a tree, a rock, a gas line and an accepted plan with a move in its log."""
    tables = yards.tables()
    tables["points"]["OAK"] = {"east_ft": 40.0, "north_ft": 40.0}
    tables["trees"] = {"oak": {"point": "OAK", "diameter_in": 12}}
    tables["obstacles"] = {"rock": {"kind": "rock", "points": ["T1"], "radius_ft": 3}}
    tables["utilities"] = {"gas": {"kind": "gas", "points": ["A", "T2"], "depth_in": 30}}
    tables["shots"] |= yards.levels("fence", ((0, 0), (60, 3), (70, 1), (100, 1), (160, 0)))
    return move_post(accepted(yards.build(tables)), "P2", AT, BY, along_ft=1.0, out_ft=0.5).model_dump(mode="json", exclude_none=True)


WHOLE = whole()


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_no_job_with_parts_missing_stops_the_walk(data: st.DataObject) -> None:
    tables = deepcopy(WHOLE)
    for table in data.draw(st.lists(st.sampled_from(TABLES), min_size=1, max_size=4, unique=True)):
        for name in data.draw(st.lists(st.sampled_from(sorted(tables[table])), unique=True)):
            del tables[table][name]

    done = walk(Job.model_validate(tables))

    assert "NaN" not in plan_text(done)
    assert [way.opening_in for way in done.punch.ways_out] == sorted((way.opening_in for way in done.punch.ways_out), reverse=True)
    assert all(way.opening_in > 0 and way.closes_with for way in done.punch.ways_out)
