"""A post settled: the one edit that an offer is judged by and that is saved once the crew takes it."""

from collections.abc import Sequence
from datetime import datetime

from engine.calc.lengths import format_in
from engine.change.beyond_reach import refuse_far_steps
from engine.change.candidates import Step
from engine.job.edit import edits
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.walk import Walk


def settled(job: Job, before: Walk, steps: Sequence[Step], at: datetime, by: str, *, why: str = "") -> Job:
    """Job with a post settled, offered or typed, however many log entries it takes; `before` is its walk.

    Raises: EditRefused where a step is refused, or goes further than anybody means; then nothing is changed.
    """
    done = edits.apply_steps(job, steps, at, by, why=why)
    refuse_far_steps(job, before, steps)
    return done


def refused(walked: Walk, post: str) -> bool:
    """Whether the ground refused a planned post: its sleeve stopped short, so it can't stay."""
    return walked.layout.accepted and post in walked.posts.work and walked.posts.work[post].stopped_short


def to_settle(walked: Walk, ticked: ItemKey) -> str | None:
    """The post that has to be settled now that this item is ticked; None where the crew goes on to the next item."""
    return ticked.subject if ticked == ItemKey("posts", ticked.subject, "driven_depth") and refused(walked, ticked.subject) else None


def stopped_says(walked: Walk, post: str) -> str:
    """Where a post's sleeve stopped."""
    return f"{post} stopped at {format_in(walked.posts.work[post].driven_in or 0.0)}"
