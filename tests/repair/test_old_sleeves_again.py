"""Sleeves that an earlier job left in the ground: nothing is driven beside them, and a post that is put onto one stands in it."""

from collections.abc import Callable
from functools import cache

import pytest

from engine.calc.geometry.plane import distance_ft
from engine.calc.lengths import format_ft_in
from engine.change.consequences import consequences
from engine.drawing.plan_shapes import plan_shapes
from engine.drawing.shapes import Mark, Words
from engine.job.edit import edits
from engine.job.edit.striking import strike
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.stock_table import stock_of
from engine.paper.as_built import left_sleeves
from engine.stages.layout.sleeves_in_ground import repair_now
from engine.stages.posts.sleeves.old_sleeves import may_be_cut_off
from engine.walk import Walk, walk
from tests.demo import BY
from tests.repair.finished import SIGNED, YEARS, finished
from tests.repair.test_what_stands import lines, needed, open_keys, repair_of
from tests.test_done_means_done import all_ticked
from tui.boxes.change.preview import summary

POST = "P11"
DEPTH = ItemKey("posts", POST, "driven_depth")


@cache
def moved_away() -> Job:
    """A repair of the demo whose P11 was moved 3 ft along after its sleeve had stood for more than a year: that stays in the ground, and
    nobody said that it was cut off."""
    done = all_ticked(edits.move_post(finished("willow_bend"), POST, SIGNED, BY, along_ft=3))
    (asked,) = (key for key in done.checks if key.what == "old_sleeve")
    return repair_of(edits.untick(done, asked, SIGNED, BY))


@cache
def cut_off() -> Job:
    """The same, and that was ticked: cut off below the ground and filled."""
    return repair_of(all_ticked(edits.move_post(finished("willow_bend"), POST, SIGNED, BY, along_ft=3)))


def left_for_another_reason() -> Job:
    """The same, and that it was cut off was logged."""
    moved = all_ticked(edits.move_post(finished("willow_bend"), POST, SIGNED, BY, along_ft=3))
    (asked,) = (key for key in moved.checks if key.what == "old_sleeve")
    there = walk(finished("willow_bend")).layout.supports[POST].xy
    return repair_of(edits.sleeve_left(edits.untick(moved, asked, SIGNED, BY), POST, there, SIGNED, BY, why="a root holds it"))


def sleeve_keep_outs(worked: Walk) -> list[str]:
    return [area.id.record for area in worked.layout.keep_outs if area.id.source == "sleeve"]


def station_of_the_sleeve(job: Job) -> float:
    assert job.repair_of is not None
    station_ft = job.repair_of.sleeves[POST].station_ft
    assert station_ft is not None
    return station_ft


def test_the_old_sleeve_is_kept_with_its_place_and_how_it_was_read() -> None:
    job = moved_away()
    assert job.repair_of is not None
    assert list(job.repair_of.sleeves) == [POST]
    sleeve, was = job.repair_of.sleeves[POST], walk(finished("willow_bend")).layout.supports[POST]
    assert distance_ft(sleeve.xy, was.xy) <= 0.001
    assert (sleeve.what, sleeve.driven_by) == ("post moved", BY)
    assert sleeve.driven_in is not None
    assert sleeve_keep_outs(walk(job)) == [POST]
    assert list(left_sleeves(job, walk(job))) == [POST]


def test_an_old_sleeve_whose_depth_nobody_read_is_kept_and_a_post_that_is_put_onto_it_asks_for_its_depth_alone() -> None:
    before = finished("willow_bend")
    unread = before.model_copy(update={"checks": {key: tick for key, tick in before.checks.items() if key != DEPTH}})
    moved = all_ticked(edits.move_post(unread, POST, SIGNED, BY, along_ft=3))
    (asked,) = (key for key in moved.checks if key.what == "old_sleeve")
    job = repair_of(edits.untick(moved, asked, SIGNED, BY))
    assert job.repair_of is not None
    sleeve = job.repair_of.sleeves[POST]
    assert (sleeve.driven_by, sleeve.driven_in) == (BY, None)
    after = walk(edits.add_post(job, "back", station_of_the_sleeve(job), YEARS, BY))
    name = edits.next_post_id(job)
    states = {key.what: line.state for key, line in lines(after).items() if key.stage == "posts" and key.subject == name}
    assert states == {"driven_depth": "open", "solid": "done", "plumb": "open", "eyes": "open"}
    assert (needed(after)[job.fence.post], job.fence.sleeve in needed(after)) == (1, False)


