"""Work that was kept on this machine and isn't in its file: it couldn't be reached then, or another version was put in its place since."""

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from engine.job.file.backups import in_hand_elsewhere, into_rescue, keep_last, last_seen, rescue_copies
from engine.job.file.disk import Disk, remove
from engine.job.file.heading import run_of
from engine.job.file.store import Loaded, readable, state_folder
from engine.job.merge.merge import merge
from engine.job.model.job import Job
from engine.job.versions.ancestors import base_of, came_from, one_job


@dataclass(frozen=True, slots=True)
class Unsaved:
    """A rescue copy, and the version that it and the file both came from; None where that isn't known."""

    copy: Loaded
    base: Job | None


def unsaved(loaded: Loaded, *, disk: Disk | None = None, state: Path | None = None) -> Unsaved | None:
    """The newest rescue copy of a file that holds something the file doesn't; of a signed one, what was signed doesn't. What another
    window holds isn't lost."""
    disk, state = disk or Disk(), state or state_folder()
    if loaded.read_only_reason:
        return None
    stands = loaded.job.model_copy(update={"record": None})
    _set_aside(loaded, disk, state)
    for copy in readable(rescue_copies(disk, state, disk.realpath(loaded.path)), disk, state):
        if in_hand_elsewhere(disk, copy.path) or came_from(loaded, copy):
            continue
        base = base_of(copy, loaded, disk=disk, state=state)
        if base is None and not one_job(copy.job, loaded.job):
            continue
        merged = merge(base, copy.job, stands)
        if merged.conflicts or merged.job != stands:
            return Unsaved(copy, base)
    return None


def _set_aside(loaded: Loaded, disk: Disk, state: Path) -> None:
    """What was seen here last and the file doesn't come from becomes a rescue copy; what it does come from makes room for it."""
    real, known = disk.realpath(loaded.path), False
    kept = tuple(readable(last_seen(disk, state, real), disk, state))
    for seen in kept:
        if seen.digest == loaded.digest:
            known = True
        elif came_from(loaded, seen) is not False or any(other is not seen and came_from(other, seen) for other in kept):
            remove(disk, seen.path)
        elif _is_gone(seen, loaded, disk, state):
            into_rescue(disk, state, real, seen.path, datetime.now(UTC))
    if not known:
        keep_last(disk, state, loaded.path, loaded.raw, run_of(loaded.heading))


def _is_gone(seen: Loaded, loaded: Loaded, disk: Disk, state: Path) -> bool:
    """Whether the file, as it stands now, isn't what was seen, nor comes from it, and yet is the same job."""
    now = next(readable([loaded.path], disk, state), loaded)
    if came_from(now, seen) is not False:
        return False
    return one_job(seen.job, now.job) or base_of(seen, now, disk=disk, state=state) is not None
