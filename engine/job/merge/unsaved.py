"""Work that was kept elsewhere because its file couldn't be reached, and isn't in the file yet."""

from dataclasses import dataclass
from pathlib import Path

from engine.job.file.backups import rescue_copies
from engine.job.file.disk import Disk
from engine.job.file.store import Loaded, readable, state_folder
from engine.job.merge.ancestors import base_of
from engine.job.merge.merge import merge
from engine.job.model.job import Job


@dataclass(frozen=True, slots=True)
class Unsaved:
    """A rescue copy, and the version that it and the file both came from; None where that isn't known."""

    copy: Loaded
    base: Job | None


def unsaved(loaded: Loaded, *, disk: Disk | None = None, state: Path | None = None) -> Unsaved | None:
    """The newest rescue copy of a file that holds something the file doesn't."""
    disk, state = disk or Disk(), state or state_folder()
    if loaded.sealed or loaded.read_only_reason:
        return None
    for copy in readable(rescue_copies(disk, state, disk.realpath(loaded.path)), disk, state):
        base = base_of(copy, loaded, disk=disk, state=state)
        merged = merge(base, copy.job, loaded.job)
        if merged.conflicts or merged.job != loaded.job:
            return Unsaved(copy, base)
    return None
