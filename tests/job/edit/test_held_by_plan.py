"""An entry from before a new way or a plan struck: its post goes back where the plan took it over, else the log alone changes."""

from datetime import timedelta

import pytest

from engine.change.fresh_layout import accepted_again, fresh_layout
from engine.change.logged_places import with_places
from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.job.edit import edits
from engine.job.edit.striking import comes_of_it, strike
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import live
from engine.paper.plan.plan_json import plan
from engine.stages.layout.stage import planned_posts
from engine.walk import walk
from tests.demo import AT, BY
from tests.stages.flat_yards import posts, ring, straight

SOON, LATER = AT + timedelta(days=3), AT + timedelta(days=9)
DEPTH = item_key("posts.P7.driven_depth")
TREES = {"oak": {"point": "N", "diameter_in": 14}}
YARD = straight(120.0, {"N": (5.0, 100.0)}, posts=posts("n", *range(0, 121, 15)), trees=TREES)


def moved(job: Job, post: str, **by: float) -> Job:
    """As the screens log it, with the place."""
    return with_places(edits.move_post(job, post, AT, BY, **by), walk(job), job)


def bent(job: Job, first: str = "P3", last: str = "P5") -> Job:
    """A new way from the third post to the fifth, 30 ft and 60 ft along, some 4 ft longer than the old one."""
    at = job.model_copy(update={"points": {**job.points, "B": job.points["S"].model_copy(update={"east_ft": 8.0, "north_ft": 45.0})}})
    before = walk(at)
    return with_new_way(at, before, given_up(at, before, NewWay(first, last, ("B",)), SOON), SOON, BY)


def again(job: Job) -> Job:
    return accepted_again(job, fresh_layout(job, walk(job)), SOON, BY)


def struck(job: Job, kind: str) -> Job:
    return strike(job, first(job, kind), LATER, "Teal")


def first(job: Job, kind: str) -> str:
    return next(entry.id for entry in live(job.log) if entry.kind == kind)


def says(job: Job, kind: str) -> str:
    return comes_of_it(job, next(entry for entry in job.log if entry.id == first(job, kind)))


@pytest.mark.parametrize("post", ["P2", "P7", "P9"])
def test_a_move_of_a_post_that_a_new_way_left_standing_is_as_if_it_had_not_been_logged(post: str) -> None:
    job = bent(moved(YARD, post, along_ft=-1.5, out_ft=1.0))
    back = struck(job, "move")
    assert says(job, "move") == f"The new way of n on Apr 17 took that over: {post} goes back to where it stood."
    assert plan(walk(back)) == plan(walk(bent(YARD)))
    assert back.posts == bent(YARD).posts
    assert [entry.struck_by for entry in back.log] == ["Teal", ""]


def test_the_new_way_struck_later_brings_the_post_back_unmoved() -> None:
    back = struck(struck(bent(moved(YARD, "P7", along_ft=-1.5)), "move"), "reroute")
    assert (back.posts, back.lines) == (YARD.posts, YARD.lines)
    assert walk(back).layout.supports == walk(YARD).layout.supports


def test_a_move_of_a_post_that_came_out_with_the_new_way_changes_the_log_alone() -> None:
    job = bent(moved(YARD, "P4", along_ft=1.0))
    assert says(job, "move") == "P4 came out with the new way of n on Apr 17: only the log changes."
    back = struck(job, "move")
    assert back.model_copy(update={"log": job.log}) == job
    assert struck(back, "reroute").posts == YARD.posts
    assert walk(struck(back, "reroute")).layout.supports["P4"].xy == pytest.approx((0, 45))


def test_the_support_that_a_new_way_was_drawn_through_stays() -> None:
    job = bent(moved(YARD, "P5", along_ft=1.0, out_ft=1.0))
    assert says(job, "move") == (
        "The new way of n on Apr 17 stays as it is, and P5 where it has it: only the log changes. If it stands elsewhere, move it."
    )
    assert struck(job, "move").posts == job.posts


def test_of_two_moves_the_other_one_stays() -> None:
    job = bent(moved(moved(YARD, "P7", along_ft=-1.5), "P7", along_ft=1.0, out_ft=0.5))
    assert struck(job, "move").posts == bent(moved(YARD, "P7", along_ft=1.0, out_ft=0.5)).posts


def test_a_move_logged_since_the_new_way_stands_at_its_place() -> None:
    job = moved(bent(moved(YARD, "P7", along_ft=-1.5)), "P7", out_ft=1.0)
    there = walk(job).layout.supports["P7"].xy
    back = struck(job, "move")
    assert walk(back).layout.supports["P7"].xy == pytest.approx(there, abs=0.001)


