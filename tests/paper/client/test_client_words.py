"""What a client is told in sentences: a job that was signed once, and of each part of the fence what is there and what is to be."""

from datetime import timedelta

import pytest

from engine.job.edit import edits
from engine.job.edit.striking import strike
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.paper.client.client_page import client_html
from engine.paper.client.client_words import built_words
from engine.paper.sealed_facts import facts_to_print
from engine.walk import walk
from tests.demo import AT, BY, accepted
from tests.paper.client.test_client_page import jobs, page, rows_of, said, state
from tests.paper.test_record_tables import signed
from tests.paper.test_sealed_facts import signed_off
from tests.test_done_means_done import LATER, all_ticked

TODAY = "This copy shows the job as it stands in its file today. It may still change, and nobody has accepted it as it is."


def test_a_job_that_was_signed_once_says_when_and_since_when_it_is_open() -> None:
    again = edits.reopen(signed(), "one more gate", AT + timedelta(days=4), BY)
    was = "Signed 2026-04-15 16:05 by Mo Teal, accepted by the client."
    assert state(client_html(again, walk(again))).startswith(f"{was} Reopened 2026-04-18 09:30, and not signed again. {TODAY}")
    cut_out = signed().model_copy(update={"record": None})
    (signature,) = (entry.id for entry in cut_out.log if entry.kind == "signed")
    taken_back = strike(cut_out, signature, AT + timedelta(days=5), BY)
    assert state(client_html(taken_back, walk(taken_back))).startswith(f"{was} Taken back 2026-04-19 09:30, and not signed again. {TODAY}")
    twice = signed_off(again)
    assert state(client_html(twice, walk(twice))).startswith(f"Signed {LATER + timedelta(days=1):%Y-%m-%d %H:%M} by {BY}, accepted")


def driven() -> Job:
    """All posts stand, and nothing else is done."""
    ticks = {key: tick for key, tick in all_ticked(accepted()).checks.items() if key.stage in ("survey", "layout", "posts")}
    return accepted().model_copy(update={"checks": ticks})


@pytest.mark.parametrize("job", [driven(), signed_off(driven())], ids=["today", "signed"])
def test_what_is_not_there_yet_is_never_told_as_if_it_were(job: Job) -> None:
    text = said(client_html(job, walk(job)))
    assert (
        "and 4 trees or walls, with 4 braces; none of these braces stands yet. Two cables (galvanized cable 3/32 in 7x7) are to run" in text
    )
    assert (
        "through the posts; none is strung yet. From the lower one wire (welded wire 14 ga 2x4, 48 in) is to hang, its lower edge" in text
    )
    assert "on the ground as an apron and staked to it; none hangs yet. From the upper one mesh (plastic mesh, 48 in) is to hang" in text
    assert "It is to close back yard" in text
    assert rows_of(client_html(job, walk(job)))["side"][4] == "into back yard, not hung yet"


@pytest.mark.parametrize(
    ("open_again", "told"),
    [
        ("bracing.P9.band_b", "with 4 braces; 3 of these braces stand so far."),
        ("cables.L2.closed", "are to run through the posts; they are strung in 5 of 6 stretches so far."),
        ("fabric.L2.wire_hung", "as an apron and staked to it; it hangs in 5 of 6 stretches so far."),
        ("fabric.L2.apron_turned", "as an apron and be staked to it, which isn't done everywhere yet."),
        ("staking.P5-P6.flush", "as an apron and be staked to it, which isn't done everywhere yet."),
        ("fabric.L2.mesh_hung", "is to hang, over the wire; it hangs in 5 of 6 stretches so far."),
        ("gate.side.hung", "It is to close back yard"),
        ("punch.job.house_closed", "It is to close back yard"),
    ],
)
def test_each_part_is_told_as_far_as_it_is(open_again: str, told: str) -> None:
    done = all_ticked(accepted())
    assert told not in built(done)
    assert "It closes back yard" in built(done)
    job = edits.untick(done, item_key(open_again), LATER, BY)
    assert told in built(job)
    assert ("It closes back yard" in built(job)) is ("braces" in told)


def test_what_only_some_of_stands_is_counted() -> None:
    assert "It is to stand on 12 posts" in said(page("planned"))
    assert "with 4 braces; none of these posts stands yet; none of these braces stands yet." in said(page("planned"))
    assert "with 5 braces; 2 of these posts stand so far; none of these braces stands yet." in said(page("worked"))


def built(job: Job) -> str:
    worked_out = walk(job)
    return built_words(job, worked_out, facts_to_print(job, worked_out).record)


def test_what_a_later_version_asks_was_not_open_when_the_job_was_signed() -> None:
    job = jobs()["done"]
    assert job.record is not None
    unasked = job.model_copy(update={"checks": {key: tick for key, tick in job.checks.items() if key.what != "closed"}})
    assert "run through the posts. From the lower one hangs wire" in built(unasked)