@pytest.mark.independent
@pytest.mark.parametrize("off_ft", [0.8, -0.8])
def test_a_post_beside_it_stands_in_its_keep_out(off_ft: float) -> None:
    job = moved_away()
    after = walk(edits.add_post(job, "back", station_of_the_sleeve(job) + off_ft, YEARS, BY))
    assert [finding.says for finding in after.findings if finding.code == "in_keep_out" and "old sleeve" in finding.says]
    assert sleeve_keep_outs(after) == [POST]


@pytest.mark.independent
@pytest.mark.parametrize("off_ft", [0.0, 0.3, -0.45])
def test_a_post_put_onto_it_stands_in_it_and_asks_no_driving(off_ft: float) -> None:
    job = moved_away()
    assert job.repair_of is not None
    sleeve = job.repair_of.sleeves[POST]
    after = walk(edits.add_post(job, "back", station_of_the_sleeve(job) + off_ft, YEARS, BY))
    name = edits.next_post_id(job)
    assert after.layout.supports[name].xy == sleeve.xy
    assert sleeve_keep_outs(after) == []
    asked = {key.what: line for key, line in lines(after).items() if key.stage == "posts" and key.subject == name}
    assert {what: line.state for what, line in asked.items()} == {"driven_depth": "done", "solid": "done", "plumb": "open", "eyes": "open"}
    depth = asked["driven_depth"].tick
    assert depth is not None
    assert (depth.reading_in, depth.at, depth.note) == (sleeve.driven_in, sleeve.driven_at, f"in the old sleeve of {POST}")
    assert after.posts.work[name].driven_in == sleeve.driven_in
    assert (needed(after)[job.fence.post], job.fence.sleeve in needed(after)) == (1, False)
    assert left_sleeves(job, after) == {}


def test_an_old_sleeve_of_another_row_answers_for_none_of_the_fences() -> None:
    """Whoever reuses it says so by a depth of their own."""
    job = moved_away()
    assert job.repair_of is not None
    assert job.repair_of.sleeves[POST].row == "sleeve-30"
    stock = {**job.stock, "sleeve-long": stock_of(job.stock)["sleeve-30"]}
    other = job.model_copy(update={"fence": job.fence.model_copy(update={"sleeve": "sleeve-long"}), "stock": stock})
    name, key = edits.next_post_id(job), ItemKey("posts", edits.next_post_id(job), "driven_depth")
    states = [lines(walk(edits.add_post(one, "back", station_of_the_sleeve(job), YEARS, BY)))[key].state for one in (job, other)]
    assert (name, states) == ("P17", ["done", "open"])


def test_a_post_that_is_moved_onto_it_leaves_its_own_and_away_again_it_is_a_keep_out_again() -> None:
    job = moved_away()
    there = edits.move_post(job, POST, YEARS, BY, along_ft=-3)
    assert sleeve_keep_outs(walk(there)) == []
    assert job.repair_of is not None
    assert walk(there).layout.supports[POST].xy == job.repair_of.sleeves[POST].xy
    assert not [finding for finding in walk(there).findings if finding.code == "sleeve_stopped_short"]
    told = consequences(walk(job), walk(there))
    assert told.reused == ((POST, POST),)
    assert "P11 goes into the old sleeve of P11: no other is driven." in summary("", told).plain
    away = edits.move_post(there, POST, YEARS, BY, along_ft=5)
    assert sleeve_keep_outs(walk(away)) == [POST]


def test_one_seven_tenths_of_a_foot_off_the_line_is_beside_it() -> None:
    job = moved_away()
    after = walk(edits.add_post(job, "back", station_of_the_sleeve(job), YEARS, BY, offset_ft=0.7))
    assert sleeve_keep_outs(after) == [POST]


