"""Every rule across records: one slip in the plain yard, the one problem it gives, and where it points."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.model.cross_checks import gate_end_ft, point_names, problems, shot_points
from engine.job.model.fence import Surface
from engine.job.model.shots import LevelShot
from tests.stages import yards

AT = "2026-03-09T08:00:00-05:00"


def _one(**changed: Any) -> tuple[tuple[str | int, ...], str]:
    """Path and message of the one problem that a job has."""
    found = problems(yards.build(**changed))
    assert len(found) == 1, found
    return found[0].path, found[0].message


def _line(*points: str, **ends: str) -> dict[str, Any]:
    return {"points": list(points), **ends}


def _entry(kind: str, **fields: Any) -> dict[str, Any]:
    return {"id": fields.pop("id", "e1"), "at": AT, "by": "Ann", "kind": kind, **fields}


@pytest.mark.parametrize("job", [yards.plain(), yards.sloping(), yards.half_surveyed(), yards.long_job(), yards.empty()])
def test_the_shared_yards_have_no_problem(job: Any) -> None:
    assert problems(job) == []


def test_a_slip_in_a_point_name_offers_the_nearest() -> None:
    base = yards.tables()
    base["lines"]["fence"]["points"][1] = "T11"
    path, message = _one(**base)
    assert path == ("lines", "fence", "points", 1)
    assert message == 'Line fence names the point "T11", which is neither known nor measured: did you mean "T1"?'


def test_capitals_don_t_hide_the_nearest_name() -> None:
    _, message = _one(yards={"back": {"inside": "in"}})
    assert message.endswith('did you mean "IN"?')


def test_a_name_like_no_other_asks_for_a_shot() -> None:
    path, message = _one(trees={"oak": {"point": "well", "diameter_in": 9}})
    assert path == ("trees", "oak", "point")
    assert message.endswith("add a shot that measures it, or correct the name.")


@pytest.mark.parametrize(
    ("table", "row"),
    [
        ("obstacles", {"kind": "rock", "points": ["A", "B", "zz"]}),
        ("utilities", {"kind": "gas", "points": ["A", "B", "zz"]}),
        ("boundaries", {"points": ["A", "B", "zz"], "client_side": "left"}),
        ("decks", {"points": ["A", "B", "zz"]}),
        ("structures", {"points": ["A", "B", "zz"]}),
    ],
)
def test_every_part_of_the_site_is_drawn_through_points_there_are(table: str, row: dict[str, Any]) -> None:
    base = yards.tables()
    path, message = _one(**{**base, table: {**base.get(table, {}), "x1": row}})
    assert path == (table, "x1", "points", 2)
    assert '"zz"' in message


@pytest.mark.parametrize(
    ("shot", "field"),
    [
        ({"method": "tie", "point": "N", "from_a": "zz", "from_b": "B", "tape_a_ft": 30, "tape_b_ft": 30, "side": "left"}, "from_a"),
        ({"method": "offset", "point": "N", "base_from": "A", "base_to": "zz", "along_ft": 5, "offset_ft": 2, "side": "left"}, "base_to"),
        ({"method": "leg", "from_point": "zz", "to_point": "N", "azimuth_deg": 10, "length_ft": 20}, "from_point"),
        ({"method": "tape", "from_point": "zz", "to_point": "N", "length_ft": 20}, "from_point"),
        ({"method": "paces", "from_point": "zz", "to_point": "N", "paces": 20}, "from_point"),
    ],
)
def test_a_shot_starts_from_points_there_are(shot: dict[str, Any], field: str) -> None:
    path, _ = _one(shots={**yards.tables()["shots"], "S9": shot})
    assert path == ("shots", "S9", field)


def test_a_leg_shot_back_to_a_known_point_measures_its_first_point() -> None:
    leg = {"method": "leg", "from_point": "N1", "to_point": "A", "azimuth_deg": 180, "length_ft": 20}
    job = yards.build(shots={**yards.tables()["shots"], "S9": leg})
    assert problems(job) == []
    assert point_names(job) == {"A", "B", "C", "D", "T1", "T2", "IN", "N1"}


def test_a_level_shot_names_a_line() -> None:
    base = yards.tables()
    path, message = _one(shots={**base["shots"], **yards.levels("fense", [(0, 0)])})
    assert path == ("shots", "fense-L1", "line")
    assert message == 'Shot fense-L1 names the line "fense", and there is none of that name: did you mean "fence"?'


def test_a_level_shot_names_no_point() -> None:
    assert shot_points(LevelShot(method="level", line="fence", station_ft=0, level_ft=0)) == {}


def test_a_shot_needs_different_points() -> None:
    shot = {"method": "tape", "from_point": "A", "to_point": "A", "length_ft": 20}
    path, message = _one(shots={**yards.tables()["shots"], "S9": shot})
    assert path == ("shots", "S9")
    assert message == "Shot S9 names the same point twice: give each of its ends its own point."


def test_a_point_is_known_or_measured() -> None:
    path, message = _one(points={**yards.tables()["points"], "T1": {"east_ft": 1, "north_ft": 60}})
    assert path == ("shots", "S1", "point")
    assert message.startswith("T1 is a known point and shot S1 measures it too")


def test_two_known_points_stand_apart() -> None:
    path, message = _one(points={**yards.tables()["points"], "E": {"east_ft": 40, "north_ft": 0.005}})
    assert path == ("points", "E")
    assert message.startswith("Known points B and E are in the same place")


@pytest.mark.parametrize(
    ("row", "last", "words"),
    [
        ({"kind": "rock", "points": ["A", "T1"]}, "points", "has two points"),
        ({"kind": "rock", "points": ["T1"]}, "radius_ft", "without a radius"),
    ],
)
def test_an_obstacle_is_round_or_an_area(row: dict[str, Any], last: str, words: str) -> None:
    path, message = _one(obstacles={"rock": row})
    assert path == ("obstacles", "rock", last)
    assert words in message


def test_a_line_doesn_t_name_a_point_twice_in_a_row() -> None:
    path, message = _one(lines={"fence": _line("A", "T1", "T1", "T2")}, gates={})
    assert path == ("lines", "fence", "points", 2)
    assert message == "Line fence names T1 twice in a row: take one of the two out."


def test_a_closed_line_has_three_different_points() -> None:
    path, _ = _one(lines={"fence": _line("A", "T1", "A", "T1", "A", start_meets="itself", end_meets="itself")}, gates={})
    assert path == ("lines", "fence", "points")


@pytest.mark.parametrize(("meets", "at"), [("structure", "hous"), ("tree", "oak"), ("line", "north")])
def test_a_line_s_end_meets_something_there_is(meets: str, at: str) -> None:
    path, message = _one(lines={"fence": _line("A", "T1", "T2", end_meets=meets, end_at=at)})
    assert path == ("lines", "fence", "end_at")
    assert f'{meets} "{at}"' in message


def test_a_line_can_t_meet_itself_as_if_it_were_another() -> None:
    path, message = _one(lines={"fence": _line("A", "T1", "T2", start_meets="line", start_at="fence")})
    assert path == ("lines", "fence", "start_at")
    assert "meets itself at its start" in message


def test_two_lines_may_meet_each_other() -> None:
    lines = {
        "fence": _line("A", "T1", "T2", end_meets="line", end_at="east"),
        "east": _line("T2", "B", start_meets="line", start_at="fence"),
    }
    assert problems(yards.build(lines=lines)) == []


def test_a_gate_names_its_line() -> None:
    path, _ = _one(gates={"G1": {"line": "fench", "station_ft": 10}})
    assert path == ("gates", "G1", "line")


def test_a_gate_is_no_wider_than_a_line_of_known_points() -> None:
    lines = {"fence": _line("A", "D")}
    path, message = _one(lines=lines, gates={"G1": {"line": "fence", "station_ft": 0, "leaf_width_ft": 12, "leaves": 2}}, points={
        **yards.tables()["points"], "D": {"east_ft": 0, "north_ft": -20},
    })  # fmt: skip
    assert path == ("gates", "G1", "leaf_width_ft")
    assert message.startswith("Gate G1 needs 24' 2\" but line fence is 20' 0\" long")


def test_a_gate_wider_than_a_measured_line_is_left_to_the_survey() -> None:
    assert problems(yards.build(gates={"G1": {"line": "fence", "station_ft": 900, "leaf_width_ft": 12}})) == []


@pytest.mark.closed_form
def test_a_gate_ends_a_leaf_and_its_gap_further_on() -> None:
    job = yards.plain()
    assert gate_end_ft(job.gates["G1"], 2.0) == pytest.approx(75 + 5 + 2 / 12, abs=1e-12)


def test_gates_may_share_a_post_but_not_overlap() -> None:
    shared = {"G1": {"line": "fence", "station_ft": 70}, "G2": {"line": "fence", "station_ft": 75.1667}}
    assert problems(yards.build(gates=shared)) == []
    path, message = _one(gates={"G2": {"line": "fence", "station_ft": 75}, "G1": {"line": "fence", "station_ft": 70}})
    assert path == ("gates", "G2", "station_ft")
    assert message == "Gate G1 reaches to 75' 2\" on line fence and gate G2 starts before that: move one."


def test_two_gates_at_one_place() -> None:
    _, message = _one(gates={"G1": {"line": "fence", "station_ft": 70}, "G2": {"line": "fence", "station_ft": 70}})
    assert message == "Gates G1 and G2 are in the same place on line fence: move one, or take it out."


def test_a_dog_s_yard() -> None:
    path, message = _one(dogs={"rex": {"weight_lb": 50, "shoulder_in": 22, "body_in": 30, "yard": "bakc"}})
    assert path == ("dogs", "rex", "yard")
    assert message.endswith('did you mean "back"?')


def test_the_fence_s_stock_is_carried() -> None:
    path, message = _one(fence={"cable": "cable-3-23"})
    assert path == ("fence", "cable")
    assert message == 'The fence names the cable "cable-3-23", and there is none of that name: did you mean "cable-3-32"?'


def test_the_fence_s_stock_is_of_its_kind() -> None:
    path, message = _one(fence={"post": "sleeve-30"})
    assert path == ("fence", "post")
    assert message == "The fence takes sleeve-30 for its post, but that row is of kind sleeve: choose post-8 or post-7."


def test_a_fence_isn_t_higher_than_its_posts() -> None:
    path, message = _one(fence={"height_ft": 7.5, "post": "post-7"})
    assert path == ("fence", "height_ft")
    assert message == "A 7' 6\" fence is taller than its posts, 7' 0\" long: choose a longer post or a lower fence."


def test_a_new_stock_row_says_what_it_is() -> None:
    path, message = _one(stock={"post-9": {"length_ft": 9}})
    assert path == ("stock", "post-9", "kind")
    assert "did you mean" in message
    assert problems(yards.build(stock={"post-8": {"loaded": 12}})) == []


@pytest.mark.parametrize(
    ("row", "last"),
    [
        ({"line": "fense"}, "line"),
        ({"support": "tree"}, "at"),
        ({"support": "structure"}, "at"),
        ({"support": "structure", "at": "hause"}, "at"),
        ({"support": "tree", "at": "oak"}, "at"),
    ],
)
def test_a_post_names_its_line_and_what_carries_it(row: dict[str, Any], last: str) -> None:
    path, _ = _one(posts={"P1": {"line": "fence", "station_ft": 0, "kind": "end", **row}})
    assert path == ("posts", "P1", last)


def test_log_ids_differ() -> None:
    path, message = _one(log=[_entry("note", text="a"), _entry("note", text="b")])
    assert path == ("log", 1, "id")
    assert message == "Two log entries are called e1: give the later one another id."


@pytest.mark.parametrize(
    ("entry", "last"),
    [
        (_entry("obstacle", what="rock", line="fense", station_ft=5), "line"),
        (_entry("add", post="P9", line="fense", station_ft=5), "line"),
        (_entry("photo", file="a.jpg", line="fense", station_ft=5), "line"),
        (_entry("photo", file="a.jpg", line="fence"), "station_ft"),
        (_entry("photo", file="a.jpg", station_ft=5), "line"),
        (_entry("move", post="P9", along_ft=1), "post"),
        (_entry("drop", post="P9"), "post"),
        (_entry("swap", post="P1", tree="oak"), "tree"),
    ],
)
def test_log_entries_name_what_there_is(entry: dict[str, Any], last: str) -> None:
    path, _ = _one(log=[entry], posts={"P1": {"line": "fence", "station_ft": 0, "kind": "end"}})
    assert path == ("log", 0, last)


def test_a_post_added_on_the_ground_may_be_moved() -> None:
    log = [_entry("add", post="P9", line="fence", station_ft=5), _entry("move", id="e2", post="P9", along_ft=1)]
    assert problems(yards.build(log=log)) == []


def test_entries_from_before_the_plan_was_accepted_again_may_name_its_old_posts() -> None:
    accepted = _entry("planned", id="e2", supports=1)
    assert problems(yards.build(log=[_entry("move", post="P9", along_ft=1), accepted])) == []
    assert len(problems(yards.build(log=[accepted, _entry("move", post="P9", along_ft=1)]))) == 1


@given(station=st.floats(0, 154.8), width=st.floats(2, 12))
@settings(max_examples=40, deadline=None)
def test_one_gate_alone_never_overlaps(station: float, width: float) -> None:
    assert problems(yards.build(gates={"G1": {"line": "fence", "station_ft": station, "leaf_width_ft": width}})) == []


def test_hard_stretches_and_heights_lie_on_a_line_one_beside_the_other() -> None:
    pad = {"line": "fence", "from_ft": 5, "to_ft": 9, "kind": "slab"}
    path, message = _one(surfaces={"pad": {**pad, "line": "fense"}})
    assert (path, message.split(":")[0]) == (
        ("surfaces", "pad", "line"),
        'Hard stretch pad names the line "fense", and there is none of that name',
    )
    path, message = _one(surfaces={"pad": pad, "step": {**pad, "from_ft": 8, "to_ft": 12}})
    assert (path, message) == (
        ("surfaces", "step", "from_ft"),
        "Hard stretch pad runs to 9' 0\" on line fence and step starts before that: correct one of them.",
    )
    path, message = _one(
        heights={
            "low": {"line": "fence", "from_ft": 5, "to_ft": 9, "height_ft": 4},
            "lower": {"line": "fence", "from_ft": 6, "to_ft": 7, "height_ft": 3},
        }
    )
    assert path == ("heights", "lower", "from_ft")
    path, message = _one(surfaces={"house": pad})
    assert (path, message) == (("surfaces", "house", "id"), "A structure is called house already: give the hard stretch another name.")


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ({"from_ft": 9, "to_ft": 5, "kind": "slab"}, "to_ft has to lie further along the line than from_ft"),
        ({"from_ft": 5, "to_ft": 9, "kind": "slab", "height_ft": 2}, "height_ft and rail_ft are a deck's, and this is slab"),
        ({"from_ft": 5, "to_ft": 9, "kind": "steps"}, "tread_count is needed for steps, and only for them"),
        ({"from_ft": 5, "to_ft": 9, "kind": "deck", "tread_count": 3}, "tread_count is needed for steps, and only for them"),
    ],
)
def test_a_hard_stretch_makes_sense_by_itself(row: dict[str, Any], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        Surface(line="fence", **row)
