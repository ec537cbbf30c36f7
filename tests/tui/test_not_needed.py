"""What closes the yard can't be marked as not needed, and what isn't needed closes no way out."""

from pathlib import Path

import pytest

from engine.job.edit import edits
from engine.job.errors import EditRefused
from engine.job.file.store import load
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.walk import walk
from tests.demo import AT, BY, accepted
from tests.tui.driving import keys, reach
from tui.app import LinewalkApp

CLOSES = ("gate.side.hung", "fabric.L4.wire_hung", "fabric.L4.mesh_hung", "cables.L4.closed")
YARD_OPEN = "The yard is open until this is done: it can't be marked as not needed. Leave it open, and say why at sign-off."


def state(job: Job, key: ItemKey) -> str:
    return walk(job).checklists[key.stage].by_key[key].state  # type: ignore[index]  # a key of ours names a stage


@pytest.mark.parametrize("text", CLOSES)
async def test_the_key_says_why_not_and_writes_nothing(path: Path, text: str) -> None:
    app, stands = LinewalkApp(loaded=load(path), by="Mo"), path.read_bytes()
    async with app.run_test(size=(80, 24)) as pilot:
        await reach(pilot, item_key(text))
        await keys(pilot, "x")
        assert [notice.message for notice in app._notifications] == [YARD_OPEN]
    assert path.read_bytes() == stands


@pytest.mark.parametrize("text", CLOSES)
def test_one_that_an_older_program_marked_so_is_open(text: str) -> None:
    key, start = item_key(text), accepted()
    marked = start.model_copy(update={"checks": {**start.checks, key: Tick(state="not needed", at=AT, by=BY)}})
    assert (state(marked, key), walk(marked).checklists[key.stage].done) == ("open", walk(start).checklists[key.stage].done)  # type: ignore[index]
    with pytest.raises(EditRefused, match="The yard is open until this is done"):
        edits.tick(start, key, AT, BY, needed=False)


@pytest.mark.parametrize(("done", "short"), [(True, False), (False, True)])
def test_a_gap_is_closed_by_what_was_done_there_not_by_what_is_not_needed(done: bool, short: bool) -> None:
    job, key = accepted(), item_key("fabric.P11-P12.infill")
    item = walk(job).checklists["fabric"].by_key[key].item
    after = walk(edits.tick(job, key, AT, BY, of=item.of, needed=done, note="" if done else "it is fine"))
    assert ("apron_short" in {finding.code for finding in after.findings if finding.subjects == ("P11-P12",)}) is short
