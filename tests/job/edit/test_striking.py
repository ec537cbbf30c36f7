"""Striking a log entry: any that stands by itself, of any day; the rest is refused with a sentence."""

from datetime import timedelta

import pytest

from engine.job.edit import edits
from engine.job.edit.striking import may_be_struck, strike
from engine.job.errors import EditRefused
from engine.job.model.job import Job
from tests.demo import AT, BY, accepted

LATER = AT + timedelta(days=9)


def logged() -> Job:
    """A note, a rock, a post P17 added and moved."""
    job = edits.obstacle(edits.note(accepted(), "soft", AT, BY), "rock", "back", 83, AT, BY)
    return edits.move_post(edits.add_post(job, "back", 200, AT, BY), "P17", AT, BY, along_ft=1)


def test_what_stands_is_offered_the_newest_first_and_the_plan_is_not() -> None:
    assert [entry.kind for entry in may_be_struck(logged())] == ["move", "add", "obstacle", "note"]


@pytest.mark.parametrize("kind", ["note", "obstacle", "move"])
def test_an_entry_of_another_day_is_struck_with_when_and_by_whom_and_nothing_else_changes(kind: str) -> None:
    job = logged()
    name = next(entry.id for entry in job.log if entry.kind == kind)
    done = strike(job, name, LATER, "Teal")
    struck = next(entry for entry in done.log if entry.id == name)
    assert (struck.struck_at, struck.struck_by) == (LATER, "Teal")
    assert [entry for entry in done.log if entry.id != name] == [entry for entry in job.log if entry.id != name]
    assert kind not in [entry.kind for entry in may_be_struck(done)]
    with pytest.raises(EditRefused, match="struck already"):
        strike(done, name, LATER, "Teal")


def test_a_post_that_more_was_logged_of_and_the_plan_are_refused() -> None:
    job = logged()
    planned, added = (next(entry.id for entry in job.log if entry.kind == kind) for kind in ("planned", "add"))
    with pytest.raises(EditRefused, match="More was logged of P17 since"):
        strike(job, added, LATER, BY)
    with pytest.raises(EditRefused, match="can't be struck"):
        strike(job, planned, LATER, BY)


def test_a_move_that_a_later_plan_holds_is_no_longer_offered() -> None:
    job = logged()
    again = edits.accept_layout(job, job.posts, LATER, BY)
    assert [entry.kind for entry in may_be_struck(again)] == ["obstacle", "note"]
