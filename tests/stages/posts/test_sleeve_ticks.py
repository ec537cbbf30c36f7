"""A post that comes back to a sleeve of its own, after it was driven elsewhere meanwhile."""

from datetime import timedelta

from engine.job.edit import edits
from engine.job.edit.striking import strike
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.walk import walk
from tests.change.new_way.test_job_after import line_of
from tests.demo import AT, BY
from tests.stages.posts.test_old_sleeves import AT_THREE, DEPTH, FIRST, SECOND, asked, now, state

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
