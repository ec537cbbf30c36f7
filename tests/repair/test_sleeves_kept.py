"""A repair knows every sleeve in the ground that the record before lists, whatever was ticked of it."""

import random
from collections.abc import Callable, Mapping
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.geometry.plane import distance_ft
from engine.job.edit import edits
from engine.job.model.checks import CLOSES_YARD
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.signed_record import LeftSleeve
from engine.paper.as_built import left_sleeves
from engine.stages.posts.sleeves.old_sleeves import reused
from engine.walk import walk
from tests.demo import AT, BY
from tests.repair.finished import SIGNED, YEARS, finished
from tests.repair.test_what_stands import built, lines, repair_of
from tests.test_done_means_done import all_ticked, changed, ticked

POST, SOON = "P10", AT + timedelta(hours=1)
SAME_FT = 0.01


def asked_of_sleeve(job: Job) -> ItemKey:
    (key,) = (key for key in lines(walk(job)) if key.what == "old_sleeve")
    return key


def moved(days: int) -> Job:
    """P10 moved 2 ft along so many days after it was driven, and nothing done of that."""
    return edits.move_post(finished("willow_bend"), POST, SOON + timedelta(days=days), BY, along_ft=2.0)


def comes_out_and_was_not_pulled() -> Job:
    return moved(0)


def left_out_and_not_pulled() -> Job:
    return edits.drop_post(finished("willow_bend"), POST, SOON, BY)


def not_needed() -> Job:
    job = moved(0)
    key = asked_of_sleeve(job)
    return edits.tick(job, key, SOON, BY, of=lines(walk(job))[key].item.of, needed=False, note="left where it is")


def cut_off() -> Job:
    """An old one, cut off below the ground."""
    job = moved(40)
    return ticked(job, lines(walk(job))[asked_of_sleeve(job)].item, SIGNED)


def cut_off_and_moved_back() -> Job:
    return edits.move_post(cut_off(), POST, SIGNED, BY, along_ft=-2.0)


def cut_off_and_driven_there_again() -> Job:
    return all_ticked(cut_off_and_moved_back(), SIGNED)


def cut_off_and_driven_beside() -> Job:
    return all_ticked(edits.move_post(cut_off(), POST, SIGNED, BY, along_ft=-1.75), SIGNED)


def places(left: Mapping[str, LeftSleeve]) -> list[tuple[float, float]]:
    return sorted((one.east_ft, one.north_ft) for one in left.values() if one.east_ft is not None and one.north_ft is not None)


def kept(old: Job, mend: Job) -> bool:
    """Whether the repair's record lists the same sleeves at the same places as the one before."""
    was, now = (places(left_sleeves(job, walk(job))) for job in (old, mend))
    return len(was) == len(now) and all(distance_ft(a, b) <= SAME_FT for a, b in zip(was, now, strict=True))


@pytest.mark.parametrize(
    ("job", "whole"),
    [
        (comes_out_and_was_not_pulled, True),
        (left_out_and_not_pulled, True),
        (not_needed, True),
        (cut_off, False),
        (cut_off_and_moved_back, False),
        (cut_off_and_driven_there_again, False),
        (cut_off_and_driven_beside, False),
    ],
)
def test_a_sleeve_that_the_record_lists_is_in_the_repair(job: Callable[[], Job], whole: bool) -> None:
    old = job()
    assert list(left_sleeves(old, walk(old))) == [POST]
    mend = repair_of(old)
    assert kept(old, mend)
    assert mend.repair_of is not None
    assert {name: not one.cut_off for name, one in mend.repair_of.sleeves.items()} == {POST: whole}
    assert kept(mend, repair_of(mend))


def test_one_that_was_pulled_is_gone() -> None:
    job = moved(0)
    old = ticked(job, lines(walk(job))[asked_of_sleeve(job)].item, SIGNED)
    assert left_sleeves(old, walk(old)) == left_sleeves(repair_of(old), walk(repair_of(old))) == {}


def test_a_post_that_is_moved_back_onto_it_stands_in_it() -> None:
    mend = repair_of(comes_out_and_was_not_pulled())
    back = edits.move_post(mend, POST, YEARS, BY, along_ft=-2.0)
    assert reused(back, walk(back).layout) == {POST: POST}
    assert left_sleeves(back, walk(back)) == {}


@pytest.mark.parametrize("job", [cut_off_and_driven_there_again, cut_off_and_driven_beside])
def test_that_a_post_stands_at_one_that_was_cut_off_is_told_still(job: Callable[[], Job]) -> None:
    says = "P10 stands in the old sleeve of P10, cut off."
    found = [finding.says for finding in walk(job()).findings if finding.code == "in_keep_out"]
    assert found == [says]
    told = [finding.says for finding in walk(repair_of(job())).findings if finding.code == "in_keep_out"]
    assert told == [f"As it stood: {says} Left so then: the client knows"]


def left_at_sign_off(name: str, seed: int, *, aside: bool = False) -> Job:
    """A job with some things left open: some posts moved and not driven again, some old sleeves asked and not pulled, some marked as not
    needed. In some jobs a sleeve of any age comes out."""
    rng, job = random.Random(seed), built(name, seed)
    posts = job.rules.posts.model_copy(update={"pull_days": rng.choice([7, 1000])})
    job = job.model_copy(update={"rules": job.rules.model_copy(update={"posts": posts})})
    for _ in range(rng.randint(0, 2)):
        job = changed(job, rng)
    if aside:
        driven = [post for post, support in walk(job).layout.supports.items() if support.support == "driven"]
        job = edits.move_post(job, rng.choice(driven), SIGNED, BY, along_ft=rng.choice([-2.0, 2.0]))
    for line in [line for line in lines(walk(job)).values() if line.state == "open"]:
        job = ticked(job, line.item, SIGNED) if rng.random() < 0.3 else job
    asked = lines(walk(job))
    for key in rng.sample(sorted(asked.keys() & job.checks.keys()), rng.choice([0, 3, 30])):
        if rng.random() < 0.2 and (key.stage, key.what) not in CLOSES_YARD:
            job = edits.tick(job, key, SIGNED, BY, of=asked[key].item.of, needed=False, note="the client wants it so")
        else:
            job = edits.untick(job, key, SIGNED, BY)
    return job


@pytest.mark.independent
@pytest.mark.parametrize("name", ["willow_bend", "ridge_ring"])
@settings(max_examples=6, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_every_sleeve_of_the_record_before_is_in_the_repair_s_whatever_was_left_open(name: str, seed: int) -> None:
    old = left_at_sign_off(name, seed, aside=seed % 5 > 0)
    assert kept(old, repair_of(old))
