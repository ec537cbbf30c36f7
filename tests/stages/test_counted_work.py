"""Which work counts: what was done under another name since counts once."""

from datetime import datetime, timedelta

from engine.job.edit import edits
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.walk import walk
from tests.demo import BY, accepted
from tests.test_done_means_done import LATER, all_ticked
from tests.test_used_stays_used import WENT_IN, of_rule, used


def in_other_hands(job: Job, post: str, at: datetime) -> Job:
    """The job with a post left out and another one, of another name, put where it stood."""
    there = walk(job).layout.supports[post]
    return edits.add_post(edits.drop_post(job, post, at, BY), there.line, there.station_ft, at, BY)


def test_stakes_of_a_bay_that_is_called_otherwise_and_staked_again_are_used_once() -> None:
    """P6 stands between ten stakes; what takes its place is P17, and what takes that one's is P18."""
    job, stakes = all_ticked(accepted()), []
    for days in (0, 2):
        job = in_other_hands(job, "P17" if days else "P6", LATER + timedelta(days=days))
        stakes.append(used(job)["stake"])
        job = all_ticked(job, LATER + timedelta(days=days + 1))
        stakes.append(used(job)["stake"])
    assert {"P5-P18", "P18-P7"} <= walk(job).layout.bays.keys()
    assert stakes == [WENT_IN["stake"]] * 4

    closer = of_rule(in_other_hands(job, "P18", LATER + timedelta(days=4)), "staking", stake_max_ft=2.5)
    row = next(row for row in walk(all_ticked(closer, LATER + timedelta(days=5))).takeoff.rows if row.stock == "stake")
    assert (row.needed, row.used) == (119, 119), "those that are set anew take the place of those before"


def test_a_post_that_carries_eyes_went_in_though_nobody_says_that_it_is_plumb() -> None:
    done = all_ticked(accepted())
    assert used(edits.untick(done, item_key("posts.P8.plumb"), LATER, BY)) == WENT_IN
    bare = edits.untick(edits.untick(done, item_key("posts.P8.plumb"), LATER, BY), item_key("posts.P8.eyes"), LATER, BY)
    assert used(bare) == {**WENT_IN, "post-8": 11, "cap": 11, "eye": 22}
