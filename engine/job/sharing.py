"""Saving a job that somebody else may have saved meanwhile: merge, say what came in, ask where both changed the same fact."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from engine.job.backups import rescue
from engine.job.disk import Disk
from engine.job.errors import ChangedOnDisk, JobError, NotSaved
from engine.job.job import FORMAT, Job
from engine.job.merge import Conflict, Side, merge
from engine.job.store import Loaded, load, save, state_folder
from engine.job.tables import tables_of
from engine.job.write import write_text

TRIES = 5


@dataclass(frozen=True, slots=True)
class Shared:
    """What stands on disk now, what came in with it, and what has to be asked; with something to ask, nothing was saved yet."""

    loaded: Loaded
    came_in: tuple[str, ...] = ()
    conflicts: tuple[Conflict, ...] = ()


def save_shared(
    loaded: Loaded, job: Job, now: datetime, keep: Side | None = None, *, disk: Disk | None = None, state: Path | None = None
) -> Shared:
    """Save a job; where the file was changed meanwhile, save both sides together.

    Arguments: as `store.save`; keep, the answer where both sides changed the same fact, None to be asked.
    Returns: the new handle (its job may hold more than the one handed in) and what came in; or, with conflicts, the other side's
    version as it stands on disk, unchanged: ask, then call again with the same `loaded` and `job` and an answer.
    Raises: ReadOnlyFile; NotSaved, also where what stands there now can't be read. The file is as it was.
    Source: derived: the job file's own rules.
    Valid for: as `store.save`.
    """
    disk, state = disk or Disk(), state or state_folder()
    handle, mine, came_in = loaded, job, tuple[str, ...]()
    for _ in range(TRIES):
        try:
            return Shared(save(handle, mine, now, disk=disk, state=state), came_in)
        except ChangedOnDisk:
            handle = _theirs(loaded.path, job, now, disk, state)
        merged = merge(loaded.job, job, handle.job, keep or "ours")
        if merged.conflicts and (keep is None or handle.sealed):
            return Shared(handle, merged.came_in, merged.conflicts)
        mine, came_in = merged.job, merged.came_in
    raise _rescued(loaded.path, job, now, "somebody else keeps saving it.", disk, state)


def _theirs(path: Path, job: Job, now: datetime, disk: Disk, state: Path) -> Loaded:
    try:
        return load(path, disk=disk, state=state)
    except JobError as error:
        raise _rescued(path, job, now, f"somebody else changed it and it can't be read now ({error.brief}).", disk, state) from error


def _rescued(path: Path, job: Job, now: datetime, why: str, disk: Disk, state: Path) -> NotSaved:
    raw = write_text({"format": FORMAT, **tables_of(job)}).encode()
    return NotSaved(path, why, rescue(disk, state, disk.realpath(path), raw, now))
