"""Saving a job that somebody else may have saved meanwhile: merge, say what came in, ask where both changed the same fact."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from engine.job.errors import ChangedOnDisk, JobError, NotSaved
from engine.job.file.backups import keep_base
from engine.job.file.disk import Disk
from engine.job.file.store import Loaded, keep_elsewhere, load, save, state_folder
from engine.job.merge.asked import Conflict, Keep
from engine.job.merge.merge import SIGNED_THERE, merge
from engine.job.model.job import Job
from engine.job.versions.ancestors import base_of, came_from, one_job

TRIES = 5
KEPT_COPY = "the copy that was kept elsewhere"
"""What a job is called that was made from no version that is known: it alone is such a one."""
IN_ITS_PLACE = "This file was replaced by one that somebody made from an older version. What was saved in it before is in it again."
ANOTHER_JOB = "another job was put in its place, under its name. Move that elsewhere, or leave this one."


@dataclass(frozen=True, slots=True)
class Shared:
    """What stands on disk now, what came in with it, and what has to be asked; with something to ask, nothing was saved yet. `joined` is
    whether it holds another version too, told of or not, `left_out` whether it stands as it was signed meanwhile, without the job that was
    to be saved."""

    loaded: Loaded
    came_in: tuple[str, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    joined: bool = False
    left_out: bool = False


def save_shared(
    loaded: Loaded,
    job: Job,
    now: datetime,
    keep: Keep | None = None,
    *,
    base: Job | None,
    taken: Loaded | None = None,
    disk: Disk | None = None,
    state: Path | None = None,
) -> Shared:
    """Save a job; where the file was changed meanwhile, save both sides together. `base` is the version of the file that the job was made
    from, None where that isn't known: what only one side has then is told. `keep` answers what was asked before, `taken` is a
    version kept elsewhere whose work it holds too. A file that doesn't come
    from the version it stands in the place of, as a folder that is kept alike on two laptops may put it there, is joined by the version
    that both came from.

    Raises: ReadOnlyFile; NotSaved, also where what stands there now can't be read. The file is as it was.
    """
    disk, state, keep = disk or Disk(), state or state_folder(), keep or Keep()
    handle, mine, came_in = loaded, job, tuple[str, ...]()
    joined, apart = False, [taken] if taken is not None else []
    for _ in range(TRIES):
        if base is None or handle.job is not base:
            if base is None and not one_job(job, handle.job):
                raise NotSaved(loaded.path, ANOTHER_JOB, keep_elsewhere(loaded, job, now, disk=disk, state=state))
            merged = merge(base, mine, handle.job, keep)
            signed = tuple(conflict for conflict in merged.conflicts if conflict.path == SIGNED_THERE)
            if signed and signed[0] in keep.answers:
                return Shared(handle, merged.came_in, joined=True, left_out=True)
            if asked := signed or keep.open(merged.conflicts):
                return Shared(handle, (*came_in, *merged.came_in), asked)
            here, there = merged.lone
            lone = (*here.says(KEPT_COPY, loaded.path.name), *there.says(loaded.path.name, KEPT_COPY))
            mine, came_in, joined = merged.job, (*came_in, *merged.came_in, *lone), True
        try:
            return Shared(save(handle, mine, now, joined=apart, disk=disk, state=state), came_in, joined=joined)
        except ChangedOnDisk:
            before, handle = handle, _what_stands_there(loaded, job, now, disk, state)
            base = before.job
            if came_from(handle, before) is False:
                base, came_in = base_of(before, handle, disk=disk, state=state), (*came_in, IN_ITS_PLACE)
                keep_base(disk, state, loaded.path, before.raw, now)
                apart.append(before)
    raise NotSaved(loaded.path, "somebody else keeps saving it.", keep_elsewhere(loaded, job, now, disk=disk, state=state))


def _what_stands_there(loaded: Loaded, job: Job, now: datetime, disk: Disk, state: Path) -> Loaded:
    try:
        return load(loaded.path, disk=disk, state=state)
    except JobError as error:
        kept = keep_elsewhere(loaded, job, now, disk=disk, state=state)
        raise NotSaved(loaded.path, f"somebody else changed it and it can't be read now ({error.brief}).", kept) from error
