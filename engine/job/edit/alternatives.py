"""Layouts side by side in one job: one kept, taken in the place of the job's own, called otherwise, or thrown away."""

from engine.job.edit.edits import refuse_sealed
from engine.job.edit.entering import NAME, check_name
from engine.job.errors import EditRefused, EntryRefused, Problem
from engine.job.model.cross_checks import problems
from engine.job.model.fence import Alternative
from engine.job.model.job import Job, layout_now, with_layout


def keep_layout(job: Job, name: str, note: str = "") -> Job:
    """Job with the layout it has now kept as an alternative, too."""
    refuse_sealed(job)
    if not job.lines:
        raise EditRefused("There is no line yet: enter the fence's lines first, then keep them as an alternative.")
    _refuse_taken(job, name)
    return job.model_copy(update={"alternatives": {**job.alternatives, name: layout_now(job, note.strip())}})


def take_layout(job: Job, name: str, own_name: str, own_note: str = "") -> Job:
    """Job with an alternative as its layout; its own is kept as `own_name`, unless it has no line or is kept already."""
    refuse_sealed(job)
    refuse_once_planned(job)
    taken = _alternative(job, name)
    kept = {other: row for other, row in job.alternatives.items() if other != name}
    if must_be_kept(job):
        if own_name != name:
            _refuse_taken(job, own_name)
        kept[own_name] = layout_now(job, own_note.strip())
    after = with_layout(job, taken).model_copy(update={"alternatives": kept})
    if found := problems(after):
        raise EditRefused(f"{name} doesn't fit the job as it is: {found[0].message}")
    return after


def call_layout(job: Job, name: str, new: str, note: str) -> Job:
    """Job with an alternative under another name and note, in its place."""
    refuse_sealed(job)
    row = _alternative(job, name).model_copy(update={"note": note.strip()})
    if new != name:
        _refuse_taken(job, new)
    kept = {new if other == name else other: row if other == name else held for other, held in job.alternatives.items()}
    return job.model_copy(update={"alternatives": kept})


def drop_layout(job: Job, name: str) -> Job:
    """Job without an alternative."""
    refuse_sealed(job)
    _alternative(job, name)
    return job.model_copy(update={"alternatives": {other: row for other, row in job.alternatives.items() if other != name}})


def must_be_kept(job: Job) -> bool:
    """Whether the job's own layout would be lost if another took its place."""
    return bool(job.lines) and not any(same_layout(layout_now(job), row) for row in job.alternatives.values())


def same_layout(one: Alternative, other: Alternative) -> bool:
    """Whether two are one layout, whatever their notes say."""
    return one.model_copy(update={"note": ""}) == other.model_copy(update={"note": ""})


def refuse_once_planned(job: Job) -> None:
    """Refuse where the job's own layout is being built: from then on the ground changes it by the log."""
    if job.posts or any(key.stage != "survey" for key in job.checks):
        says = "This layout is accepted and work has begun on it: log a new way or a move instead, or strike the accepted plan first."
        raise EditRefused(says)


def _alternative(job: Job, name: str) -> Alternative:
    if name not in job.alternatives:
        raise EditRefused(f"There is no alternative {name} in this job.")
    return job.alternatives[name]


def _refuse_taken(job: Job, name: str) -> None:
    check_name("alternatives", name)
    if name in job.alternatives:
        said = f"There is an alternative {name} already: give this one another name."
        raise EntryRefused([Problem(("alternatives", name, NAME), said, name)])
