"""What a merge asks is told by what differs: two layouts under one name, one reading for two reasons, two new ways in one line."""

from dataclasses import replace
from datetime import timedelta

from engine.change.logged_places import with_places
from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.job.edit.alternatives import keep_layout
from engine.job.edit.edits import tick
from engine.job.edit.striking import strike
from engine.job.merge.came_in import came_in
from engine.job.merge.merge import merge
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.walk import walk
from tests.demo import AT, accepted, demo


def lower(job: Job, height_ft: float) -> Job:
    return job.model_copy(update={"fence": job.fence.model_copy(update={"height_ft": height_ft})})


def test_two_layouts_kept_under_one_name_are_new_and_told_by_what_differs() -> None:
    base = demo()
    here, there = keep_layout(base, "north", note="short"), keep_layout(lower(base, 5.0), "north")
    there = there.model_copy(update={"fence": base.fence})
    (asked,) = merge(base, here, there).conflicts
    assert (asked.ours, asked.theirs) == ("new, with note short and height 6' 0\"", "new, with no note and height 5' 0\"")
    assert merge(base, there, here).conflicts == (replace(asked, ours=asked.theirs, theirs=asked.ours),)


def test_a_layout_that_both_changed_is_changed_and_a_gate_that_one_lacks_is_named() -> None:
    base = keep_layout(demo(), "north")
    row = base.alternatives["north"]
    here, there = (
        base.model_copy(update={"alternatives": {"north": row.model_copy(update=update)}}) for update in ({"gates": {}}, {"note": "low"})
    )
    (asked,) = merge(base, here, there).conflicts
    assert (asked.ours, asked.theirs) == ("changed, with no note and no gate side", "changed, with note low and gate side")


def test_one_reading_for_two_reasons_is_asked_by_its_reasons() -> None:
    base, key = accepted(), item_key("posts.P4.driven_depth")
    here, there = (tick(base, key, AT, by, reading_in=10.0, note=why) for by, why in (("Mo", "rock"), ("Teal", "ledge")))
    (asked,) = merge(base, here, there).conflicts
    assert (asked.ours, asked.theirs) == ('10" (rock), by Mo on Apr 14 at 09:30', '10" (ledge), by Teal on Apr 14 at 09:30')


def on_the_way(start: str, end: str, by: str, minutes: int) -> Job:
    base, at = accepted(), AT + timedelta(days=2, minutes=minutes)
    worked = walk(base)
    return with_places(with_new_way(base, worked, given_up(base, worked, NewWay(start, end), at), at, by), worked, base)


def test_level_shots_along_two_new_ways_are_counted() -> None:
    (asked,) = merge(accepted(), on_the_way("P4", "P6", "Mo", 10), on_the_way("P5", "P8", "Teal", 12)).conflicts
    assert asked.ours.endswith("P5 came out. 12 level shots were changed: level-03, level-04, level-05 and 9 more")
    assert asked.theirs.endswith("P6 and P7 came out. 2 level shots were changed: level-P5 and level-P8")


def test_what_a_new_way_wrote_anew_comes_in_as_one_sentence_and_goes_as_one() -> None:
    """Not shot by shot and post by post; a shot that says what the new way didn't write is told."""
    base, way = accepted(), on_the_way("P4", "P6", "Mo", 10)
    assert tuple(came_in(base, way)) == ("Logged, by Mo: back takes a new way from P4 to P6 straight. P5 came out.",)
    back = strike(way, way.log[-1].id, AT + timedelta(days=3), "Teal")
    assert tuple(came_in(way, back)) == (
        "Taken back: back takes a new way from P4 to P6 straight. P5 came out. (struck Apr 17 09:30 by Teal)",
    )
    assert tuple(came_in(back, way)) == ("Stands again: back takes a new way from P4 to P6 straight. P5 came out.",)
    level = way.shots["level-04"].model_copy(update={"rod_ft": 7.3})
    other = way.model_copy(update={"shots": {**way.shots, "level-04": level}})
    assert tuple(came_in(base, other))[1:] == ("Shot level-04 was changed.",)


def test_a_plan_that_was_accepted_comes_in_as_one_sentence() -> None:
    assert tuple(came_in(demo(), accepted())) == ("Logged, by Mo Teal: Plan accepted: 16 supports.",)
