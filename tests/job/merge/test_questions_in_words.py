"""What two ticks of one item were made for is asked in a crew's words, and only where it differs."""

from datetime import UTC, datetime

from engine.job.merge.merge import merge
from engine.job.model.checks import Tick
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.tick_facts import tick_facts

KEY = item_key("punch.job.client_accepts")


def ticked(hour: int, of: str) -> Job:
    tick = Tick(at=datetime(2031, 4, 1, hour, tzinfo=UTC), by="Mo", of=tick_facts(of))
    return Job().model_copy(update={"checks": {KEY: tick}})


def test_two_ticks_made_for_different_posts_are_asked_by_what_differs() -> None:
    one = ticked(
        9, "P1 at 0.000 E 0.000 N, P2 at 3.000 E 16.000 N, P6 at 12.000 E 61.000 N; fence high 6.000 ft; made of sleeve-30, post-8"
    )
    other = ticked(10, "P1 at 0.000 E 0.000 N, P2 at 3.000 E 15.000 N, P13 at 9.000 E 61.000 N; fence high 6.000 ft; made of sleeve-30")
    (asked,) = merge(Job(), one, other).conflicts
    assert asked.ours.endswith(""", for P2 at 3' 0" E 16' 0" N, P6 at 12' 0" E 61' 0" N and round steel post 1 5/8 in, 8 ft, without P13""")
    assert asked.theirs.endswith(""", for P2 at 3' 0" E 15' 0" N and P13 at 9' 0" E 61' 0" N, without P6""")


def test_a_tick_that_says_less_than_the_other_one_says_so() -> None:
    (asked,) = merge(Job(), ticked(9, "fence high 6.000 ft; sleeve"), ticked(10, "fence high 6.000 ft")).conflicts
    assert (asked.ours.endswith(", for sleeve"), asked.theirs.endswith(", for nothing besides")) == (True, True)
