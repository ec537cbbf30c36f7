"""The version that two files of one job both came from, among those kept on this machine."""

from collections.abc import Iterator, Mapping
from heapq import heappop, heappush
from pathlib import Path

from engine.job.file.backups import kept_versions
from engine.job.file.disk import Disk
from engine.job.file.heading import MOST_RUNS, SHORT, run_of, runs_of
from engine.job.file.store import Loaded, readable
from engine.job.model.job import Job

LONGEST_CHAIN = 200


def common(ours: Loaded, theirs: Loaded, *, disk: Disk | None = None, state: Path) -> Loaded | None:
    """The newest version that both files came from, as it was kept on this machine.

    A file names the version it replaced, the versions that stood when its last days began, and how far it came on its runs; each of those
    that is kept here names its own. Where one file came from the other, that other one is it.
    """
    disk = disk or Disk()
    yours = dict(_lineage(theirs, disk, state))
    found = (_in_both(mark, version, yours, theirs) for mark, version in _lineage(ours, disk, state))
    here = next((version for version in found if version is not None), None)
    there = next((version for version in yours.values() if version is not None and came_from(ours, version)), None)
    return max(filter(None, (here, there)), key=lambda version: version.heading.revision, default=None)


def _in_both(mark: str, version: Loaded | None, yours: Mapping[str, Loaded | None], theirs: Loaded) -> Loaded | None:
    if mark in yours:
        return version or yours[mark]
    return version if version is not None and came_from(theirs, version) else None


def came_from(later: Loaded, earlier: Loaded) -> bool | None:
    """Whether one version came from another, by what its heading says; None where that doesn't tell. One that came from it holds all that
    was saved in it, but for what somebody changed or took out since."""
    if earlier.digest in (later.digest, later.heading.parent) or earlier.digest[:SHORT] in later.heading.earlier.split():
        return True
    if later.heading.revision == 0:
        return None
    runs, here = runs_of(later.heading), runs_of(earlier.heading)
    run = run_of(earlier.heading)
    if run in runs:
        return runs[run] >= here[run]
    known = run and len(runs) < MOST_RUNS
    return False if known or later.heading.revision < earlier.heading.revision else None


def one_job(one: Job, other: Job) -> bool:
    """Whether two that name no version in common are one job all the same: they share an entry of the log, or say the same of who and
    where."""
    ids = {entry.id for entry in one.log}
    return any(entry.id in ids for entry in other.log) or one.job == other.job or one.points == other.points != {}


def base_of(ours: Loaded, theirs: Loaded, *, disk: Disk | None = None, state: Path) -> Job | None:
    """The job of the version that both came from, None where it isn't known."""
    found = common(ours, theirs, disk=disk, state=state)
    return found.job if found else None


def _lineage(loaded: Loaded, disk: Disk, state: Path) -> Iterator[tuple[str, Loaded | None]]:
    """The marks of a file and of those it came from, each with the version where it is kept: none before one that came from it."""
    known: dict[str, Loaded | None] = {loaded.digest[:SHORT]: loaded}
    ahead = [(-loaded.heading.revision, loaded.digest[:SHORT])]
    while ahead and len(known) < LONGEST_CHAIN:
        mark = heappop(ahead)[1]
        here = known[mark]
        yield mark, here
        before = [] if here is None else [here.heading.parent[:SHORT], *here.heading.earlier.split()]
        for mark in filter(None, before):
            if mark not in known:
                known[mark] = found = _kept_version(mark, disk, state)
                heappush(ahead, (-found.heading.revision if found else 0, mark))


def _kept_version(mark: str, disk: Disk, state: Path) -> Loaded | None:
    kept = readable(kept_versions(disk, state, mark[:8]), disk, state)
    return next((version for version in kept if version.digest.startswith(mark)), None)
