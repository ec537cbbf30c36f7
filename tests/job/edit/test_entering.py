"""Records entered one by one: what is written, what is refused and in which words, and that taking out is the way back."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.edit import entering
from engine.job.edit.edits import note, obstacle, sign, tick
from engine.job.edit.entering import NAME, add, put, remove, rename, rename_point
from engine.job.edit.next_record import next_name, next_point, next_station_ft, ordered_points, shot_name
from engine.job.errors import EditRefused, EntryRefused
from engine.job.model.cross_checks import problems
from engine.job.model.fence import FenceLine
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.shots import TieShot
from engine.job.model.signed_record import Record
from tests.demo import AT, BY, accepted, demo

TIE = {"method": "tie", "point": "T1", "from_a": "A", "from_b": "B", "tape_a_ft": "60' 0 1/2\"", "tape_b_ft": 72.11, "side": "left"}


def small() -> Job:
    """Two known points, one tied, a line and a tree on it."""
    job = add(add(Job(), "points", "A", {"east_ft": 0, "north_ft": 0}), "points", "B", {"east_ft": "40'", "north_ft": 0})
    job = add(job, "shots", "tie-T1", TIE)
    job = add(job, "lines", "back", {"points": ["A", "T1"]})
    return add(job, "trees", "oak", {"point": "T1", "diameter_in": "14 in"})


def refused(edit: Any, *args: Any) -> EntryRefused:
    with pytest.raises(EntryRefused) as caught:
        edit(*args)
    return caught.value


def test_a_record_is_read_as_people_write_it() -> None:
    job = small()
    tie = job.shots["tie-T1"]
    assert isinstance(tie, TieShot)
    assert (tie.tape_a_ft, tie.side) == (60.0417, "left")
    assert job.points["B"].east_ft == 40.0
    assert job.trees["oak"].diameter_in == 14.0
    assert problems(job) == []


def test_a_record_that_is_there_is_written_in_its_place() -> None:
    job = put(small(), "points", "A", {"east_ft": 1, "north_ft": 2})
    assert (list(job.points), job.points["A"].east_ft) == (["A", "B"], 1.0)


def test_tables_that_are_one_record_and_sections_of_the_rules() -> None:
    job = put(Job(), "fence", None, {"height_ft": "5 ft"})
    job = put(job, "job", None, {"title": "Back yard", "crew": ["Mo", "Teal"], "planned_for": "2026-04-14"})
    job = put(job, "rules", "layout", {"bay_max_ft": 20})
    assert (job.fence.height_ft, job.job.crew, job.rules.layout.bay_max_ft) == (5.0, ("Mo", "Teal"), 20.0)
    assert f"{job.job.planned_for}" == "2026-04-14"
    error = refused(put, job, "rules", "layout", {"bay_max_ft": 2})
    assert str(error) == "layout.bay_min_ft is over layout.bay_max_ft."


def test_what_is_wrong_carries_the_path_of_its_field() -> None:
    error = refused(add, small(), "shots", "tie-T2", {**TIE, "tape_a_ft": "abc", "side": "north"})
    assert [problem.path for problem in error.problems] == [("shots", "tie-T2", "tape_a_ft"), ("shots", "tie-T2", "side")]
    assert error.problems[1].message == '"north" isn\'t one of: "left" or "right".'
    missing = refused(add, small(), "trees", "elm", {"point": "T1"})
    assert [(problem.path[-1], problem.message) for problem in missing.problems] == [("diameter_in", "diameter_in is needed.")]
    named = refused(add, small(), "trees", "old elm", {"point": "T1", "diameter_in": 9})
    assert [problem.path for problem in named.problems] == [("trees", "old elm", NAME)]


def test_a_record_that_would_make_the_file_unreadable_is_refused() -> None:
    first = refused(add, Job(), "lines", "back", {"points": ["A", "B"]})
    assert [problem.path for problem in first.problems] == [("lines", "back", "points", 0), ("lines", "back", "points", 1)]
    assert first.problems[0].message.startswith('Line back names the point "A", which is neither known nor measured')
    long = refused(add, small(), "gates", "side", {"line": "front", "station_ft": 3})
    assert [problem.path for problem in long.problems] == [("gates", "side", "line")]


@pytest.mark.parametrize(
    ("table", "size", "taken", "not_taken", "says"),
    [
        ("obstacles", "radius_ft", 25, 26, "26' 0\" clear all round is more than a bay may be long (25' 0\")."),
        ("obstacles", "height_ft", 30, 300, "300' 0\" is higher than a house has decks (30' 0\")."),
        ("decks", "height_ft", 30, 96, "96' 0\" is higher than a house has decks (30' 0\")."),
    ],
)
def test_a_size_that_nothing_in_a_yard_has_is_refused(table: str, size: str, taken: float, not_taken: float, says: str) -> None:
    record: dict[str, object] = {"points": ["A", "B", "T1"], **({"kind": "rock"} if table == "obstacles" else {})}
    assert getattr(add(small(), table, "one", {**record, size: taken}), table)["one"]
    (problem,) = refused(add, small(), table, "one", {**record, size: not_taken}).problems
    assert problem.path == (table, "one", size)
    assert problem.message.startswith(says)


def test_a_name_is_given_once() -> None:
    error = refused(add, small(), "trees", "oak", {"point": "A", "diameter_in": 9})
    assert str(error) == "There is a tree oak already: give this one another name, or correct that one."
    assert str(refused(rename, small(), "points", "A", "B")) == "There is a point B already: give another name."


def test_taking_out_what_is_still_used_says_who_uses_it() -> None:
    assert str(refused(remove, small(), "shots", "tie-T1")) == "T1 is still used by tree oak and line back."
    assert str(refused(remove, small(), "points", "A")) == "A is still used by shot tie-T1 and line back."
    assert str(refused(put, small(), "shots", "tie-T1", {**TIE, "point": "T9"})) == "T1 is still used by tree oak and line back."
    assert str(refused(remove, accepted(), "lines", "back")) == "back is still used by 12 shots, gate side and the accepted plan."
    with pytest.raises(EditRefused, match="elm"):
        remove(small(), "trees", "elm")


def test_a_new_name_is_followed_by_whatever_names_it() -> None:
    job = rename(small(), "points", "A", "corner")
    tie = job.shots["tie-T1"]
    assert isinstance(tie, TieShot)
    assert (tie.from_a, job.lines["back"], list(job.points)) == ("corner", FenceLine(points=("corner", "T1")), ["corner", "B"])
    assert problems(job) == []
    planned = rename(accepted(), "lines", "back", "north")
    assert {post.line for post in planned.posts.values()} == {"north"}
    assert planned.log == accepted().log


def test_the_ticks_of_a_renamed_gate_go_with_it_whatever_else_is_called_so() -> None:
    job = tick(tick(accepted(), item_key("gate.side.hung"), AT, BY), item_key("layout.P4.flag"), AT, BY)
    assert list(rename(job, "gates", "side", "front").checks) == [item_key("gate.front.hung"), item_key("layout.P4.flag")]

    shared = put(job, "obstacles", "side", {"kind": "bed", "points": ["A"], "radius_ft": 1})
    assert list(rename(shared, "gates", "side", "front").checks) == [item_key("gate.front.hung"), item_key("layout.P4.flag")]
    assert list(rename(shared, "obstacles", "side", "bed").checks) == [item_key("gate.side.hung"), item_key("layout.P4.flag")]


def test_a_new_name_that_cannot_be_is_refused() -> None:
    assert refused(rename, small(), "trees", "oak", "old oak").problems[0].path == ("trees", "old oak", NAME)


def test_the_log_follows_a_new_name_struck_entries_too() -> None:
    job = obstacle(demo(), "rock", "back", 40, AT, BY)
    struck = job.log[0].model_copy(update={"struck_at": AT, "struck_by": BY})
    after = rename(job.model_copy(update={"log": (*job.log, struck.model_copy(update={"id": "x"}))}), "lines", "back", "north")
    assert [entry.line for entry in after.log] == ["north", "north"]
    seen = rename(note(demo(), "wet", AT, BY, about="side"), "gates", "side", "front")
    assert seen.log[0].about == "front"


def test_a_measured_point_is_renamed_too() -> None:
    job = rename_point(small(), "T1", "corner")
    assert (job.shots["tie-T1"].point, job.lines["back"].points, job.trees["oak"].point) == ("corner", ("A", "corner"), "corner")  # type: ignore[union-attr]
    assert str(refused(rename_point, small(), "T1", "A")) == "There is a point A already: give another name."


def test_a_sealed_job_is_left_alone() -> None:
    sealed = sign(small(), Record(signed_at=AT, signed_by=BY, accepted_by="the client", engine="0.1.0"), AT, BY, "the client")
    edits = (
        lambda: add(sealed, "points", "C", {"east_ft": 0, "north_ft": 9}),
        lambda: put(sealed, "fence", None, {}),
        lambda: remove(sealed, "trees", "oak"),
        lambda: rename(sealed, "trees", "oak", "elm"),
    )
    for edit in edits:
        with pytest.raises(EditRefused, match="sealed"):
            edit()


def test_the_job_before_stays_what_it_was_and_the_log_too() -> None:
    job = accepted()
    before = job.model_dump_json()
    after = add(job, "points", "pin", {"east_ft": -50, "north_ft": -50})
    assert after.log is job.log
    assert job.model_dump_json() == before


RECORDS = st.one_of(
    st.tuples(
        st.just("points"),
        st.fixed_dictionaries({"east_ft": st.floats(1000, 9000), "north_ft": st.floats(-9000, 9000), "note": st.text("ab ", max_size=5)}),
    ),
    st.tuples(
        st.just("shots"),
        st.fixed_dictionaries(
            {
                "method": st.just("tape"), "from_point": st.sampled_from(["A", "B", "H"]), "to_point": st.sampled_from(["T1", "new", "M"]),
                "length_ft": st.floats(0.5, 500),
            }
        ),
    ),
    st.tuples(st.just("trees"), st.fixed_dictionaries({"point": st.sampled_from(["A", "C", "T2"]), "diameter_in": st.floats(1, 60)})),
    st.tuples(st.just("yards"), st.fixed_dictionaries({"inside": st.sampled_from(["Y1", "T1"])})),
    st.tuples(st.just("stock"), st.fixed_dictionaries({"kind": st.just("other"), "loaded": st.integers(0, 900)})),
)  # fmt: skip


@given(record=RECORDS, name=st.from_regex(r"z[A-Za-z0-9_-]{0,20}", fullmatch=True))
@settings(max_examples=60, deadline=None)
def test_what_is_put_and_taken_out_leaves_the_job_before(record: tuple[str, dict[str, Any]], name: str) -> None:
    table, fields = record
    after = add(demo(), table, name, fields)
    assert problems(after) == []
    assert entering.remove(after, table, name) == demo()


@pytest.mark.parametrize(("name", "taken", "after"), [("T4", (), "T5"), ("T4", ("T5", "T6"), "T7"), ("P09", (), "P10"), ("oak", (), "")])
def test_names_count_up(name: str, taken: tuple[str, ...], after: str) -> None:
    assert next_name(name, taken) == after


def test_what_follows_in_a_survey() -> None:
    job = small()
    assert ordered_points(job) == ("A", "B", "T1")
    assert (next_point(Job()), next_point(job)) == ("", "T2")
    assert next_station_ft(job, "back") is None
    for station_ft, then_ft in ((5, 5.0), (12.5, 20.0), (3, 3.0)):
        fields = {"method": "level", "line": "back", "station_ft": station_ft, "level_ft": 0}
        job = add(job, "shots", shot_name(job, fields), fields)
        assert next_station_ft(job, "back") == then_ft
    assert list(job.shots) == ["tie-T1", "level-back-1", "level-back-2", "level-back-3"]
    assert shot_name(job, TIE) == "tie-T1-2"
    assert shot_name(job, {"method": "tape", "from_point": "A", "to_point": "T1 "}) == "tape-A-T1"


@pytest.mark.parametrize(("fields", "says"), [({"set_F": 111}, "over cables.hot_F"), ({"set_F": -1}, "under cables.cold_F")])
def test_a_day_of_setting_outside_the_year_is_refused_at_its_field_and_an_old_file_with_one_opens(fields: Any, says: str) -> None:
    (problem,) = refused(put, Job(), "rules", "cables", fields).problems
    assert (problem.path, problem.message) == (("rules", "cables", "set_F"), f"cables.set_F is {says}.")
    old = Job.model_validate({"rules": {"cables": fields}})
    assert problems(old) == []
    assert put(old, "rules", "layout", {"bay_max_ft": 20}).rules.layout.bay_max_ft == 20