def test_a_sleeve_that_was_driven_where_the_move_had_put_its_post_is_told_as_one_in_the_ground() -> None:
    job = bent(moved(YARD, "P7", along_ft=-1.5))
    item = walk(job).checklists["posts"].by_key[DEPTH].item
    job = edits.tick(job, DEPTH, SOON, BY, reading_in=24, of=item.of)
    back = walk(struck(job, "move"))
    assert [(one.post, one.what, one.there) for one in back.posts.old_sleeves] == [("P7", "struck from the log", pytest.approx((0, 88.5)))]
    assert back.checklists["posts"].by_key[DEPTH].state == "open"
    assert struck(job, "move").checks[DEPTH].reading_in == 24.0


def test_an_added_post_goes_out_of_the_new_way_too_with_what_was_logged_of_it_since() -> None:
    job = bent(moved(edits.add_post(YARD, "n", 98.0, AT, BY), "P10", out_ft=1.0))
    job = edits.move_post(job, "P10", SOON, BY, along_ft=1.0)
    assert says(job, "add") == (
        "The new way of n on Apr 17 took that over: P10 goes out of the plan."
        " Struck with it: the move of P10 on Apr 14 and the move of P10 on Apr 17."
    )
    back = struck(job, "add")
    assert [entry.struck_by for entry in back.log] == ["Teal", "Teal", "", "Teal"]
    assert set(back.posts) == set(job.posts) - {"P10"}
    assert struck(back, "reroute").posts == YARD.posts


def test_a_post_that_was_left_out_comes_back_into_the_new_way() -> None:
    job = bent(edits.drop_post(YARD, "P7", AT, BY))
    assert says(job, "drop") == "The new way of n on Apr 17 took that over: P7 comes back."
    back = struck(job, "drop")
    assert back.posts == bent(YARD).posts
    assert list(back.posts) == list(bent(YARD).posts)


def test_a_post_left_out_in_the_part_that_was_given_up_stays_out() -> None:
    job = bent(edits.drop_post(YARD, "P4", AT, BY))
    assert says(job, "drop") == "The new way of n on Apr 17 stays as it is, without P4: only the log changes."
    assert struck(job, "drop").posts == job.posts


def test_a_tree_in_a_posts_place_gives_it_back() -> None:
    job = bent(edits.swap_to_tree(YARD, "P8", "oak", AT, BY))
    assert job.posts["P8"].support == "tree"
    assert struck(job, "swap").posts == bent(YARD).posts


def test_a_plan_keeps_what_it_laid_out_and_lets_go_what_it_took_over() -> None:
    """P7 is driven where it was moved to, so the fresh layout leaves it there; P4 isn't, and gets a place of its own."""
    job = moved(moved(YARD, "P7", along_ft=-1.5), "P4", along_ft=2.0)
    job = edits.tick(job, DEPTH, AT, BY, reading_in=24, of=walk(job).checklists["posts"].by_key[DEPTH].item.of)
    laid = again(job)
    assert "P7 goes back to where it stood" in says(laid, "move")
    back = struck(laid, "move")
    assert (laid.posts["P7"].station_ft, back.posts["P7"]) == (88.5, YARD.posts["P7"])
    own = struck(back, "move")
    assert own.posts == back.posts
    assert walk(struck(own, "planned")).layout.supports["P4"].xy == pytest.approx((0, 45))


def test_a_plan_accepted_as_it_stood_goes_back_for_a_move_and_an_adding() -> None:
    job = moved(edits.add_post(YARD, "n", 98.0, AT, BY), "P7", along_ft=-1.5)
    job = edits.accept_layout(job, planned_posts(walk(job).layout), SOON, BY)
    back = struck(struck(job, "move"), "add")
    assert back.posts == YARD.posts


def test_a_later_plan_that_wrote_the_post_anew_keeps_it() -> None:
    first_way = bent(moved(YARD, "P7", along_ft=-1.5))
    posts_now = {**first_way.posts, "P7": first_way.posts["P7"].model_copy(update={"station_ft": 91.0})}
    planned = edits.accept_layout(first_way, posts_now, LATER, BY)
    assert says(planned, "move").startswith("The plan accepted on Apr 23 stays as it is, and P7 where it has it")
    assert struck(planned, "move").posts == planned.posts
    untouched = edits.accept_layout(first_way, first_way.posts, LATER, BY)
    assert struck(untouched, "move").posts == bent(YARD).posts


def test_on_a_ring_a_way_over_its_first_point_lets_the_others_go_back() -> None:
    job = ring(posts=posts("r", *range(0, 141, 20)))

    def way(side: Job) -> Job:
        before = walk(side)
        return with_new_way(side, before, given_up(side, before, NewWay("P7", "P2"), SOON), SOON, BY)

    assert struck(way(moved(job, "P4", along_ft=2.0)), "move").posts == way(job).posts
