"""A move from before a new way struck on one laptop while the other did something to its post: asked, and it fits together."""

from collections.abc import Callable
from datetime import timedelta

import pytest

from engine.change.logged_places import with_places
from engine.job.edit import edits
from engine.job.edit.striking import strike
from engine.job.file.as_read import as_read
from engine.job.merge.asked import Side
from engine.job.merge.merge import merge
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import live
from engine.walk import walk
from tests.demo import AT, BY
from tests.job.edit.test_held_by_plan import YARD, bent, moved

LATER = AT + timedelta(days=9)
BASE = as_read(bent(moved(YARD, "P7", along_ft=-1.5)))
STRUCK = strike(BASE, next(entry.id for entry in BASE.log if entry.kind == "move"), LATER, "Teal")
FLAG = item_key("layout.P7.flag")


def again(job: Job) -> Job:
    return with_places(edits.move_post(job, "P7", LATER, "Ana", out_ft=1.0), walk(job), job)


def test_what_the_other_laptop_did_elsewhere_stands_beside_it() -> None:
    other = edits.note(edits.move_post(BASE, "P8", LATER, "Ana", out_ft=1.0), "soft", LATER, "Ana")
    for one, two in ((STRUCK, other), (other, STRUCK)):
        merged = merge(BASE, one, two)
        assert merged.conflicts == ()
        assert merged.job.posts == STRUCK.posts
        assert [entry.kind for entry in live(merged.job.log)] == ["reroute", "move", "note"]


@pytest.mark.parametrize(
    ("keep", "posts", "kinds"), [("ours", STRUCK.posts, ["reroute"]), ("theirs", BASE.posts, ["move", "reroute", "move"])]
)
def test_a_move_since_is_asked_and_the_plan_goes_with_what_is_kept(keep: Side, posts: object, kinds: list[str]) -> None:
    turned: Side = "theirs" if keep == "ours" else "ours"
    for merged in (merge(BASE, STRUCK, again(BASE), keep), merge(BASE, again(BASE), STRUCK, turned)):
        assert [asked.path for asked in merged.conflicts] == [("log", "P7")]
        assert merged.job.posts == posts
        assert [entry.kind for entry in live(merged.job.log)] == kinds


@pytest.mark.parametrize("theirs", [again, lambda job: edits.drop_post(job, "P7", LATER, "Ana")])
def test_both_answers_are_kept_when_the_copies_meet_again(theirs: Callable[[Job], Job]) -> None:
    other = theirs(BASE)
    for keep in ("ours", "theirs"):
        merged = merge(BASE, STRUCK, other, keep)  # type: ignore[arg-type]  # a side
        for side in (STRUCK, other, BASE):
            assert (met := merge(side, merged.job, side)).job == merged.job
            assert met.conflicts == ()


def test_a_post_ticked_where_it_had_been_moved_to_keeps_its_tick_and_is_open() -> None:
    of = walk(BASE).checklists["layout"].by_key[FLAG].item.of
    merged = merge(BASE, STRUCK, edits.tick(BASE, FLAG, LATER, BY, of=of))
    assert (merged.conflicts, merged.job.posts) == ((), STRUCK.posts)
    assert FLAG in merged.job.checks
    assert walk(merged.job).checklists["layout"].by_key[FLAG].state == "open"
