"""Photos beside ticks and in the log: no edit of the tick loses one, and nothing of the plan follows from any."""

from datetime import timedelta

import pytest

from engine.change.logged_places import where_logged, with_places
from engine.job.edit import edits
from engine.job.edit.names_followed import followed
from engine.job.edit.striking import strike
from engine.job.errors import EditRefused
from engine.job.file.job_tables import tables_of
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import PhotoEntry, SupersededEntry
from engine.job.model.tick_facts import At, TickFacts
from engine.walk import walk
from tests.demo import AT, BY, accepted

DEPTH, FLAG = item_key("posts.P4.driven_depth"), item_key("layout.P4.flag")
LATER = AT + timedelta(hours=1)
ELSEWHERE = TickFacts((At("P4", 4.0, 9.0),))


def shown(key: ItemKey = DEPTH, reading_in: float | None = 30.0) -> Job:
    ticked = edits.tick(accepted(), key, AT, BY, reading_in=reading_in)
    return edits.photos_of_tick(ticked, key, ("p4.jpg", "tape.jpg"))


def past(job: Job) -> list[tuple[float | None, tuple[str, ...], bool]]:
    return [(entry.reading_in, entry.photos, entry.opened) for entry in job.log if isinstance(entry, SupersededEntry)]


def test_photos_stand_beside_the_tick_which_stays_whose_it_was() -> None:
    tick = shown().checks[DEPTH]
    assert (tick.at, tick.by, tick.reading_in, tick.photos) == (AT, BY, 30.0, ("p4.jpg", "tape.jpg"))
    assert tables_of(shown())["checks"][str(DEPTH)]["photos"] == ["p4.jpg", "tape.jpg"]
    assert "photos" not in tables_of(edits.photos_of_tick(shown(), DEPTH, ()))["checks"][str(DEPTH)]


def test_an_item_that_is_not_ticked_takes_no_photo_and_a_wrong_name_is_refused() -> None:
    with pytest.raises(EditRefused, match=r"It isn't ticked yet\. Tick it first"):
        edits.photos_of_tick(accepted(), DEPTH, ("p4.jpg",))
    with pytest.raises(EditRefused, match="isn't a file beside the job"):
        edits.photos_of_tick(shown(), DEPTH, ("/p4.jpg",))


def test_a_reading_put_right_keeps_its_photos_and_so_does_the_log() -> None:
    again = edits.tick(shown(), DEPTH, LATER, BY, reading_in=31.0)
    assert again.checks[DEPTH].photos == ("p4.jpg", "tape.jpg")
    assert past(again) == [(30.0, ("p4.jpg", "tape.jpg"), False)]


def test_a_tick_made_for_other_facts_leaves_its_photos_in_the_log() -> None:
    again = edits.tick(shown(), DEPTH, LATER, BY, reading_in=30.0, of=ELSEWHERE)
    assert again.checks[DEPTH].photos == ()
    assert past(again) == [(30.0, ("p4.jpg", "tape.jpg"), False)]


def test_a_plain_tick_with_photos_that_is_opened_leaves_them_in_the_log_and_striking_that_brings_them_back() -> None:
    opened = edits.untick(shown(FLAG, None), FLAG, LATER, BY)
    assert FLAG not in opened.checks
    assert past(opened) == [(None, ("p4.jpg", "tape.jpg"), True)]
    assert strike(opened, opened.log[-1].id, LATER, BY).checks[FLAG].photos == ("p4.jpg", "tape.jpg")
    bare = edits.untick(edits.tick(accepted(), FLAG, AT, BY), FLAG, LATER, BY)
    assert past(bare) == []


def test_nothing_of_the_walk_follows_from_a_photo() -> None:
    job = accepted()
    logged = edits.photo(job, "gate.jpg", AT, BY, about="side", caption="latch side")
    before, after = walk(job), walk(logged)
    assert (after.layout, after.findings, after.takeoff, after.checklists) == (
        before.layout, before.findings, before.takeoff, before.checklists,
    )  # fmt: skip


@pytest.mark.closed_form
def test_a_photo_on_a_line_keeps_its_place_and_leads_to_the_nearest_support() -> None:
    job = accepted()
    before = walk(job)
    logged = with_places(
        edits.photo(job, "rock.jpg", AT, BY, line="back", station_ft=before.layout.supports["P5"].station_ft + 1), before, job
    )
    entry = logged.log[-1]
    assert isinstance(entry, PhotoEntry)
    (east_ft, north_ft), there = before.layout.supports["P5"].xy, entry.place
    assert there is not None
    assert ((there[0] - east_ft) ** 2 + (there[1] - north_ft) ** 2) ** 0.5 == pytest.approx(1.0, abs=1e-3)
    jump = where_logged(before, entry)
    assert jump is not None
    assert (jump.stage, jump.subject) == ("layout", "P5")


def test_a_photo_leads_to_what_it_shows_or_nowhere() -> None:
    walked = walk(accepted())
    photos = [edits.photo(accepted(), "a.jpg", AT, BY, about=name).log[-1] for name in ("P6", "side", "the client's dog")]
    found = [where_logged(walked, entry) for entry in photos]
    assert [jump and (jump.stage, jump.subject) for jump in found] == [("layout", "P6"), ("gate", "side"), None]


def test_a_line_and_a_gate_of_another_name_are_followed() -> None:
    job = edits.photo(accepted(), "a.jpg", AT, BY, about="side", line="back", station_ft=3)
    entry = followed(followed(job, "lines", "back", "rear", alone=True), "gates", "side", "porch", alone=True).log[-1]
    assert isinstance(entry, PhotoEntry)
    assert (entry.about, entry.line) == ("porch", "rear")


def test_a_struck_photo_stays_to_be_read() -> None:
    job = edits.photo(accepted(), "a.jpg", AT, BY, about="P6")
    struck = strike(job, job.log[-1].id, LATER, "Teal").log[-1]
    assert (struck.struck_at, struck.struck_by) == (LATER, "Teal")
