"""A plan that one laptop struck: joined unasked where the other did nothing on it, else asked, and either answer is a whole plan."""

from datetime import timedelta

import pytest

from engine.change.fresh_layout import accepted_again, fresh_layout
from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.job.edit import edits, entering
from engine.job.edit.striking import strike
from engine.job.merge.asked import Side
from engine.job.merge.merge import merge
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import live
from engine.walk import walk
from tests.demo import AT
from tests.stages.flat_yards import posts, straight

BASE, LATER = AT + timedelta(hours=1), AT + timedelta(hours=2)
SAG = item_key("cables.L2.sag")
BEFORE = edits.tick(straight(120.0, {"N": (30.0, 60.0)}, posts=posts("n", *range(0, 121, 20))), SAG, AT, "Ana", reading_in=6)


def laid_out_again() -> Job:
    return accepted_again(BEFORE, fresh_layout(BEFORE, walk(BEFORE)), BASE, "Ana")


def another_way() -> Job:
    before = walk(BEFORE)
    return with_new_way(BEFORE, before, given_up(BEFORE, before, NewWay("P3", "P5", ("N",)), BASE), BASE, "Ana")


def struck(job: Job) -> Job:
    """The job with its plan or new way struck on the other laptop."""
    return strike(job, next(entry.id for entry in job.log if entry.kind in ("planned", "reroute")), LATER, "Teal")


def standing(job: Job) -> list[str]:
    return [entry.kind for entry in live(job.log)]


@pytest.mark.parametrize("base", [laid_out_again(), another_way()], ids=["fresh layout", "new way"])
def test_it_is_joined_unasked_with_what_has_nothing_to_do_with_it(base: Job) -> None:
    ours = edits.tick(edits.note(base, "soft", LATER, "Mo"), item_key("posts.P2.plumb"), LATER, "Mo")
    merged = merge(base, ours, struck(base))
    assert merged.conflicts == ()
    assert (merged.job.posts, merged.job.lines, standing(merged.job)) == (BEFORE.posts, BEFORE.lines, ["note"])
    assert {str(key) for key in merged.job.checks} == {"cables.L2.sag", "posts.P2.plumb"}
    turned = merge(base, struck(base), ours)
    assert turned.job == merged.job


@pytest.mark.parametrize("keep", ["ours", "theirs"])
def test_a_new_way_that_both_struck_and_one_took_again_is_that_ones(keep: Side) -> None:
    """Its line and posts are as before both struck it: the same, and yet changed since."""
    base, soon = another_way(), LATER + timedelta(minutes=5)
    here, there = struck(base), strike(base, base.log[-1].id, LATER, "Mo")
    before = walk(there)
    again = with_new_way(there, before, given_up(there, before, NewWay("P3", "P5", ("N",)), soon), soon, "Mo")
    assert (again.posts, again.lines) == (base.posts, base.lines)
    for merged in (merge(base, here, again, keep), merge(base, again, here, keep)):
        assert merged.conflicts == ()
        assert (merged.job.posts, merged.job.lines, merged.job.checks) == (again.posts, again.lines, again.checks)
        assert standing(merged.job)[-1] == "reroute"


def test_a_plan_of_an_older_program_struck_in_the_log_alone_is_no_question() -> None:
    """It didn't keep what stood before, so its plan stays, and what the other laptop did on it."""
    again = laid_out_again()
    base = again.model_copy(update={"log": tuple(entry.model_copy(update={"before": None}) for entry in again.log)})
    ours = edits.move_post(base, "P2", LATER, "Mo", along_ft=1)
    for merged in (merge(base, ours, struck(base)), merge(base, struck(base), ours)):
        assert merged.conflicts == ()
        assert (merged.job.posts, standing(merged.job)) == (base.posts, ["move"])


def test_a_move_on_the_plan_is_asked_about_and_each_answer_is_whole() -> None:
    base = laid_out_again()
    ours = edits.move_post(base, "P2", LATER, "Mo", along_ft=1)
    kept, gone = merge(base, ours, struck(base), "ours"), merge(base, ours, struck(base), "theirs")
    assert [(asked.about, asked.ours, asked.theirs) for asked in kept.conflicts] == [
        ("The plan", "The move of P2 on Apr 14 stands on it", "taken back: Plan accepted: 6 supports. Gone: P4"),
    ]
    assert (kept.job.posts, standing(kept.job)) == (base.posts, ["planned", "move"])
    assert (gone.job.posts, standing(gone.job)) == (BEFORE.posts, [])
    assert [(entry.kind, entry.struck_by) for entry in gone.job.log] == [("planned", "Teal"), ("move", "Teal")]
    assert merge(base, struck(base), ours, "theirs").job == kept.job
    assert merge(base, struck(base), ours, "ours").job == gone.job


def test_a_level_along_the_new_way_is_asked_about() -> None:
    base = another_way()
    level = {"method": "level", "line": "n", "station_ft": 60.0, "level_ft": 9.0}
    ours = entering.put(base, "shots", "V1", level)
    kept, gone = merge(base, ours, struck(base), "ours"), merge(base, ours, struck(base), "theirs")
    assert kept.conflicts[0].ours == "Shot V1 was entered on n since, along the new way"
    assert (kept.job.lines, "V1" in kept.job.shots, SAG in kept.job.checks) == (base.lines, True, False)
    assert (gone.job.lines, "V1" in gone.job.shots, gone.job.checks[SAG].reading_in) == (BEFORE.lines, False, 6.0)
    assert standing(kept.job) == ["superseded", "reroute"]


def test_a_reading_that_came_back_on_one_side_stands_for_both() -> None:
    base = edits.untick(BEFORE, SAG, BASE, "Ana")
    theirs = strike(base, base.log[-1].id, LATER, "Teal")
    ours = edits.note(base, "soft", LATER, "Mo")
    merged = merge(base, ours, theirs)
    assert (merged.conflicts, merged.job.checks) == ((), BEFORE.checks)
    assert merge(base, theirs, ours).job == merged.job


def test_a_second_way_on_a_way_that_was_struck_is_one_question_and_its_points_go_with_it() -> None:
    way = another_way()
    before = walk(way)
    more = with_new_way(way, before, given_up(way, before, NewWay("P2", "P5", ("N",)), LATER), LATER, "Ana")
    for merged in (merge(way, struck(way), more), merge(way, more, struck(way), "theirs")):
        assert [asked.path for asked in merged.conflicts] == [("plan",)]
        assert merged.job.lines == BEFORE.lines
        assert merged.job.shots == BEFORE.shots
