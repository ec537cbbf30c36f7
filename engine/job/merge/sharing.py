"""Saving a job that somebody else may have saved meanwhile: merge, say what came in, ask where both changed the same fact."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from engine.job.errors import ChangedOnDisk, JobError, NotSaved
from engine.job.file.disk import Disk
from engine.job.file.store import Loaded, keep_elsewhere, load, save, state_folder
from engine.job.merge.asked import Conflict, Keep
from engine.job.merge.merge import merge
from engine.job.model.job import Job

TRIES = 5
KEPT_COPY = "the copy that was kept elsewhere"
"""What a job is called that was made from no version that is known: it alone is such a one."""


@dataclass(frozen=True, slots=True)
class Shared:
    """What stands on disk now, what came in with it, and what has to be asked; with something to ask, nothing was saved yet."""

    loaded: Loaded
    came_in: tuple[str, ...] = ()
    conflicts: tuple[Conflict, ...] = ()


def save_shared(
    loaded: Loaded,
    job: Job,
    now: datetime,
    keep: Keep | None = None,
    *,
    base: Job | None,
    disk: Disk | None = None,
    state: Path | None = None,
) -> Shared:
    """Save a job; where the file was changed meanwhile, save both sides together. `base` is the version of the file that the job was made
    from, None where that isn't known: what only one side has then is told. `keep` answers what was asked before.

    Raises: ReadOnlyFile; NotSaved, also where what stands there now can't be read. The file is as it was.
    """
    disk, state, keep = disk or Disk(), state or state_folder(), keep or Keep()
    handle, mine, came_in = loaded, job, tuple[str, ...]()
    for _ in range(TRIES):
        if base is None or handle.job is not base:
            merged = merge(base, job, handle.job, keep)
            if asked := merged.conflicts if handle.sealed else keep.open(merged.conflicts):
                return Shared(handle, merged.came_in, asked)
            here, there = merged.lone
            lone = (*here.says(KEPT_COPY, loaded.path.name), *there.says(loaded.path.name, KEPT_COPY))
            mine, came_in = merged.job, (*merged.came_in, *lone)
        try:
            return Shared(save(handle, mine, now, disk=disk, state=state), came_in)
        except ChangedOnDisk:
            handle = _what_stands_there(loaded, job, now, disk, state)
    raise NotSaved(loaded.path, "somebody else keeps saving it.", keep_elsewhere(loaded, job, now, disk=disk, state=state))


def _what_stands_there(loaded: Loaded, job: Job, now: datetime, disk: Disk, state: Path) -> Loaded:
    try:
        return load(loaded.path, disk=disk, state=state)
    except JobError as error:
        kept = keep_elsewhere(loaded, job, now, disk=disk, state=state)
        raise NotSaved(loaded.path, f"somebody else changed it and it can't be read now ({error.brief}).", kept) from error
