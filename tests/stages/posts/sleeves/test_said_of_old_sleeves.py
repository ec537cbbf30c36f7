"""What is said of one old sleeve twice, here and on another laptop: it is one sleeve, and what doesn't agree is told."""

from datetime import timedelta

import pytest

from engine.checklist import DONE_BEFORE
from engine.job.edit import edits
from engine.job.edit.striking import strike
from engine.job.merge.merge import merge
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.paper.as_built import left_sleeves
from engine.stages.layout.sleeves_in_ground import emptied_places
from engine.stages.posts.sleeves.old_sleeves import may_be_cut_off
from engine.walk import walk
from tests.change.new_way.test_job_after import line_of
from tests.demo import AT, BY
from tests.stages.posts.sleeves.test_old_sleeves import DEPTH, OLD, WEEK, left, now, sleeves

PLACE = (0.0, 60.0)


def away(days: int) -> Job:
    """A line with P4 driven and moved on by 2 ft some days later."""
    return edits.move_post(now(line_of(), DEPTH, AT, 24), "P4", AT + timedelta(days=days), "Mo", along_ft=2)


def cut_off(job: Job, by: str, hours: int = 0) -> Job:
    return edits.sleeve_left(job, "P4", PLACE, AT + WEEK + timedelta(hours=hours), by, why="stuck")


def offered(job: Job) -> list[str]:
    walked = walk(job)
    return [one.post for one in may_be_cut_off(job, walked.layout, walked.posts.old_sleeves).values()]


@pytest.mark.parametrize("days", [1, 8])
def test_one_that_both_laptops_say_was_cut_off_is_one(days: int) -> None:
    base = away(days)
    one, other = cut_off(base, "Mo"), cut_off(base, "Teal", 1)
    both, round_about = merge(base, one, other), merge(base, other, one)

    assert both.conflicts == ()
    assert both.job == round_about.job
    assert [entry.by for entry in both.job.log if entry.kind == "sleeve_left"] == ["Mo", "Teal"]
    assert left(both.job) == left(one) == [("P4", "post moved", PLACE)]
    assert sleeves(both.job) == sleeves(one)
    assert emptied_places(both.job) == {"P4": [PLACE]}


def test_the_record_says_that_one_was_cut_off_where_it_was_logged() -> None:
    base = away(2)
    told = [[one.what for one in left_sleeves(job, walk(job)).values()] for job in (base, cut_off(base, "Mo"))]
    assert told == [["post moved"], ["post moved, cut off"]]


def test_one_that_is_ticked_as_cut_off_and_logged_so_is_one() -> None:
    base = away(8)
    ticked, logged = now(base, OLD, AT + WEEK), cut_off(base, "Teal", 1)
    both = merge(base, ticked, logged).job
    assert left(both) == [("P4", "post moved", PLACE)]
    assert sleeves(both) == sleeves(logged)
    assert emptied_places(both) == {"P4": [PLACE]}


def test_one_of_which_it_was_said_what_became_is_offered_no_more() -> None:
    base = away(1)
    assert (offered(base), offered(cut_off(base, "Mo")), offered(now(base, OLD, AT + WEEK))) == (["P4"], [], [])


def test_one_that_is_ticked_as_pulled_here_and_logged_as_cut_off_there_is_told_until_one_is_taken_back() -> None:
    base = away(1)
    pulled, logged = now(base, OLD, AT + WEEK), cut_off(base, "Teal", 1)
    both = merge(base, pulled, logged).job
    assert merge(base, logged, pulled).job == both
    walked = walk(both)
    (told,) = [one for one in walked.findings if one.code == "sleeve_said_both"]
    assert told.level == "fix"
    assert told.says == (
        f"P4: the old sleeve at 60' 0\" of n is ticked as out of the ground by {BY}, and logged as cut off and left in it by Teal."
    )
    assert walked.checklists["posts"].by_key[OLD].state == "done"
    assert left(both) == [("P4", "post moved", PLACE)]

    entry = next(entry.id for entry in both.log if entry.kind == "sleeve_left")
    for settled in (edits.untick(both, OLD, AT + WEEK, "Mo"), strike(both, entry, AT + WEEK + timedelta(hours=2), "Mo"), logged, pulled):
        assert not [one for one in walk(settled).findings if one.code == "sleeve_said_both"]


def test_what_is_done_on_the_second_sleeve_of_a_place_stays_done_when_another_says_too_that_the_first_was_cut_off() -> None:
    base = edits.move_post(cut_off(away(8), "Mo"), "P4", AT + 2 * WEEK, "Mo", along_ft=-2)
    driven = now(base, DEPTH, AT + 2 * WEEK, 23)
    again = cut_off(driven, "Teal", 1)
    assert walk(again).checklists["posts"].by_key[item_key("posts.P4.driven_depth")].state == "done"
    assert not [one for one in walk(again).findings if one.code == DONE_BEFORE and one.stage == "posts"]