def test_a_post_that_was_moved_six_inches_and_never_driven_there_stands_in_no_old_sleeve() -> None:
    """Half a foot is where one sleeve serves both, and places are rounded."""
    old = edits.move_post(finished("ridge_ring"), "P1", SIGNED, BY, along_ft=0.5)
    mend = repair_of(old)
    assert walk(mend).posts.work["P1"].driven_in is None
    assert {key.what: tick.state for key, tick in mend.checks.items() if key.stage == "posts" and key.subject == "P1"} == dict.fromkeys(
        ("driven_depth", "solid", "plumb", "eyes"), "left open"
    )


def cut_off_in_the_repair() -> Job:
    """One that was left whole, and that the crew of the repair cut off."""
    mend = moved_away()
    (one,) = may_be_cut_off(mend, walk(mend).layout, walk(mend).posts.old_sleeves).values()
    return edits.sleeve_left(mend, one.post, one.there, YEARS, BY, why="it leaned")


def test_an_old_sleeve_that_is_cut_off_in_a_repair_takes_no_post_until_that_is_struck() -> None:
    mend = moved_away()
    cut = cut_off_in_the_repair()
    assert [one.says for one in may_be_cut_off(mend, walk(mend).layout, ()).values()] == [
        f"post moved at {format_ft_in(station_of_the_sleeve(mend))} of back"
    ]
    assert (may_be_cut_off(cut, walk(cut).layout, ()), walk(cut).posts.old_sleeves, open_keys(walk(cut))) == ({}, (), set())
    assert {name: left.what for name, left in left_sleeves(cut, walk(cut)).items()} == {POST: "post moved, cut off"}
    assert repair_of(cut).repair_of.sleeves[POST].cut_off  # type: ignore[union-attr]  # a repair
    struck = strike(cut, cut.log[-1].id, YEARS, BY)
    assert sleeve_keep_outs(walk(edits.add_post(struck, "back", station_of_the_sleeve(mend), YEARS, BY))) == []


@pytest.mark.parametrize("job", [cut_off, left_for_another_reason, cut_off_in_the_repair])
def test_one_that_was_cut_off_is_a_keep_out_and_no_post_stands_in_it(job: Callable[[], Job]) -> None:
    mend = job()
    assert mend.repair_of is not None
    assert repair_now(mend).sleeves[POST].cut_off  # type: ignore[union-attr]  # a repair
    assert not moved_away().repair_of.sleeves[POST].cut_off  # type: ignore[union-attr]  # a repair
    after = walk(edits.add_post(mend, "back", station_of_the_sleeve(mend) + 0.3, YEARS, BY))
    name = edits.next_post_id(mend)
    assert after.layout.supports[name].xy != mend.repair_of.sleeves[POST].xy
    assert sleeve_keep_outs(after) == [POST]
    assert [finding.says for finding in after.findings if finding.code == "in_keep_out" and "old sleeve" in finding.says]
    asked = {key.what: line.state for key, line in lines(after).items() if key.stage == "posts" and key.subject == name}
    assert set(asked.values()) == {"open"}
    assert needed(after)[mend.fence.sleeve] == 1
    assert {name: left.what for name, left in left_sleeves(mend, after).items()} == {POST: "post moved, cut off"}


def test_a_repair_of_that_repair_knows_which_was_cut_off() -> None:
    for job, cut in ((moved_away(), False), (cut_off(), True)):
        again = repair_of(job)
        assert again.repair_of is not None
        assert {name: bool(one.cut_off) for name, one in again.repair_of.sleeves.items()} == {POST: cut}


def test_it_is_drawn_where_it_lies_until_a_post_stands_in_it() -> None:
    mend = moved_away()
    assert mend.repair_of is not None
    drawn = plan_shapes(mend, walk(mend))
    assert [mark.pos for mark in drawn.of(Mark, "old sleeve")] == [mend.repair_of.sleeves[POST].xy]
    assert [words.text for words in drawn.of(Words, "old sleeve")] == [f"old {POST}"]
    assert not [words.text for words in drawn.of(Words, "keepout") if POST in words.text]
    taken = edits.add_post(mend, "back", station_of_the_sleeve(mend), YEARS, BY)
    assert not list(plan_shapes(taken, walk(taken)).of(Mark, "old sleeve"))
