"""What ticks say of a sleeve: that it is in the ground though its depth wasn't read, and which one a post comes back to after it was driven
elsewhere meanwhile."""

from collections.abc import Callable
from datetime import timedelta

import pytest

from engine.change.new_way.given_up import NewWay
from engine.job.edit import edits
from engine.job.edit.striking import strike
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.paper.as_built import build_record
from engine.stages.posts.sleeves.old_sleeves import may_be_cut_off
from engine.walk import walk
from tests.change.new_way.test_job_after import another_way, line_of
from tests.demo import AT, BY
from tests.stages.posts.sleeves.test_old_sleeves import (
    AT_THREE,
    DEPTH,
    FIRST,
    SECOND,
    WEEK,
    asked,
    driven,
    left,
    now,
    sleeves,
    state,
    with_end,
)

SOLID, PLUMB = item_key("posts.P4.solid"), item_key("posts.P4.plumb")


def moved_and_driven_anew() -> Job:
    """P4 driven at 60 ft, solid and plumb, moved to 62 and driven, solid and plumb there."""
    job = line_of()
    for n, reading_in in enumerate((24, 25)):
        if n:
            job = edits.move_post(job, "P4", AT + timedelta(hours=1), BY, along_ft=2)
        for key, read in ((DEPTH, reading_in), (SOLID, None), (PLUMB, None)):
            job = now(job, key, AT + timedelta(hours=2 * n), read)
    return job


def test_a_move_struck_after_the_post_was_driven_anew_finds_the_first_sleeve_driven_still_and_asks_about_the_second() -> None:
    """The post itself was taken out of the first sleeve, so that it is plumb there has to be seen again."""
    driven_anew = moved_and_driven_anew()
    assert asked(driven_anew) == {FIRST: "open"}
    move = next(entry for entry in driven_anew.log if entry.kind == "move")
    moved_back = edits.move_post(driven_anew, "P4", AT_THREE, BY, along_ft=-2)
    for back in (strike(driven_anew, move.id, AT_THREE, BY), moved_back):
        assert [state(back, key) for key in (DEPTH, SOLID, PLUMB)] == ["done", "done", "open"]
        assert (walk(back).posts.work["P4"].driven_in, asked(back)) == (24, {SECOND: "open"})


def test_a_first_sleeve_that_counts_again_is_opened_read_anew_and_pulled_like_any() -> None:
    back = edits.move_post(moved_and_driven_anew(), "P4", AT_THREE, BY, along_ft=-2)
    opened = edits.untick(back, DEPTH, AT_THREE, BY, walk(back).checklists["posts"].by_key[DEPTH].tick)
    read = now(back, DEPTH, AT_THREE, 26)

    assert (state(opened, DEPTH), asked(opened)) == ("open", {SECOND: "open"})
    assert (state(read, DEPTH), walk(read).posts.work["P4"].driven_in, asked(read)) == ("done", 26, {SECOND: "open"})
    done_again = strike(opened, opened.log[-1].id, AT_THREE, BY)
    assert (done_again.checks, state(done_again, DEPTH)) == (back.checks, "done")
    pulled = now(moved_and_driven_anew(), item_key(FIRST), AT_THREE)
    assert state(edits.move_post(pulled, "P4", AT_THREE, BY, along_ft=-2), DEPTH) == "open"


EYES = item_key("posts.P4.eyes")
GOES: dict[str, tuple[Callable[[Job], Job], str, int]] = {
    "left out": (lambda job: edits.drop_post(job, "P4", AT + WEEK, BY), "post left out", 6),
    "moved": (lambda job: edits.move_post(job, "P4", AT + WEEK, BY, along_ft=2), "post moved", 7),
    "a new way": (lambda job: another_way(job, NewWay("P3", "P5", ("N",)), AT + WEEK), "came out with a new way", 9),
    "a new plan": (
        lambda job: edits.accept_layout(job, {name: post for name, post in job.posts.items() if name != "P4"}, AT + WEEK, BY),
        "not in the new plan",
        6,
    ),
}


@pytest.mark.closed_form
@pytest.mark.parametrize("says", [(SOLID,), (PLUMB,), (EYES,), (SOLID, PLUMB, EYES)], ids=lambda keys: " ".join(key.what for key in keys))
@pytest.mark.parametrize(("goes", "what", "stand"), GOES.values(), ids=list(GOES))
def test_a_sleeve_whose_depth_was_not_read_is_asked_about_counted_and_left_like_any(
    says: tuple[ItemKey, ...], goes: Callable[[Job], Job], what: str, stand: int
) -> None:
    """Of `stand` posts that stand after P4 went none is driven: only its own sleeve, a week old, is used."""
    job = line_of()
    for key in says:
        job = now(job, key, AT)
    assert (sleeves(job), asked(job)) == ((7, 1), {})
    gone = goes(job)
    assert (left(gone), asked(gone), sleeves(gone)) == ([("P4", what, (0.0, 60.0))], {FIRST: "open"}, (stand + 1, 1))
    worked = walk(gone)
    assert [one.there for one in may_be_cut_off(gone, worked.layout, worked.posts.old_sleeves).values()] == [(0.0, 60.0)]


