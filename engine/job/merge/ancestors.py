"""The version that two files of one job both came from, among those kept on this machine."""

from collections.abc import Iterator
from pathlib import Path

from engine.job.file.backups import kept_versions
from engine.job.file.disk import Disk
from engine.job.file.heading import SHORT
from engine.job.file.store import Loaded, readable
from engine.job.model.job import Job

LONGEST_CHAIN = 200


def common(ours: Loaded, theirs: Loaded, *, disk: Disk | None = None, state: Path) -> Loaded | None:
    """The newest version that both files came from, as it was kept on this machine.

    A file names the version it replaced, and the versions that stood when its last days began; each of those that is kept here names
    its own. Where one file came from the other, that other one is it.
    """
    disk = disk or Disk()
    yours = dict(_lineage(theirs, disk, state))
    both = (found or yours[mark] for mark, found in _lineage(ours, disk, state) if mark in yours)
    return next((version for version in both if version is not None), None)


def base_of(ours: Loaded, theirs: Loaded, *, disk: Disk | None = None, state: Path) -> Job | None:
    """The job of the version that both came from, None where it isn't known."""
    found = common(ours, theirs, disk=disk, state=state)
    return found.job if found else None


def _lineage(loaded: Loaded, disk: Disk, state: Path) -> Iterator[tuple[str, Loaded | None]]:
    """The marks of a file and of those it came from, newest first, each with the version where it is kept."""
    seen: set[str] = set()
    here: Loaded | None = loaded
    marks = [loaded.digest[:SHORT]]
    while marks and len(seen) < LONGEST_CHAIN:
        mark = marks.pop(0)
        if not mark or mark in seen:
            continue
        seen.add(mark)
        here = loaded if mark == loaded.digest[:SHORT] else _kept_version(mark, disk, state)
        yield mark, here
        if here is not None:
            marks = [here.heading.parent[:SHORT], *marks, *reversed(here.heading.earlier.split())]


def _kept_version(mark: str, disk: Disk, state: Path) -> Loaded | None:
    kept = readable(kept_versions(disk, state, mark[:8]), disk, state)
    return next((version for version in kept if version.digest.startswith(mark)), None)
