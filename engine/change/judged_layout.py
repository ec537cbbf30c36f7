"""Whether a fresh layout is a way to settle a post, judged as offers are: by the edit that is saved and the walk after it."""

from datetime import datetime

from engine.calc.geometry.plane import distance_ft
from engine.change.fresh_layout import FreshLayout, accepted_again, fresh_layout
from engine.change.rules_broken import rules_broken
from engine.findings import StageName
from engine.job.errors import JobError
from engine.job.model.job import Job
from engine.stages.layout.bays import bay_id
from engine.stages.layout.stage import Layout
from engine.walk import Walk, walk

ABOUT_ITS_PLACE: tuple[StageName, ...] = ("layout", "posts", "gate")
"""Stages that tell why a post can't stay where it is."""


def layout_that_settles(job: Job, before: Walk, post: str, at: datetime) -> FreshLayout | None:
    """The fresh layout, where it leaves nothing to settle at the post and, accepted `at` that time, adds no stop and no fix; else None."""
    try:
        fresh = fresh_layout(job, before)
        if fresh.why_none or fresh.same:
            return None
        after = walk(accepted_again(job, fresh, at, ""))
    except JobError:
        return None
    as_before = _as_before(before.layout, after.layout)
    told = {
        (one.code, one.subjects) for one in before.findings if one.level != "note" and one.stage in ABOUT_ITS_PLACE and post in one.subjects
    }
    left = {(one.code, tuple(as_before.get(subject, subject) for subject in one.subjects)) for one in after.findings}
    return fresh if told and not told & left and not rules_broken(before, after, as_before) else None


def _as_before(before: Layout, after: Layout) -> dict[str, str]:
    """What posts of new names and their bays are called as the support of before that stood nearest on their line."""
    names: dict[str, str] = {}
    for name, one in after.supports.items():
        there = [old for old in before.supports.values() if old.line == one.line]
        if name not in before.supports and there:
            names[name] = min(there, key=lambda old: distance_ft(old.xy, one.xy)).id
    bays = {bay.id: bay_id(names.get(bay.from_id, bay.from_id), names.get(bay.to_id, bay.to_id)) for bay in after.bays.values()}
    return names | bays