def test_a_depth_that_was_said_not_to_be_needed_leaves_a_sleeve_that_is_solid_and_none_where_nothing_else_is_ticked() -> None:
    at_p4 = walk(line_of()).checklists["posts"].by_key[DEPTH].item.of
    unread = edits.tick(line_of(), DEPTH, AT, BY, of=at_p4, needed=False, note="tape forgotten")
    young = AT + timedelta(days=1)
    assert (sleeves(unread), asked(edits.drop_post(unread, "P4", young, BY))) == ((7, 0), {})
    solid = now(unread, SOLID, AT)
    gone = edits.drop_post(solid, "P4", young, BY)
    assert (sleeves(solid), asked(gone), left(gone), sleeves(gone)) == ((7, 1), {FIRST: "open"}, [], (6, 1))
    assert asked(edits.drop_post(edits.untick(solid, SOLID, AT, BY), "P4", young, BY)) == {}


def test_ticks_of_an_older_file_that_name_no_place_tell_of_a_sleeve_too() -> None:
    for key in (SOLID, PLUMB, EYES):
        job = edits.tick(line_of(), key, AT, BY)
        assert (sleeves(job)[1], asked(edits.move_post(job, "P4", AT + WEEK, BY, along_ft=2))) == (1, {FIRST: "open"})


def test_eyes_in_a_tree_and_a_post_on_a_plate_leave_no_sleeve() -> None:
    oak = line_of(trees={"oak": {"point": "N", "diameter_in": 14}})
    held = {**oak.posts, "P4": oak.posts["P4"].model_copy(update={"support": "tree", "at": "oak"})}
    job = now(oak.model_copy(update={"posts": held}), EYES, AT)
    assert (sleeves(job)[1], asked(edits.drop_post(job, "P4", AT + WEEK, BY))) == (0, {})
    deck = {"deck": {"line": "n", "from_ft": 50, "to_ft": 70, "kind": "slab"}}
    slab = line_of(surfaces=deck)
    on_slab = {**slab.posts, "P4": slab.posts["P4"].model_copy(update={"support": "structure", "at": "deck"})}
    slab = slab.model_copy(update={"posts": on_slab})
    plumb = now(now(slab, PLUMB, AT), EYES, AT)
    assert (sleeves(plumb)[1], asked(edits.drop_post(plumb, "P4", AT + WEEK, BY))) == (0, {})


PINNED = item_key("bracing.P4.pinned")


def test_a_pinned_post_stands_in_a_sleeve_until_one_was_pulled_there() -> None:
    there = now(line_of(), DEPTH, AT, 24).checks[DEPTH].of._replace(words=())
    job = edits.tick(line_of(), PINNED, AT, BY, of=there)
    moved = edits.move_post(job, "P4", AT + WEEK, BY, along_ft=2)
    assert (asked(moved), left(moved)) == ({FIRST: "open"}, [("P4", "post moved", (0.0, 60.0))])
    both = edits.move_post(now(job, DEPTH, AT, 24), "P4", AT + WEEK, BY, along_ft=2)
    assert asked(now(both, item_key(FIRST), AT + WEEK)) == {FIRST: "done"}


@pytest.mark.closed_form
def test_a_sleeve_that_a_small_correction_left_in_use_counts_once_read_or_not() -> None:
    """The line runs to (0.9, 120): its 60 ft are 0.45 ft to the east. Moved 2 ft on from there its sleeve is where it was driven."""
    for key, read in ((DEPTH, 24), (SOLID, None), (EYES, None)):
        put_right = with_end(now(line_of(), key, AT, read), 0.9)
        assert (sleeves(put_right), asked(put_right), dict(walk(put_right).in_sleeves)) == ((7, 1), {}, {"P4": AT})
        moved = edits.move_post(put_right, "P4", AT + WEEK, BY, along_ft=2)
        assert (left(moved), sleeves(moved), dict(walk(moved).in_sleeves)) == ([("P4", "post moved", (0.0, 60.0))], (8, 1), {})


LEFT_OUT = [("P4", "post left out", (0.0, 60.0))]


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("needed", "stays", "counted", "listed"),
    [(True, [], (6, 0), []), (False, LEFT_OUT, (7, 1), ["P4"]), (None, [], (6, 1), ["P4"])],
    ids=["pulled", "left where it is", "left open at sign-off"],
)
def test_a_young_sleeve_that_nobody_said_was_pulled_is_left_in_the_ground(
    needed: bool | None, stays: list[tuple[str, str, tuple[float, float]]], counted: tuple[int, int], listed: list[str]
) -> None:
    """Six posts are left. It is used until it is said to be out; where that isn't needed it stays, whatever days the rule says later."""
    job = edits.drop_post(driven(line_of(), "P4"), "P4", AT + timedelta(days=1), BY)
    key = walk(job).posts.old_sleeves[0].key
    if needed is not None:
        facts = walk(job).checklists["posts"].by_key[key].item.of
        job = edits.tick(job, key, AT + timedelta(days=1), BY, needed=needed, note="" if needed else "left where it is", of=facts)
    assert (left(job), sleeves(job)) == (stays, counted)
    assert list(build_record(job, walk(job), AT + WEEK, BY, "the client", {}).sleeves_left) == listed
    of_days = job.rules.posts.model_copy(update={"pull_days": 0.5})
    later = job.model_copy(update={"rules": job.rules.model_copy(update={"posts": of_days})})
    assert needed is None or (left(later), sleeves(later), item_of(later, key)) == (stays, counted, item_of(job, key))


def item_of(job: Job, key: ItemKey) -> tuple[str, str]:
    line = walk(job).checklists["posts"].by_key[key]
    assert line.item.says == "P4: the old sleeve at 60' 0\" of n pulled, its hole filled"
    return line.item.says, line.state
