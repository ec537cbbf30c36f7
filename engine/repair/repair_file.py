"""From a signed file to the file of a repair: refused in a sentence where it isn't signed, was changed, or the new name is taken."""

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from engine.job.errors import ChangedOnDisk, JobError
from engine.job.file.disk import Disk, digest, read_whole
from engine.job.file.kept_text import keeping_file
from engine.job.file.store import Loaded, load, new
from engine.job.model.job import Job
from engine.job.model.signed_record import RepairOf
from engine.paper.seal_check import UNKNOWN, in_short, seal_broken
from engine.repair.what_stands import repaired
from engine.walk import walk

MOST_CHANGES = 1_000


def write_repair(signed: Path, out: Path, now: datetime | None = None, *, anyway: bool = False, state: Path | None = None) -> Loaded:
    """Make the file of a repair out of a signed one, which is only read. Raises: JobError with one sentence where it isn't signed, or was
    changed since and nobody says `anyway`; AlreadyThere where something stands under the new name."""
    loaded = load(signed)
    return new(out, repair_job(loaded, anyway=anyway, state=state), now, state=state)


def repair_job(loaded: Loaded, *, anyway: bool = False, state: Path | None = None) -> Job:
    """The job of a repair of a signed one, as it begins."""
    job, name = loaded.job, loaded.path.name
    if job.record is None:
        raise JobError(f"{name} isn't signed off, so it is no fence to repair yet: open it and go on with it.")
    worked = walk(job)
    if not worked.layout.accepted:
        raise JobError(f"{name} holds no fence that stands: no layout was ever accepted in it.")
    changed = seal_broken(loaded, worked, state=state)
    if changed and not anyway:
        raise JobError(
            f"{name} isn't what was signed any more. {_in_short(changed, name)} Repair from a copy that is, or run linewalk repair with "
            "--anyway: the new file will tell."
        )
    raw = read_whole(Disk(), loaded.path)
    if digest(raw) != loaded.digest:
        raise ChangedOnDisk(loaded.path)
    record = job.record
    told = RepairOf(
        number=job.job.number,
        title=job.job.title,
        file=name[:200],
        signed_at=record.signed_at,
        signed_by=record.signed_by,
        accepted_by=record.accepted_by,
        digest=record.digest,
        until=record.signed_at,
        changed=tuple(says[:2_000] for says in changed[:MOST_CHANGES]),
        **keeping_file(loaded.path, raw),
    )
    return repaired(job, worked, told)


def _in_short(changed: Sequence[str], name: str) -> str:
    """What was changed; where the signed version isn't known, what lists what doesn't fit."""
    return in_short(changed) or f"{UNKNOWN} linewalk check {name} lists what doesn't fit."
