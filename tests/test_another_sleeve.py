"""What hangs on a post was done on the sleeve that stood there: another one at the very same place opens all of it, and nothing else."""

import random

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.edit import edits
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.tick_facts import At, TickFacts, tick_facts
from engine.walk import walk
from tests.demo import BY
from tests.test_done_means_done import JOBS, LATER, all_ticked


def moved_and_put_back(job: Job, post: str, along_ft: float, *, given_up: bool) -> Job:
    """The job with a post moved, its sleeve pulled or cut off, as its age has it, or not touched, and the post put back where it stood."""
    moved = edits.move_post(job, post, LATER, BY, along_ft=along_ft)
    lines = walk(moved).checklists["posts"].lines
    (asked,) = (line.item for line in lines if line.item.key.what == "old_sleeve" and line.state == "open")
    after = edits.tick(moved, asked.key, LATER, BY, of=asked.of) if given_up else moved
    return edits.move_post(after, post, LATER, BY, along_ft=-along_ft)


def opened(job: Job) -> set[ItemKey]:
    """What is open but for a line's walk and the client's word, which come after all of it."""
    checklists = walk(job).checklists.values()
    return {line.item.key for one in checklists for line in one.lines if line.state == "open" and line.item.key.stage != "punch"}


@settings(max_examples=12, deadline=None)
@given(st.integers(0, 10**6))
def test_what_hangs_on_a_post_is_open_once_another_sleeve_is_wanted_at_its_very_place_and_nothing_else(seed: int) -> None:
    """Flags and taped bays are of the place alone, and a loop's length is of its cable."""
    rng = random.Random(seed)
    done = all_ticked(JOBS[rng.choice(sorted(JOBS))]())
    before = walk(done)
    post, along_ft = rng.choice([one.id for one in before.layout.supports.values() if one.support == "driven"]), rng.choice([-1.0, 1.0])
    on_it = {
        line.item.key
        for checklist in before.checklists.values()
        for line in checklist.lines
        if line.item.key.stage not in ("layout", "punch") and post in {at.support for at in line.item.of.places}
    }
    assert ItemKey("posts", post, "driven_depth") in on_it
    assert opened(moved_and_put_back(done, post, along_ft, given_up=True)) == on_it
    assert opened(moved_and_put_back(done, post, along_ft, given_up=False)) == set()


def test_which_sleeve_of_its_place_it_hangs_on_is_written_and_read() -> None:
    of = TickFacts((At("P9", -8.023, -134.987), At("P10", 5.804, -122.816, sleeve=2)), words=("P9-P10",))
    assert str(of) == "P9 at -8.023 E -134.987 N, P10 sleeve 2 at 5.804 E -122.816 N; P9-P10"
    assert tick_facts(str(of)) == of
