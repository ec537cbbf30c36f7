"""Two files that parted find the version both came from, so that who changed what is known."""

import shutil
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.file.backups import keep_base
from engine.job.file.disk import Disk
from engine.job.file.heading import MOST_EARLIER, SHORT
from engine.job.file.store import Loaded, load, new, save
from engine.job.merge.join_files import Answers, joined
from engine.job.merge.merge import merge
from engine.job.versions.ancestors import base_of, came_from, common
from tests.job.merge.test_merge import BASE, changed, moved
from tests.job.small import NOW, note_ids, noted

DAY = timedelta(days=1)


class Laptop:
    """A machine with a folder of jobs and its own older versions."""

    def __init__(self, folder: Path) -> None:
        self.jobs, self.state = folder / "jobs", folder / "state"
        self.jobs.mkdir(parents=True)

    def given(self, loaded: Loaded, name: str = "yard.toml") -> Loaded:
        """The file, copied onto this machine."""
        return load(Path(shutil.copy(loaded.path, self.jobs / name)), state=self.state)

    def saves(self, loaded: Loaded, at: datetime, *names: str) -> Loaded:
        """A note a save, a second apart."""
        for number, name in enumerate(names):
            loaded = save(loaded, noted(loaded.job, name), at + timedelta(seconds=number), state=self.state)
        return loaded


@pytest.fixture
def here(tmp_path: Path) -> Laptop:
    return Laptop(tmp_path / "here")


@pytest.fixture
def there(tmp_path: Path) -> Laptop:
    return Laptop(tmp_path / "there")


def made(here: Laptop) -> Loaded:
    return new(here.jobs / "yard.toml", BASE, NOW, state=here.state)


def test_a_day_s_work_apart_on_two_laptops_finds_the_version_of_the_morning(here: Laptop, there: Laptop) -> None:
    start = here.saves(made(here), NOW, "evening")
    copy = there.given(start)
    ours = here.saves(start, NOW + DAY, *(f"o{n}" for n in range(60)))
    theirs = there.saves(copy, NOW + DAY, *(f"t{n}" for n in range(60)))
    at_ours = here.given(theirs, "theirs.toml")
    (found,) = common(ours, at_ours, state=here.state)
    assert (found.digest, note_ids(found.job)) == (start.digest, ["n1", "evening"])
    at_theirs = there.given(ours, "ours.toml")
    assert base_of(theirs, at_theirs, state=there.state) == start.job


def test_a_fact_that_one_side_changed_is_not_asked_and_one_taken_out_stays_out(here: Laptop, there: Laptop) -> None:
    start = made(here)
    copy = there.given(start)
    ours = save(start, moved(start.job, station_ft=3), NOW + DAY, state=here.state)
    theirs = here.given(save(copy, changed(copy.job, dogs={}), NOW + DAY, state=there.state), "theirs.toml")
    assert joined(ours, theirs, Answers()).asked[0] == '1. Post P1, station: 3\' 0" in yard.toml; 0" in theirs.toml.'
    found = joined(ours, theirs, Answers(), base_of(ours, theirs, state=here.state))
    assert found.job is not None
    assert (found.job.dogs, found.job.posts["P1"].station_ft) == ({}, 3.0)
    assert (found.asked, len(found.came_in)) == ((), 1)


def test_a_fact_that_both_changed_is_still_asked(here: Laptop, there: Laptop) -> None:
    start = made(here)
    copy = there.given(start)
    ours = save(start, moved(start.job, station_ft=3), NOW + DAY, state=here.state)
    theirs = here.given(save(copy, moved(copy.job, station_ft=4, kind="corner"), NOW + DAY, state=there.state), "theirs.toml")
    found = joined(ours, theirs, Answers(), base_of(ours, theirs, state=here.state))
    assert (found.job, found.asked[0]) == (None, "1. Post P1, station: 3' 0\" in yard.toml; 4' 0\" in theirs.toml.")
    assert len(found.asked) == 2


def test_where_one_came_from_the_other_that_one_is_it(here: Laptop) -> None:
    start = made(here)
    older = here.given(start, "older.toml")
    ours = here.saves(start, NOW, "a", "b")
    (found,) = common(ours, older, state=here.state)
    assert found.digest == start.digest


def test_files_that_have_nothing_in_common_have_no_such_version(here: Laptop) -> None:
    other = new(here.jobs / "other.toml", noted(BASE, "x"), NOW, state=here.state)
    assert common(here.saves(made(here), NOW, "a"), here.saves(other, NOW, "b"), state=here.state) == ()


def test_a_version_that_was_not_kept_here_is_not_made_up(here: Laptop, there: Laptop) -> None:
    start = made(here)
    copy = there.given(start)
    ours, theirs = here.saves(start, NOW, "o"), there.saves(copy, NOW, "t")
    assert common(ours, theirs, state=here.jobs / "empty") == ()


