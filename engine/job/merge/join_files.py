"""Two files of one job that parted: joined into a job for a third file."""

from dataclasses import dataclass

from engine.job.errors import shown, value_words
from engine.job.file.store import Loaded
from engine.job.merge.asked import Conflict, Side
from engine.job.merge.merge import merge
from engine.job.model.job import Job


@dataclass(frozen=True, slots=True)
class Joined:
    """The job of both files, or None where somebody has to decide first; what came in from the second; what was or is asked."""

    job: Job | None
    came_in: tuple[str, ...] = ()
    asked: tuple[str, ...] = ()


def joined(ours: Loaded, theirs: Loaded, keep: Side | None, base: Job | None = None) -> Joined:
    """Both files as one job: logs and ticks joined, every other fact from the side that changed it."""
    refused = tuple(f"{_name(loaded)} {why}" for loaded in (ours, theirs) if (why := _why_not(loaded)))
    if refused:
        return Joined(None, asked=refused)
    merged = merge(base, ours.job, theirs.job, keep or "ours")
    asked = tuple(_conflict_words(conflict, ours, theirs, keep) for conflict in merged.conflicts)
    if asked and keep is None:
        return Joined(None, asked=(*asked, f"Say --keep ours for what {_name(ours)} says, or --keep theirs for {_name(theirs)}."))
    return Joined(merged.job, merged.came_in, asked)


def _why_not(loaded: Loaded) -> str:
    if loaded.heading.newer:
        return "was written by a newer program, so not all of it is known here. Merge with the newer program."
    return "is signed off, and a record can't be mixed with anything. Reopen it with a reason, then merge." if loaded.sealed else ""


def _conflict_words(conflict: Conflict, ours: Loaded, theirs: Loaded, keep: Side | None) -> str:
    kept = f" Kept: {_name(ours if keep == 'ours' else theirs)}." if keep else ""
    if conflict.ours == conflict.theirs:
        return f"{conflict.says}{kept}"
    if conflict.about:
        return f"{conflict.about}: {conflict.ours} in {_name(ours)}; {conflict.theirs} in {_name(theirs)}.{kept}"
    where = " ".join(map(str, conflict.path))
    return f"{where}: {value_words(conflict.ours)} in {_name(ours)}, {value_words(conflict.theirs)} in {_name(theirs)}.{kept}"


def _name(loaded: Loaded) -> str:
    return shown(loaded.path.name, 120)
