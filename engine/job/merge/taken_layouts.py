"""Alternatives that one side took as the layout, where the joined layout is another."""

from engine.job.edit.alternatives import same_layout
from engine.job.model.cross_checks import problems
from engine.job.model.job import Job, layout_now


def with_taken_layouts(start: Job, ours: Job, theirs: Job, job: Job) -> Job:
    """The joined job with every alternative beside it that a side had taken and that would stand nowhere now."""
    kept = dict(job.alternatives)
    for name, was in start.alternatives.items():
        taken = any(name not in side.alternatives and same_layout(layout_now(side), was) for side in (ours, theirs))
        row = next((side.alternatives[name] for side in (ours, theirs) if name in side.alternatives), was)
        if taken and name not in kept and not any(same_layout(row, held) for held in (layout_now(job), *kept.values())):
            kept[name] = row
    after = job.model_copy(update={"alternatives": kept})
    return job if len(kept) == len(job.alternatives) or problems(after) else after