def test_a_kept_version_that_was_damaged_is_passed_over(here: Laptop, there: Laptop) -> None:
    start = made(here)
    copy = there.given(start)
    ours, theirs = here.saves(start, NOW, "o"), there.saves(copy, NOW, "t")
    (kept,) = (here.state / "backups").glob("*/*.toml")
    kept.write_text("format = 1\n", encoding="utf-8")
    assert common(ours, theirs, state=here.state) == ()


def test_the_heading_names_the_first_version_of_each_day_and_not_more_than_fit(here: Laptop) -> None:
    loaded = made(here)
    firsts = []
    for day in range(1, 15):
        firsts.append(loaded.digest[:SHORT])
        loaded = here.saves(loaded, NOW + day * DAY, f"a{day}", f"b{day}")
    assert load(loaded.path).heading.earlier.split() == firsts[-MOST_EARLIER:]


def test_a_new_file_says_nothing_of_earlier_ones(here: Laptop) -> None:
    assert "earlier" not in made(here).path.read_text(encoding="utf-8")


@settings(max_examples=15, deadline=None)
@given(st.lists(st.integers(0, 3), min_size=1, max_size=6), st.lists(st.integers(0, 3), min_size=1, max_size=6))
def test_whatever_each_side_saved_since_it_is_found(tmp_path_factory: pytest.TempPathFactory, ours: list[int], theirs: list[int]) -> None:
    folder = tmp_path_factory.mktemp("apart")
    here, there = Laptop(folder / "here"), Laptop(folder / "there")
    start = here.saves(made(here), NOW, "evening")
    mine, yours = start, there.given(start)
    for day, (laptop, count) in enumerate([(here, n) for n in ours]):
        mine = laptop.saves(mine, NOW + (day + 1) * DAY, *(f"o{day}-{n}" for n in range(count)))
    for day, count in enumerate(theirs):
        yours = there.saves(yours, NOW + (day + 1) * DAY, *(f"t{day}-{n}" for n in range(count)))
    assert base_of(mine, here.given(yours, "theirs.toml"), state=here.state) == start.job


def test_where_each_took_in_the_other_s_work_what_was_put_right_since_stays_so(here: Laptop, there: Laptop) -> None:
    """Mo and Teal save apart, each joins the other's file, and Mo then takes out the dog that Teal had put in."""
    start = made(here)
    copy = there.given(start)
    mine = save(start, noted(start.job, "mine"), NOW + DAY, state=here.state)
    dogs = {**start.job.dogs, "bo": {"weight_lb": 9, "shoulder_in": 9, "body_in": 9}}
    yours = there.saves(save(copy, changed(copy.job, dogs=dogs), NOW + DAY, state=there.state), NOW + DAY, "yours")
    there_of_mine, here_of_yours = there.given(mine, "mine.toml"), here.given(yours, "theirs.toml")
    both = merge(start.job, mine.job, yours.job).job
    at_mine = save(here_of_yours, both, NOW + DAY, joined=[mine], state=here.state)
    at_yours = there.saves(save(there_of_mine, both, NOW + DAY, joined=[yours], state=there.state), NOW + DAY, "after")
    right = save(at_mine, changed(at_mine.job, dogs=start.job.dogs), NOW + DAY, state=here.state)
    arrived = here.given(at_yours, "arrived.toml")
    keep_base(Disk(), here.state, right.path, yours.raw, NOW)
    keep_base(Disk(), here.state, right.path, mine.raw, NOW)
    found = common(right, arrived, state=here.state)
    assert {version.digest for version in found} == {mine.digest, yours.digest}
    merged = merge(base_of(right, arrived, state=here.state), right.job, arrived.job)
    assert (set(merged.job.dogs), set(note_ids(merged.job)), merged.conflicts) == (
        set(start.job.dogs),
        {"n1", "mine", "yours", "after"},
        (),
    )


def test_a_version_from_before_they_parted_is_no_base(here: Laptop, there: Laptop) -> None:
    start = made(here)
    parted = here.saves(start, NOW + DAY, "a", "b", "c")
    copy = there.given(parted)
    ours, theirs = here.saves(parted, NOW + DAY, "o"), here.given(there.saves(copy, NOW + DAY, "t"), "theirs.toml")
    assert base_of(ours, theirs, state=here.state) == parted.job
    for kept in (here.state / "backups").glob(f"*/*-{parted.digest[:8]}.toml"):
        kept.unlink()
    assert [version.digest for version in common(ours, theirs, state=here.state)] == [start.digest]
    assert base_of(ours, theirs, state=here.state) is None


@pytest.mark.parametrize("sessions", [5, 60])
def test_however_often_the_job_was_opened_a_file_that_lacks_what_was_saved_is_known(here: Laptop, there: Laptop, sessions: int) -> None:
    loaded = made(here)
    for number in range(sessions):
        loaded = here.saves(load(loaded.path, state=here.state), NOW, f"s{number}")
    copy = there.given(loaded)
    ours, theirs = here.saves(load(loaded.path), NOW, "mine"), there.saves(copy, NOW, "t1", "t2", "t3")
    assert (came_from(theirs, ours), came_from(theirs, loaded), came_from(ours, loaded)) == (False, True, True)
