"""Whether a fresh layout is a way to settle a post or to set a gate, judged as offers are, by the edit saved and the walk after it."""

from collections.abc import Iterator
from datetime import datetime

from engine.calc.geometry.plane import distance_ft
from engine.calc.lengths import format_ft_in
from engine.change.fresh_layout import FreshLayout, accepted_again, fresh_layout, standing
from engine.change.rules_broken import rules_broken
from engine.findings import StageName
from engine.job.errors import JobError
from engine.job.model.cross_checks import gate_end_ft
from engine.job.model.job import Job
from engine.stages.layout.bays import bay_id
from engine.stages.layout.stage import Layout
from engine.walk import Walk, walk

ABOUT_ITS_PLACE: tuple[StageName, ...] = ("layout", "posts", "gate")
"""Stages that tell why a post can't stay where it is."""
PLACES_TRIED = 4
"""For a gate that no layout sets where it is, those nearest to it."""


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


def where_gates_may_begin(job: Job, before: Walk, at: datetime) -> Iterator[str]:
    """For each gate without its two posts, where it would have to begin for a post that stands to be one of them, and a fresh layout to set
    the other: it adds no stop and no fix of where posts stand."""
    stands = standing(job, before)
    for gate in [one.subject for one in before.layout.findings if one.code == "gate_without_posts"]:
        asked = job.gates[gate]
        wide_ft = gate_end_ft(asked, job.rules.gate.gap_in) - asked.station_ft
        posts = [one for one in before.layout.supports.values() if one.id in stands and one.line == asked.line]
        places = [(station_ft, one.id) for one in posts for station_ft in (one.station_ft, one.station_ft - wide_ft) if station_ft >= 0]
        nearest = sorted(places, key=lambda place: abs(place[0] - asked.station_ft))[:PLACES_TRIED]
        for station_ft, post in nearest:
            moved = {**job.gates, gate: asked.model_copy(update={"station_ft": station_ft})}
            if _is_set(job.model_copy(update={"gates": moved}), before, gate, at):
                yield f"Where gate {gate} begins at {format_ft_in(station_ft)} it can be set: {post} is one of its posts then."
                break


def _is_set(job: Job, before: Walk, gate: str, at: datetime) -> bool:
    fresh = fresh_layout(job, walk(job))
    if fresh.why_none:
        return False
    after = walk(accepted_again(job, fresh, at, ""))
    broken = rules_broken(before, after, _as_before(before.layout, after.layout))
    hangs = any(bay.gate == gate for bay in after.layout.bays.values())
    return hangs and not any(one.stage in ("layout", "posts") for one in broken)
