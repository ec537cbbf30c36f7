"""Striking a log entry: any that stands by itself, of any day; what can't be struck says what stands in the way."""

from datetime import timedelta

import pytest

from engine.job.edit import edits
from engine.job.edit.striking import comes_of_it, strike
from engine.job.errors import EditRefused
from engine.job.model.job import Job
from engine.job.model.log_entries import LogEntry, live
from engine.job.model.signed_record import Record
from engine.walk import walk
from tests.demo import AT, BY, accepted
from tests.job.small import SIGNED

LATER = AT + timedelta(days=9)


def logged() -> Job:
    """A note, a rock, a post P17 added and moved."""
    job = edits.obstacle(edits.note(accepted(), "soft", AT, BY), "rock", "back", 83, AT, BY)
    return edits.move_post(edits.add_post(job, "back", 200, AT, BY), "P17", AT, BY, along_ft=1)


def first(job: Job, kind: str) -> LogEntry:
    return next(entry for entry in job.log if entry.kind == kind)


def refused(job: Job, kind: str, why: str = "") -> str:
    with pytest.raises(EditRefused) as error:
        strike(job, first(job, kind).id, LATER, BY, why=why)
    return str(error.value)


def sealed() -> Job:
    return edits.sign(logged(), Record.model_validate(SIGNED), AT, BY, "the client")


@pytest.mark.parametrize("kind", ["note", "obstacle", "move"])
def test_an_entry_of_another_day_is_struck_with_when_and_by_whom_and_nothing_else_changes(kind: str) -> None:
    job = logged()
    name = first(job, kind).id
    done = strike(job, name, LATER, "Teal")
    struck = first(done, kind)
    assert (struck.struck_at, struck.struck_by) == (LATER, "Teal")
    assert [entry for entry in done.log if entry.id != name] == [entry for entry in job.log if entry.id != name]
    assert refused(done, kind) == "It was struck already, on Apr 23 by Teal."


def test_what_was_logged_of_an_added_post_is_struck_with_its_adding() -> None:
    job = logged()
    assert comes_of_it(job, first(job, "add")) == "Struck with it: the move of P17 on Apr 14."
    done = strike(job, first(job, "add").id, LATER, "Teal")
    assert [(entry.kind, entry.struck_by) for entry in done.log if entry.struck_at] == [("add", "Teal"), ("move", "Teal")]
    assert "P17" not in walk(done).layout.supports


def test_on_a_sealed_job_only_the_signature_can_be_struck_and_that_reopens_it() -> None:
    job = sealed()
    assert refused(job, "note") == edits.SEALED
    refused(job, "signed")
    opened = strike(job, first(job, "signed").id, LATER, "Teal", why="deer came")
    assert opened == edits.reopen(job, "deer came", LATER, "Teal")
    assert (opened.record, live(opened.log)[-1].why) == (None, "deer came")  # type: ignore[union-attr]  # a reopening
    assert (first(opened, "signed").struck_at, first(opened, "signed").struck_by) == (LATER, "Teal")


def test_a_reopening_stays_and_an_older_signature_too() -> None:
    opened = edits.reopen(sealed(), "deer came", LATER, BY)
    assert refused(opened, "reopened").startswith("A reopening stays in the log")
    again = edits.sign(opened, Record.model_validate(SIGNED), LATER, BY, "the client")
    refused(again, "signed")


def test_a_signature_of_an_older_file_that_was_reopened_is_struck_alone() -> None:
    older = sealed().model_copy(update={"record": None})
    done = strike(older, first(older, "signed").id, LATER, "Teal")
    assert [entry.kind for entry in done.log if entry.struck_at] == ["signed"]
    assert done.model_copy(update={"log": older.log}) == older
