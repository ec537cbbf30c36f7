"""A loop is called by where it runs, in a job, in its repair and in the repair of that: opening one item opens it alone."""

import random
from collections.abc import Iterable, Mapping
from datetime import timedelta
from functools import cache

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from engine.job.edit import edits
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.stages.cables.loop_items import ROUND_AGAIN
from engine.stages.standing_line import ASKED_AFTER, FOOT, MARKS, OF_A_VISIT
from engine.walk import Walk, walk
from tests.demo import BY
from tests.repair.finished import YEARS
from tests.repair.test_what_stands import built, lines, open_keys, repair_of
from tests.test_done_means_done import all_ticked, changed

LATER = YEARS + timedelta(days=900)


@cache
def job_of(name: str, seed: int, repairs: int) -> Job:
    """A demo that was changed while it was built, or while it was repaired after that, all ticked in the end."""
    job = built(name, seed)
    for nth in range(repairs):
        job = all_ticked(changed(repair_of(job), random.Random(seed + nth)), YEARS)
    return job


def called(worked: Walk) -> tuple[Mapping[str, tuple[str, ...]], list[str], list[str]]:
    """Loops by their supports, supports, and bays, as they are called."""
    return {name: loop.supports for name, loop in worked.cables.loops.items()}, list(worked.layout.supports), list(worked.layout.bays)


def opened_besides(before: Walk, after: Walk, keys: Iterable[ItemKey]) -> set[ItemKey]:
    """What is open as well, but for what is asked anew wherever something is opened, the marks, the last visit, the closing walk, and the
    round in which cables are pulled, and for a brace whose foot isn't read any more."""
    feet = {(key.stage, key.subject) for key in keys if key.what.startswith(FOOT)}
    fresh = open_keys(after) - open_keys(before) - set(keys) - {ROUND_AGAIN}
    anew = (*MARKS, *OF_A_VISIT, *ASKED_AFTER)
    return {key for key in fresh if key.what not in anew and (key.stage, key.subject) not in feet}


@pytest.mark.independent
@pytest.mark.parametrize("name", ["willow_bend", "ridge_ring"])
@settings(max_examples=6, deadline=None)
@given(seed=st.integers(0, 10**6), repairs=st.integers(0, 2))
@example(seed=20222, repairs=2)
def test_an_item_that_is_opened_opens_itself_alone_and_ticked_again_all_is_as_it_was(name: str, seed: int, repairs: int) -> None:
    rng, job = random.Random(seed), job_of(name, seed, repairs)
    before = walk(job)
    ticks = {key: line.tick for key, line in lines(before).items() if line.tick is not None}
    closed = [key for key in ticks if key.what == "closed"]
    for keys in [*([key] for key in closed), closed, *(rng.sample(list(ticks), n) for n in (1, 1, 1, 5))]:
        opened = edits.untick_all(job, keys, LATER, BY)
        after = walk(opened)
        assert called(after) == called(before)
        assert set(keys) <= open_keys(after)
        assert opened_besides(before, after, keys) == set()
        for key in keys:
            read = {"reading_ft": ticks[key].reading_ft, "reading_in": ticks[key].reading_in}
            opened = edits.tick(opened, key, LATER, BY, of=lines(after)[key].item.of, **read)
        again = walk(opened)
        assert called(again) == called(before)
        assert opened_besides(before, again, ()) == set()
