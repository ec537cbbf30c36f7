"""A repair tells of its own work: what stood took its time on the job before, and a piece that was done again in part is none."""

from datetime import timedelta

import pytest

from engine.ahead.work_kinds import WorkKind
from engine.ahead.work_times import work_times
from engine.job.edit import edits
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.paper.as_built import build_record
from engine.paper.record_office import office_tables
from engine.walk import walk
from tests.ahead.crews import worked
from tests.demo import BY
from tests.repair.finished import YEARS
from tests.repair.test_old_sleeves_again import moved_away, station_of_the_sleeve
from tests.repair.test_what_stands import lines, repair_of

PAUSE = 20.0
SLEEVE = WorkKind("posts", "sleeve in clay")


def ticked(job: Job, *rows: tuple[str, float]) -> Job:
    """Items ticked so many minutes after the repair began, with the reading that each wants."""
    for key, minute in rows:
        item = lines(walk(job))[item_key(key)].item
        read = {} if item.reading is None else {f"reading_{item.reading.unit}": item.reading.wanted}
        job = edits.tick(job, item.key, YEARS + timedelta(minutes=minute), BY, of=item.of, **read)  # type: ignore[arg-type]
    return job


def test_what_stood_tells_no_time() -> None:
    mend = repair_of(worked(1))
    found = work_times(mend, PAUSE)
    assert (found.pieces_s, found.left_out, found.stages) == ({}, {}, {})


@pytest.mark.closed_form
def test_a_post_driven_anew_tells_its_time_and_a_loop_that_is_only_read_again_is_no_loop() -> None:
    mend = repair_of(worked(1))
    loop = next(loop for loop in walk(mend).cables.loops.values() if len(loop.supports) > 2)
    post = loop.supports[1]
    job = ticked(
        edits.move_post(mend, post, YEARS, BY, along_ft=2),
        *((f"layout.{post}.flag", 0), (f"posts.{post}.driven_depth", 10), (f"posts.{post}.solid", 11), (f"posts.{post}.plumb", 15)),
        *((f"posts.{post}.eyes", 18), (f"cables.{loop.id}.sag", 21)),
    )
    found = work_times(job, PAUSE)
    people = max(len(job.job.crew), 1)
    assert found.pieces_s == {SLEEVE: (18 * 60 * people,)}
    assert found.left_out == {WorkKind("layout", "post set out"): 1, WorkKind("cables", "cable loop"): 1}
    assert {stage: (time.told, time.untold) for stage, time in found.stages.items()} == {
        "layout": (0, 1),
        "posts": (4, 0),
        "cables": (1, 0),
    }


@pytest.mark.closed_form
def test_a_post_that_is_set_into_an_old_sleeve_is_no_sleeve_driven_and_no_wall() -> None:
    mend = moved_away()
    job = edits.add_post(mend, "back", station_of_the_sleeve(mend), YEARS, BY)
    name = edits.next_post_id(mend)
    found = work_times(ticked(job, (f"layout.{name}.flag", 0), (f"posts.{name}.plumb", 4), (f"posts.{name}.eyes", 9)), PAUSE)
    assert (found.pieces_s, found.left_out) == ({}, {SLEEVE: 1, WorkKind("layout", "post set out"): 1})


def test_times_of_the_record_are_those_of_the_repair() -> None:
    mend = repair_of(worked(1))
    job = ticked(edits.move_post(mend, "P11", YEARS, BY, along_ft=2), ("posts.P11.driven_depth", 5), ("posts.P11.solid", 6))
    record = build_record(job, walk(job), YEARS, BY, "the client", {})
    assert {stage: (times.started, times.finished) for stage, times in record.stages.items()} == {
        "posts": (YEARS + timedelta(minutes=5), None)
    }
    table = next(table for table in office_tables(job, walk(job)) if table.title == "Times")
    assert [row[0] for row in table.rows if row[1]] == ["sleeves and posts"]
