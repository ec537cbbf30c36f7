"""A new way keeps clear of the fence that stays, of itself, and of the sleeves that it leaves in the ground; it takes out what is in."""

from datetime import timedelta

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.change.new_way.taken_down import taken_down
from engine.job.edit import edits
from engine.job.errors import EditRefused
from engine.job.model.item_key import item_key
from engine.walk import walk
from tests.change.new_way.test_job_after import LATER, another_way, line_of, refused, said
from tests.demo import AT, BY, accepted
from tests.stages.flat_yards import posts, ring, straight
from tests.test_done_means_done import JOBS, all_ticked


@pytest.mark.parametrize(
    ("way", "clear"),
    [
        (NewWay("P3", "P5", ("N",)), True),
        (NewWay("P3", "P5", ("S",)), False),
        (NewWay("P3", "P5", ("back", "N")), True),
        (NewWay("P3", "P5", ("right", "left")), False),
        (NewWay("P3", "P5", ("right", "N", "cross", "left")), False),
        (NewWay("P1", "P7", ("N",)), True),
    ],
)
def test_a_new_way_does_not_run_over_the_fence_that_stays_nor_over_itself(way: NewWay, clear: bool) -> None:
    """P3 at 40 and P5 at 80 of a line due north. To S it would go back along the fence; from 20 ft right to 20 ft left across it, at 10."""
    points = {"back": (20.0, 30.0), "right": (20.0, 10.0), "left": (-20.0, 10.0), "cross": (10.0, 0.0)}
    job = line_of(points)
    if clear:
        assert another_way(job, way).lines["n"] != job.lines["n"]
    else:
        assert refused(job, way) == "The new way would run over n where that stays. Name points that keep it clear of the fence."


def test_a_rings_new_way_does_not_run_over_the_ring_that_stays() -> None:
    """Eight posts round a 40 ft square. From P8 over the first point to P2, and from P2 to P4: inside it is clear, by Q3 or Q1 it isn't."""
    job = ring(posts=posts("r", *range(0, 160, 20), kinds={0: "corner", 7: "line"}))
    job = job.model_copy(update={"points": {**job.points, "M": straight(1, {"M": (12.0, 12.0)}).points["M"]}})
    for way in (NewWay("P8", "P2", ("M",)), NewWay("P2", "P4", ("M",))):
        assert "M" in another_way(job, way).lines["r"].points
    for way in (NewWay("P8", "P2", ("Q3",)), NewWay("P2", "P4", ("Q1",))):
        assert refused(job, way).startswith("The new way would run over r where that stays.")


@pytest.mark.closed_form
@pytest.mark.parametrize(("days", "stays", "new_ft"), [(6, None, 40.75), (7, None, 41.0), (7, (), 40.75), (6, ("P3",), 41.0)])
def test_a_new_way_keeps_a_foot_off_the_sleeves_that_stay(days: int, stays: tuple[str, ...] | None, new_ft: float) -> None:
    """P2 at 20 and P4 at 61' 6": half way is 9" from the sleeve of P3 at 40. One driven a week ago stays, if the crew doesn't pull it."""
    job = straight(80.0, posts=posts("n", 0, 20, 40, 61.5, 80))
    for name in job.posts:
        job = edits.tick(job, item_key(f"posts.{name}.driven_depth"), AT, BY, reading_in=24)
    done = another_way(job, NewWay("P2", "P4"), AT + timedelta(days=days), stays=stays)
    assert done.posts["P6"].station_ft == new_ft


@pytest.mark.closed_form
def test_a_new_way_keeps_a_foot_off_a_sleeve_that_stayed_before() -> None:
    """P3 went from 40 to 43 and left its sleeve; a new way from 20 to 61' 6" has its middle 9" from that."""
    job = edits.tick(straight(80.0, posts=posts("n", 0, 20, 40, 61.5, 80)), item_key("posts.P3.driven_depth"), AT, BY, reading_in=24)
    job = edits.move_post(job, "P3", LATER, BY, along_ft=3)
    assert another_way(job, NewWay("P2", "P4"), LATER).posts["P6"].station_ft == 41.0


def test_a_bay_that_a_new_way_leaves_keeps_its_stakes_though_its_post_stood_off_the_line() -> None:
    """P10 stands 11" off the line that it becomes a point of: from P9 to it there is 1/4" more than along the old line."""
    job = all_ticked(JOBS["willow_bend"]())
    after = walk(another_way(job, NewWay("P10", "P13"), AT + timedelta(days=300)))
    assert after.checklists["staking"].by_key[item_key("staking.P9-P10.flush")].state == "done"


@settings(max_examples=6, deadline=None)
@example("willow_bend", 9, 3)
@given(st.sampled_from(sorted(JOBS)), st.integers(0, 20), st.integers(2, 4))
def test_no_new_way_sets_its_posts_beside_a_sleeve_that_it_leaves(name: str, first: int, over: int) -> None:
    job = all_ticked(JOBS[name]())
    row = max((line.supports for line in walk(job).layout.lines.values()), key=len)
    try:
        after = another_way(job, NewWay(row[first % len(row)], row[(first + over) % len(row)]), AT + timedelta(days=300))
    except EditRefused:
        return
    assert not [finding.says for finding in walk(after).findings if finding.code == "near_old_sleeve"]


@pytest.mark.parametrize(("way", "sleeves"), [(("P5", "P7"), ["P6"]), (("P10", "P12"), ["P11"]), (("P13", "P16"), ["P14", "P15"])])
def test_what_a_new_way_would_drive_beside_a_sleeve_that_comes_out_is_set_into_it(way: tuple[str, str], sleeves: list[str]) -> None:
    """Straight from support to support the proposal is 2 to 6 in off sleeves driven today: they serve again, none is said to be pulled."""
    job = all_ticked(accepted())
    before, by_names = walk(job), NewWay(*way)
    given = given_up(job, before, by_names, AT)
    after = walk(with_new_way(job, before, given, AT, BY))
    assert sorted(after.posts.reused.values()) == sleeves
    for post, of in after.posts.reused.items():
        assert after.layout.supports[post].xy == pytest.approx(before.layout.supports[of].xy, abs=1e-3)
    assert "off_its_sleeve" not in {finding.code for finding in after.findings}
    assert not [line for line in taken_down(job, before, after, given, given.stays).says if "sleeve" in line]


def test_eyes_are_taken_out_of_a_tree_where_they_were_ticked_and_of_no_other() -> None:
    key, take_out = item_key("posts.P7.eyes"), "Take the eyes out at P7."
    there = accepted()
    assert take_out not in said(there, NewWay("P5", "P8"))
    in_it = edits.tick(there, key, AT, BY, of=walk(there).checklists["posts"].by_key[key].item.of)
    assert take_out in said(in_it, NewWay("P5", "P8"))
