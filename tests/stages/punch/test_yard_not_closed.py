"""What closes the yard and isn't done is a way out at sign-off, in the record and to the client, whatever else is ticked."""

import pytest

from engine.job.edit import edits
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.paper.as_built import build_record
from engine.paper.client.left_for_client import left_for_client
from engine.stages.punch.closing_list import NOT_CLOSED, UNTICKED, LeftOpen, left_open
from engine.walk import walk
from tests.demo import AT, BY, accepted
from tests.test_done_means_done import LATER, all_ticked


def asked(job: Job) -> tuple[LeftOpen, ...]:
    worked = walk(job)
    return left_open(worked.punch, worked.stage_findings, worked.checklists)


def without(job: Job, *keys: str) -> Job:
    for key in keys:
        job = edits.untick(job, item_key(key), LATER, BY)
    return job


@pytest.mark.parametrize(
    ("undone", "says"),
    [
        (("fabric.L3.mesh_hung",), "mesh of L3 isn't up."),
        (("cables.L1.closed", "fabric.L3.wire_hung", "fabric.L4.wire_hung"), "cable of L1 and wire of L3 and L4 aren't up."),
        (("gate.side.hung",), "gate side isn't up."),
        (("fabric.L3.seam_ringed", "gate.side.latch_holds"), ""),
    ],
)
def test_what_is_not_up_stops_a_sign_off_by_itself(undone: tuple[str, ...], says: str) -> None:
    stops = [one for one in asked(without(all_ticked(accepted()), *undone)) if one.key == NOT_CLOSED]
    assert [(one.level, one.says) for one in stops] == ([("stop", f"The yard is open: {says}")] if says else [])


def test_of_a_job_that_nobody_began_it_is_asked_once_and_its_preview_and_findings_say_nothing_of_it() -> None:
    job = accepted()
    assert [one.key for one in asked(job)].count(NOT_CLOSED) == 1
    assert [one.key for one in asked(all_ticked(job))].count(NOT_CLOSED) == 0
    assert NOT_CLOSED not in [finding.key for finding in walk(job).findings]
    assert all("aren't up" not in says for says, _ in left_for_client(job, walk(job)).stops)


def test_it_is_kept_in_the_record_with_its_reason_and_told_the_client_as_what_stops() -> None:
    job = without(all_ticked(accepted()), "fabric.L3.mesh_hung")
    reasons = {str(one.key): "the roll comes on Monday" for one in asked(job)}
    signed = edits.sign(job, build_record(job, walk(job), AT, BY, "the client", reasons), LATER, BY, "the client")
    assert signed.record is not None
    assert signed.record.found_open[str(NOT_CLOSED)].level == "stop"
    assert str(UNTICKED) in signed.record.left_open
    assert ("The yard is open: mesh of L3 isn't up.", "the roll comes on Monday") in left_for_client(signed, walk(signed)).stops
