"""What is taken out of a survey: nothing that is in use, nor what gives its place to a point that is; and what nothing uses always goes."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.change.still_in_use import taken_out
from engine.job.edit.alternatives import keep_layout
from engine.job.edit.entering import add
from engine.job.errors import EditRefused
from engine.job.model.cross_checks import point_uses
from engine.job.model.job import Job
from engine.walk import walk
from tests.demo import demo, others
from tests.job.edit.test_entering import small

DEMOS = {"main": demo(), **others()}


def with_tape(job: Job, start: str, end: str) -> Job:
    return add(job, "shots", f"tape-{start}-{end}", {"method": "tape", "from_point": start, "to_point": end, "length_ft": 40})


def refused(job: Job, table: str, name: str) -> str:
    with pytest.raises(EditRefused) as caught:
        taken_out(job, table, name)
    return str(caught.value)


def test_one_tape_more_doesn_t_hold_a_point() -> None:
    job = add(small(), "structures", "house", {"kind": "house", "points": ["A", "B"]})
    assert refused(job, "points", "B") == "B is still used by shot tie-T1 and structure house."
    taped = with_tape(job, "B", "A")
    assert refused(taped, "points", "B") == "B is still used by shot tie-T1, shot tape-B-A and structure house."
    tied = with_tape(small(), "A", "T1")
    assert refused(tied, "shots", "tie-T1") == "T1 is still used by tree oak and line back, and has no place without tie-T1."
    assert "tape-A-T1" not in taken_out(tied, "shots", "tape-A-T1").shots


def test_paces_with_a_bearing_hold_it_in_a_rough_survey() -> None:
    paces = {"method": "paces", "from_point": "A", "to_point": "T1", "paces": 24.0}
    counted = add(small(), "shots", "paces-A-T1", paces)
    assert refused(counted, "shots", "tie-T1") == "T1 is still used by tree oak and line back, and has no place without tie-T1."
    after = taken_out(add(small(), "shots", "paces-A-T1", {**paces, "azimuth_deg": 10.0}), "shots", "tie-T1")
    assert walk(after).survey.points["T1"].how == "paced from A"
    assert refused(after, "shots", "paces-A-T1") == "T1 is still used by tree oak and line back."


def test_what_is_tied_from_it_and_a_layout_kept_beside_use_a_point_too() -> None:
    tie = {"method": "tie", "point": "T2", "from_a": "T1", "from_b": "B", "tape_a_ft": 45, "tape_b_ft": 45, "side": "left"}
    job = with_tape(add(Job.model_validate({**small().model_dump(), "lines": {}, "trees": {}}), "shots", "tie-T2", tie), "A", "T1")
    assert refused(job, "shots", "tie-T1") == "T1 is still used by shot tie-T2, and has no place without tie-T1."
    kept = keep_layout(with_tape(small(), "A", "T1"), "north")
    bare = kept.model_copy(update={"lines": {}, "trees": {}})
    assert refused(bare, "shots", "tie-T1") == "T1 is still used by alternative north, and has no place without tie-T1."


@given(st.data())
@settings(max_examples=40, deadline=None)
def test_a_point_in_use_keeps_its_place_whatever_is_taped_and_taken_out(data: st.DataObject) -> None:
    job = DEMOS[data.draw(st.sampled_from(sorted(DEMOS)))].model_copy(update={"record": None})
    before = walk(job).survey.points
    start, end = data.draw(st.sampled_from([(a, b) for a in job.points for b in before if a != b]))
    job = job if f"tape-{start}-{end}" in job.shots else with_tape(job, start, end)
    table = data.draw(st.sampled_from(["points", "shots"]))
    try:
        after = taken_out(job, table, data.draw(st.sampled_from(sorted(getattr(job, table)))))
    except EditRefused:
        return
    used = {str(point) for path, _, points in point_uses(after) if path[0] != "shots" for point in points}
    assert used & walk(job).survey.points.keys() <= walk(after).survey.points.keys()


@pytest.mark.parametrize("name", sorted(DEMOS))
def test_of_what_nothing_else_uses_one_always_goes(name: str) -> None:
    job = Job(points=DEMOS[name].points, shots={shot: row for shot, row in DEMOS[name].shots.items() if row.method != "level"})
    while job.shots or job.points:
        gone = next((after for table in ("shots", "points") for one in getattr(job, table) if (after := _without(job, table, one))), None)
        assert gone is not None, (list(job.shots), list(job.points))
        job = gone


def _without(job: Job, table: str, name: str) -> Job | None:
    try:
        return taken_out(job, table, name)
    except EditRefused:
        return None
