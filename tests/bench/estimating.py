"""How long an estimate takes, of a phone call and of a long ring: the likely figures, which are shown first; low and high after them; all
three, nothing remembered, after another word was said, and shown again.

As measured, six tenths of a walk go into what the take-off and the counts read, so that five walks don't fit a frame, whatever else is left
out; and low, likely and high alone would miss the least or the most of something in one of seven made-up talks.
"""

from collections.abc import Callable, Iterator
from functools import partial

from engine import walk as walking
from engine.ahead.estimate import estimate, likely_estimate
from engine.job.model.job import Job
from engine.job.model.rough import Rough
from tests.ahead.first_talks import PHONE, said
from tests.bench.timing import Told, best_ms

FRAME_MS = 1000 / 60
RING = Rough(length_ft=600, ring=True, corners=6, gates_ft=(5, 4), height_ft=5)


def estimates() -> Iterator[Told]:
    """In frames of a sixtieth of a second."""
    for what, rough in (("a phone call", PHONE), ("a ring of 600 ft", RING)):
        job = said(rough)
        act = partial(estimate, job)
        others = iter([said(rough.model_copy(update={"length_ft": (rough.length_ft or 0.0) + n})) for n in range(1, 8)])
        likely = partial(likely_estimate, job)
        yield _told(f"likely figures of {what}, nothing remembered", best_ms(likely, before=walking.forget))
        yield _told("low and high of it, once these are shown", best_ms(act, before=partial(_shown_first, likely)))
        yield _told("low, likely and high of it, nothing remembered", best_ms(act, before=walking.forget))
        yield _told("the same after another length", best_ms(partial(_next_one, others)))
        yield _told("the same shown again", best_ms(act))


def _shown_first(likely: Callable[[], object]) -> None:
    walking.forget()
    likely()


def _next_one(jobs: Iterator[Job]) -> None:
    estimate(next(jobs))


def _told(what: str, taken_ms: float) -> Told:
    return Told(what, taken_ms, "ms", "frame", FRAME_MS)
