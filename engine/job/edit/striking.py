"""Striking an entry of the log, of whatever day: it stays to be read and counts no more."""

from datetime import datetime

from engine.job.edit.edits import OfPost, refuse_sealed
from engine.job.errors import EditRefused
from engine.job.model.cross_checks import problems
from engine.job.model.job import Job
from engine.job.model.log_entries import (
    AddEntry,
    DeliveryEntry,
    LogEntry,
    NoteEntry,
    ObstacleEntry,
    SleeveLeftEntry,
    current_entries,
    live,
)

_ANY_TIME = NoteEntry | ObstacleEntry | DeliveryEntry | SleeveLeftEntry


def may_be_struck(job: Job) -> tuple[LogEntry, ...]:
    """Entries that stand and can be struck, the newest first; what was done to a post is part of the plan once another is accepted."""
    counts = {entry.id for entry in current_entries(job.log)}
    kept = (entry for entry in live(job.log) if isinstance(entry, _ANY_TIME) or (isinstance(entry, OfPost) and entry.id in counts))
    return tuple(reversed(tuple(kept)))


def strike(job: Job, name: str, at: datetime, by: str) -> Job:
    """Job with an entry of its log struck, with when and by whom.

    Raises: EditRefused on a sealed job, an entry that can't be struck, or one that a later one rests on.
    """
    refuse_sealed(job)
    entry = next((one for one in may_be_struck(job) if one.id == name), None)
    if entry is None:
        raise EditRefused("That entry can't be struck: it is struck already, or part of the plan by now. Change the plan instead.")
    after = live(job.log)[live(job.log).index(entry) + 1 :]
    if isinstance(entry, AddEntry) and any(isinstance(one, OfPost) and one.post == entry.post for one in after):
        raise EditRefused(f"More was logged of {entry.post} since. Strike that first.")
    struck = {"struck_at": at, "struck_by": by}
    log = tuple(one.model_copy(update=struck) if one.id == name else one for one in job.log)
    done = job.model_copy(update={"log": log})
    if (found := problems(done)) and not problems(job):
        raise EditRefused(found[0].message)
    return done
