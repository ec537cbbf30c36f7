"""Photos of two laptops: whichever way the two copies are joined, those of both are kept."""

from datetime import timedelta

import pytest

from engine.job.edit import edits
from engine.job.merge.merge import merge
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import PhotoEntry, SupersededEntry
from tests.demo import AT, accepted

DEPTH, FLAG = item_key("posts.P4.driven_depth"), item_key("layout.P4.flag")
LATER = AT + timedelta(hours=1)
READ = edits.tick(accepted(), DEPTH, AT, "Mo", reading_in=30.0)


def with_photos(job: Job, *names: str, key: ItemKey = DEPTH) -> Job:
    return edits.photos_of_tick(job, key, names)


def both_ways(base: Job, one: Job, other: Job) -> list[Job]:
    merged = [merge(base, one, other), merge(base, other, one)]
    assert [found.conflicts for found in merged] == [(), ()]
    return [found.job for found in merged]


def in_log(job: Job) -> set[str]:
    return {name for entry in job.log if isinstance(entry, SupersededEntry) for name in entry.photos}


def test_the_log_holds_the_photos_of_both() -> None:
    base = accepted()
    one, other = (edits.photo(base, f"{name}.jpg", LATER, name, about="P4") for name in ("Mo", "Ana"))
    for job in both_ways(base, one, other):
        assert {entry.file for entry in job.log if isinstance(entry, PhotoEntry)} == {"Mo.jpg", "Ana.jpg"}


def test_one_tick_with_photos_of_both() -> None:
    for job in both_ways(READ, with_photos(READ, "a.jpg"), with_photos(READ, "b.jpg", "c.jpg")):
        assert sorted(job.checks[DEPTH].photos) == ["a.jpg", "b.jpg", "c.jpg"]
        assert (job.checks[DEPTH].reading_in, job.checks[DEPTH].by) == (30.0, "Mo")


def test_a_photo_that_one_takes_off_is_off_where_the_other_changed_nothing() -> None:
    base = with_photos(READ, "a.jpg", "b.jpg")
    for job in both_ways(base, with_photos(base, "b.jpg"), edits.note(base, "wet", LATER, "Ana")):
        assert job.checks[DEPTH].photos == ("b.jpg",)


def test_a_photo_that_one_takes_off_is_off_where_the_other_added_one() -> None:
    base = with_photos(READ, "a.jpg")
    for job in both_ways(base, with_photos(base), with_photos(base, "a.jpg", "b.jpg")):
        assert job.checks[DEPTH].photos == ("b.jpg",)


def test_a_photo_of_a_reading_that_the_other_put_right_stands_beside_the_new_one() -> None:
    anew = edits.tick(READ, DEPTH, LATER, "Ana", reading_in=31.0)
    for job in both_ways(READ, with_photos(READ, "a.jpg"), anew):
        assert (job.checks[DEPTH].reading_in, job.checks[DEPTH].photos) == (31.0, ("a.jpg",))


def test_a_photo_of_a_reading_that_the_other_opened_is_in_the_log() -> None:
    for job in both_ways(READ, with_photos(READ, "a.jpg"), edits.untick(READ, DEPTH, LATER, "Ana")):
        assert DEPTH not in job.checks
        assert in_log(job) == {"a.jpg"}


def test_both_ticked_alike_each_with_a_photo() -> None:
    base = accepted()
    sides = [with_photos(edits.tick(base, FLAG, AT + timedelta(minutes=n), f"{n}"), f"{n}.jpg", key=FLAG) for n in (1, 2)]
    for job in both_ways(base, sides[0], sides[1]):
        assert (job.checks[FLAG].by, job.checks[FLAG].photos) == ("1", ("1.jpg", "2.jpg"))


@pytest.mark.parametrize("keep", ["ours", "theirs"])
def test_of_two_readings_that_differ_the_other_is_in_the_log_with_its_photo(keep: str) -> None:
    base = accepted()
    ours, theirs = (
        with_photos(edits.tick(base, DEPTH, AT, name, reading_in=n), f"{name}.jpg") for name, n in (("Mo", 30.0), ("Ana", 28.0))
    )
    job = merge(base, ours, theirs, keep).job  # type: ignore[arg-type]  # one of the two words
    assert {*job.checks[DEPTH].photos, *in_log(job)} == {"Mo.jpg", "Ana.jpg"}


def test_what_came_in_is_said() -> None:
    logged = edits.photo(with_photos(READ, "a.jpg"), "gate.jpg", LATER, "Ana", about="side")
    assert merge(READ, READ, logged).came_in == ("Logged, by Ana: Photo gate.jpg of side.", "Photos came in of P4 driven depth.")
