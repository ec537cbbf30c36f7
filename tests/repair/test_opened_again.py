"""What stands from before a repair is opened, and done anew or not: always with its trace in the log, and with what hangs on it."""

from datetime import timedelta

import pytest

from engine.change.settling import opened, ticked
from engine.job.edit import edits
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import SupersededEntry
from engine.stages.standing_line import hung_on
from engine.walk import walk
from tests.repair.finished import YEARS, finished
from tests.repair.test_what_stands import needed, repair_of

BY = "Mo"
HUNG = item_key("gate.side.hung")
LATER = YEARS + timedelta(hours=1)


@pytest.fixture(scope="module")
def mend() -> Job:
    return repair_of(finished("willow_bend"))


def told(job: Job) -> list[tuple[str, bool]]:
    return [(f"{entry.item}", entry.opened) for entry in job.log if isinstance(entry, SupersededEntry) and entry.at >= YEARS]


def test_a_plain_tick_of_before_is_never_opened_without_a_trace(mend: Job) -> None:
    job = edits.untick(mend, HUNG, YEARS, BY)
    assert told(job) == [("gate.side.hung", True)]
    again = edits.tick(job, HUNG, LATER, BY, of=mend.checks[HUNG].of)
    assert told(edits.untick(again, HUNG, LATER, BY)) == [("gate.side.hung", True)], "what this repair ticked is its own"


def test_one_that_is_ticked_anew_as_it_stands_leaves_one_too(mend: Job) -> None:
    old = mend.checks[HUNG]
    assert told(edits.tick(mend, HUNG, YEARS, old.by, of=old.of)) == [("gate.side.hung", False)]


def test_what_was_left_open_or_never_asked_is_ticked_without_one(mend: Job) -> None:
    old = mend.checks[HUNG].model_copy(update={"state": "not asked"})
    asked = mend.model_copy(update={"checks": {**mend.checks, HUNG: old}})
    assert told(edits.tick(asked, HUNG, YEARS, old.by, of=old.of)) == []


@pytest.mark.parametrize(
    ("key", "with_it"),
    [
        ("gate.side.hung", {"diagonal_a", "diagonal_b", "swing_clear", "latch_holds", "bottom_gap"}),
        ("gate.side.latch_holds", set()),
        ("cables.L1.cut_length", {"closed", "sag", "tail", "round_again"}),
        ("cables.L1.closed", {"sag", "tail", "round_again"}),
        ("fabric.L1.mesh_hung", {"seam_ringed", "corners_tied", "house_closed"}),
        ("fabric.L3.mesh_hung", {"seam_ringed"}),
    ],
)
def test_what_hangs_on_an_item_is_opened_with_it(mend: Job, key: str, with_it: set[str]) -> None:
    of = item_key(key)
    checklists = walk(mend).checklists
    line = checklists[of.stage].by_key[of]  # type: ignore[index]  # a key of ours names a stage
    hung = hung_on(line, checklists, mend.repair_of)
    assert {other.item.key.what for other in hung} - {"two_people", "drop_rod", "held_open"} == with_it
    job = opened(mend, (line, *hung), YEARS, BY)
    assert set(mend.checks) - set(job.checks) == {of, *(other.item.key for other in hung)}
    assert len(told(job)) == 1 + len(hung)


def test_what_this_repair_did_itself_is_opened_alone(mend: Job) -> None:
    asked = walk(mend).checklists["gate"].by_key[HUNG]
    job = ticked(edits.untick(mend, HUNG, YEARS, BY), asked.item, LATER, BY)
    checklists = walk(job).checklists
    assert hung_on(checklists["gate"].by_key[HUNG], checklists, job.repair_of) == ()


def test_what_this_repair_did_anew_is_opened_with_what_it_hangs_on(mend: Job) -> None:
    """The pull of a loop was read again, and the round made again; then its lock is opened: both are done once more."""
    lists = walk(mend).checklists["cables"].by_key
    job, sag, again = mend, item_key("cables.L1.sag"), item_key("cables.job.round_again")
    for key in (sag, again):
        job = ticked(edits.untick(job, key, YEARS, BY), lists[key].item, LATER, BY, mend.checks[key].reading)
    checklists = walk(job).checklists
    assert {checklists["cables"].by_key[key].state for key in (sag, again)} == {"done"}
    lock = checklists["cables"].by_key[item_key("cables.L1.closed")]
    after = opened(job, (lock, *hung_on(lock, checklists, job.repair_of)), LATER, BY)
    assert {sag, again}.isdisjoint(after.checks)


def test_in_a_first_job_an_item_is_opened_alone_and_without_a_trace() -> None:
    job = finished("willow_bend")
    checklists = walk(job).checklists
    assert hung_on(checklists["gate"].by_key[HUNG], checklists, job.repair_of) == ()
    assert edits.untick(job, HUNG, YEARS, BY).log == job.log


def test_what_is_done_anew_is_used(mend: Job) -> None:
    assert not any(needed(walk(mend)).values())
    anew = edits.tick(edits.untick(mend, HUNG, YEARS, BY), HUNG, LATER, BY, of=mend.checks[HUNG].of)
    assert needed(walk(anew))["latch"] == 1
