"""What a repair did stands in its record, item by item, and nothing that it left alone; the closing walk is asked after it."""

from collections.abc import Sequence
from datetime import timedelta

import pytest

from engine.change.settling import opened, ticked
from engine.job.edit import edits
from engine.job.model.checks import CLOSES_YARD
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.paper.record_office import office_tables
from engine.paper.record_page import record_html
from engine.paper.repair_work import TITLE, mended, mended_words
from engine.stages.punch.closing_list import yard_open
from engine.stages.standing_line import hung_on
from engine.walk import walk
from tests.repair.finished import YEARS, finished
from tests.repair.test_what_stands import repair_of

BY = "Bo"
LATER = YEARS + timedelta(hours=1)
HUNG = item_key("gate.side.hung")
VISIT = {"offcuts_picked_up", "care_notes", "client_accepts"}


@pytest.fixture(scope="module")
def mend() -> Job:
    return repair_of(finished("willow_bend"))


def broken(job: Job, *keys: str) -> Job:
    for key in map(item_key, keys):
        checklists = walk(job).checklists
        line = checklists[key.stage].by_key[key]  # type: ignore[index]  # a key of ours names a stage
        job = opened(job, (line, *hung_on(line, checklists, job.repair_of)), YEARS, BY)
    return job


def done_again(job: Job, stages: Sequence[str]) -> Job:
    for stage in stages:
        for line in walk(job).checklists[stage].lines:  # type: ignore[index]  # as above
            if line.tick is None:
                wanted = line.item.reading.wanted if line.item.reading is not None else None
                job = ticked(job, line.item, LATER, BY, wanted or 0.0)
    return job


def asked_at_last(job: Job) -> set[str]:
    return {item.key.what for item in walk(job).checklists["punch"].open_items}


def rows(job: Job, title: str = TITLE) -> list[tuple[str, ...]]:
    return [tuple(map(str, row)) for table in office_tables(job, walk(job)) if table.title == title for row in table.rows]


def named(job: Job) -> set[ItemKey]:
    return {line.item.key for one in mended(job, walk(job)) for line in one.lines}


def test_a_repair_that_did_nothing_names_nothing(mend: Job) -> None:
    assert rows(mend) == []
    assert mended_words(mend, walk(mend)) == ""
    assert asked_at_last(mend) == set()
    assert yard_open(walk(mend).checklists) == ()


def test_the_printed_page_tells_it_too(mend: Job) -> None:
    job = broken(mend, "gate.side.hung")
    done = done_again(job, ("gate",))
    page = record_html(done, walk(done))
    assert f">{TITLE}</h2>" in page
    assert "first diagonal, other diagonal" in page


def test_a_first_job_has_no_such_table() -> None:
    job = finished("willow_bend")
    assert f">{TITLE}</h2>" not in record_html(job, walk(job))
    assert TITLE not in {table.title for table in office_tables(job, walk(job))}
    assert mended_words(job, walk(job)) == ""


@pytest.mark.parametrize("keys", [("gate.side.hung",), ("fabric.L2.wire_hung", "cables.L3.closed"), ("gate.side.latch_holds",)])
def test_every_item_done_is_named_and_no_other(mend: Job, keys: tuple[str, ...]) -> None:
    open_yet = broken(mend, *keys)
    job = done_again(open_yet, ("cables", "fabric", "gate", "punch"))
    assert named(job) == {key for key, tick in job.checks.items() if tick != mend.checks[key]}
    assert named(job) >= set(map(item_key, keys))
    assert {row[2] for row in rows(job)} == {"done anew"}
    assert {row[5] for row in rows(job)} == {BY}
    told = {(row[1], what) for row in rows(job) for what in row[3].split(", ")}
    assert told >= {
        {"gate.side.hung": ("side", "hung"), "gate.side.latch_holds": ("side", "latch holds")}.get(key, ("L2", "wire hung"))
        for key in keys[:1]
    }


def test_what_is_new_is_told_from_what_was_done_anew(mend: Job) -> None:
    more = edits.add_post(mend, "back", 12.0, YEARS, BY)
    (post,) = set(walk(more).layout.supports) - set(walk(mend).layout.supports)
    job = done_again(broken(more, "gate.side.hung"), ("layout", "posts", "gate"))
    told = {(row[0], row[1]): row[2] for row in rows(job)}
    assert told["sleeves and posts", post] == "new"
    assert told["gate", "side"] == "done anew"
    words = mended_words(job, walk(job))
    assert "1 post put in" in words
    assert "1 gate mended" in words


def test_built_as_planned_is_not_said_of_a_repair(mend: Job) -> None:
    (changed,) = [table for table in office_tables(mend, walk(mend)) if table.title == "Changed from the plan"]
    assert changed.empty == "no support stands elsewhere than planned"


def test_the_yard_is_walked_again_once_what_keeps_a_dog_in_was_opened(mend: Job) -> None:
    assert asked_at_last(broken(mend, "fabric.L2.wire_hung")) == {*VISIT, "walked"}
    assert asked_at_last(broken(mend, "gate.side.latch_holds")) == {*VISIT, "walked", "gates_worked_by_client"}
    assert asked_at_last(edits.untick(mend, item_key("survey.job.photos_taken"), YEARS, BY)) == VISIT
    again = done_again(broken(mend, "gate.side.hung"), ("gate",))
    assert asked_at_last(again) == {*VISIT, "walked", "gates_worked_by_client"}
    assert asked_at_last(done_again(again, ("punch",))) == set()


def test_a_yard_is_open_while_what_closes_it_is_not_done(mend: Job) -> None:
    closes = [key for key in mend.checks if (key.stage, key.what) in CLOSES_YARD]
    assert {len(yard_open(walk(edits.untick(mend, key, YEARS, BY)).checklists)) for key in closes} == {1}
    assert len(yard_open(walk(broken(mend, "gate.side.hung", "fabric.L2.wire_hung")).checklists)) == 2


def test_the_supports_of_the_record_say_which_a_repair_set_and_which_it_did_anew(mend: Job) -> None:
    job = edits.add_post(broken(mend, "posts.P4.driven_depth"), "back", 55.0, YEARS, BY)
    assert {row[2] for row in rows(job, "Supports") if ", " in row[2]} == set()
    done = done_again(job, ("posts",))
    assert {row[0]: row[2] for row in rows(done, "Supports") if ", " in row[2]} == {"P4": 'driven 30", done anew', "P17": 'driven 30", new'}
    assert {row[0] for row in rows(mend, "Supports") if ", " in row[2]} == set()


def test_what_the_job_before_left_open_is_finished_and_not_done_anew() -> None:
    """P8 wasn't set plumb when the job was signed: that is all that is done at it now. P4's sleeve is driven anew."""
    left = repair_of(edits.untick(finished("willow_bend"), item_key("posts.P8.plumb"), YEARS, BY))
    job = done_again(broken(left, "posts.P4.driven_depth"), ("posts",))
    told = {(row[0], row[1]): row[2:4] for row in rows(job)}
    assert told["sleeves and posts", "P8"] == ("finished", "plumb")
    assert told["sleeves and posts", "P4"] == ("done anew", "driven depth")
    assert {row[0]: row[2] for row in rows(job, "Supports") if ", " in row[2]} == {
        "P4": 'driven 30", done anew',
        "P8": 'driven 30", finished',
    }
    assert mended_words(job, walk(job)) == "In this repair: 1 post mended; 1 post finished."
