"""Where a log entry leads: its post, its item, its stock; nowhere where it is about the whole job."""

from datetime import timedelta

import pytest

from engine.change.logged_places import where_logged, with_places
from engine.job.edit import edits
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.stages.punch.closing_list import Jump
from engine.walk import walk
from tests.demo import AT, BY, accepted

FLAG = ItemKey("layout", "P5-P6", "taped")


def logged() -> Job:
    job = edits.move_post(accepted(), "P6", AT, BY, along_ft=2)
    job = edits.tick(job, FLAG, AT, BY, reading_ft=20)
    job = edits.tick(job, FLAG, AT + timedelta(hours=1), BY, reading_ft=21)
    job = edits.note(edits.note(job, "all well", AT, BY), "soft", AT, BY, about="L1")
    job = edits.delivery(job, "sleeve-30", AT, BY, packs=1, loose=None)
    before = job
    station_ft = walk(job).layout.supports["P9"].station_ft + 3
    job = edits.obstacle(job, "rock", walk(job).layout.supports["P9"].line, station_ft, AT, BY)
    return with_places(job, walk(before), before)


@pytest.mark.parametrize(
    ("n", "leads_to"),
    [
        (0, Jump("layout", "")),
        (1, Jump("layout", "P6")),
        (2, Jump("layout", "P5-P6", item=FLAG)),
        (3, None),
        (4, Jump("cables", "L1")),
        (5, Jump("punch", "sleeve-30")),
        (6, Jump("layout", "P9")),
    ],
)
def test_an_entry_leads_to_what_it_is_about(n: int, leads_to: Jump | None) -> None:
    job = logged()
    assert where_logged(walk(job), job.log[n]) == leads_to


def test_a_post_that_was_left_out_is_nowhere() -> None:
    job = edits.drop_post(accepted(), "P6", AT, BY)
    assert where_logged(walk(job), job.log[-1]) is None
