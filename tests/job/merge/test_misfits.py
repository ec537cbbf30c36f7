"""What breaks a rule only once both copies are one: asked about by itself, the same whichever is named first."""

import pytest

from engine.job.edit.edits import obstacle
from engine.job.merge.merge import merge
from engine.job.model.job import Job
from tests.job.merge.test_merge import BASE, changed
from tests.job.small import NOW


def put(job: Job, table: str, name: str, **fields: object) -> Job:
    return changed(job, **{table: {**{key: row.model_dump() for key, row in getattr(job, table).items()}, name: fields}})


@pytest.mark.parametrize(("keep", "standing", "struck_by"), [("ours", ["fence", "side"], ""), ("theirs", ["fence"], "Ana")])
def test_what_was_logged_on_a_line_that_the_other_took_out_is_asked_and_one_of_the_two_stands(keep, standing, struck_by):
    base = put(BASE, "lines", "side", points=["A", "B"])
    ours = obstacle(base, "rock", "side", 5, NOW, "Ana")
    merged = merge(base, ours, changed(base, lines=BASE.lines), keep)
    (asked,) = merged.conflicts
    assert (asked.ours, asked.theirs) == ("logged: Rock found on side at 5' 0\", kept clear 1' 0\" all round", "line side was taken out")
    assert list(merged.job.lines) == standing
    assert merged.job.log[-1].struck_by == struck_by


@pytest.mark.parametrize(("keep", "points", "trees"), [("ours", {"A", "B", "D"}, set()), ("theirs", {"A", "B", "C", "D"}, {"oak"})])
def test_only_what_does_not_fit_together_is_asked_and_all_else_of_both_stays(keep, points, trees):
    base = put(BASE, "points", "C", east_ft=9, north_ft=9)
    here = put(changed(base, points=BASE.points), "points", "D", east_ft=5, north_ft=9)
    there = put(put(base, "trees", "oak", point="C", diameter_in=14), "boundaries", "creek", points=["A", "B"], client_side="left")
    merged, turned = merge(base, here, there, keep), merge(base, there, here, "theirs" if keep == "ours" else "ours")
    (asked,) = merged.conflicts
    assert asked.about == 'Tree oak names the point "C", which is neither known nor measured'
    assert (asked.ours, asked.theirs) == ("point C was taken out", "tree oak was added")
    assert (merged.job.points.keys(), merged.job.trees.keys()) == (points, trees)
    assert "creek" in merged.job.boundaries
    assert (turned.job, turned.conflicts[0].theirs) == (merged.job, asked.ours)


def test_a_record_of_which_each_side_changed_a_field_is_asked_about_where_it_cannot_be_both():
    base = put(put(BASE, "lines", "side", points=["A", "B"]), "shots", "up", method="level", line="fence", station_ft=4, level_ft=1)
    ours = put(base, "shots", "up", method="level", line="side", station_ft=4, rod_ft=3, instrument_ft=4)
    theirs = put(base, "shots", "up", method="level", line="fence", station_ft=4, level_ft=2)
    for keep, side in (("ours", ours), ("theirs", theirs)):
        merged = merge(base, ours, theirs, keep)
        (asked,) = merged.conflicts
        assert (asked.path, asked.theirs) == (("shots", "up"), "level 2' 0\"")
        assert merged.job.shots["up"] == side.shots["up"]


@pytest.mark.parametrize(("keep", "kept"), [("ours", (60.0, 22.0)), ("theirs", (70.0, 26.0))])
def test_a_record_that_both_entered_otherwise_is_one_question_and_never_half_of_each(keep, kept):
    ours, theirs = (put(BASE, "dogs", "bo", weight_lb=pounds, shoulder_in=inches, body_in=30) for pounds, inches in ((60, 22), (70, 26)))
    merged = merge(BASE, ours, theirs, keep)
    (asked,) = merged.conflicts
    assert asked.says == 'Dog bo: here weight (lb) 60 and shoulder height 22"; on the other side weight (lb) 70 and shoulder height 26".'
    assert (merged.job.dogs["bo"].weight_lb, merged.job.dogs["bo"].shoulder_in) == kept
