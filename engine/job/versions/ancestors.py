"""Which version came from which, and the one that two files of one job both came from, among those kept on this machine."""

from collections.abc import Iterator, Sequence
from heapq import heappop, heappush
from pathlib import Path

from engine.job.file.backups import kept_versions
from engine.job.file.disk import Disk
from engine.job.file.heading import MOST_RUNS, SHORT, run_of, runs_of
from engine.job.file.store import Loaded, readable
from engine.job.merge.merge import merge
from engine.job.model.job import Job

LONGEST_CHAIN = 200


def common(ours: Loaded, theirs: Loaded, *, disk: Disk | None = None, state: Path) -> tuple[Loaded, ...]:
    """The newest versions that both files came from, as they were kept on this machine: none that another of them came from. There are
    several where each file took in what the other had.

    A file names the version it replaced, the versions that stood when its last days began, and how far it came on its runs; each of those
    that is kept here names its own. Where one file came from the other, that other one is it.
    """
    disk = disk or Disk()
    sides = dict(_lineage(ours, theirs, disk, state)), dict(_lineage(theirs, ours, disk, state))
    shared = {
        mark: version
        for here, there, other in ((sides[0], sides[1], theirs), (sides[1], sides[0], ours))
        for mark, version in here.items()
        if version is not None and (mark in there or came_from(other, version))
    }
    return tuple(one for one in shared.values() if not any(_is_after(other, one) for other in shared.values()))


def _is_after(later: Loaded, earlier: Loaded) -> bool:
    return later.heading.revision > earlier.heading.revision and came_from(later, earlier) is not False


def came_from(later: Loaded, earlier: Loaded) -> bool | None:
    """Whether one version came from another, by what its heading says; None where that doesn't tell. One that came from it holds all that
    was saved in it, but for what somebody changed or took out since. Where a heading has no room for all runs it lacks the oldest alone."""
    if earlier.digest in (later.digest, later.heading.parent) or earlier.digest[:SHORT] in later.heading.earlier.split():
        return True
    if later.heading.revision == 0:
        return None
    runs, here = runs_of(later.heading), runs_of(earlier.heading)
    run = run_of(earlier.heading)
    if run in runs:
        return runs[run] >= here[run]
    known = run and (len(runs) < MOST_RUNS or any(name in runs for name in here))
    return False if known or later.heading.revision < earlier.heading.revision else None


def one_job(one: Job, other: Job) -> bool:
    """Whether two that name no version in common are one job all the same: they share an entry of the log or a shot, or say the same of who
    and where."""
    ids = {entry.id for entry in one.log}
    shots = any(other.shots.get(name) == shot for name, shot in one.shots.items())
    return shots or one.job == other.job or any(entry.id in ids for entry in other.log)


def base_of(ours: Loaded, theirs: Loaded, *, disk: Disk | None = None, state: Path) -> Job | None:
    """The job of the version that both came from, of several what they come to together. None where it isn't known: also where only one
    from before they parted was kept, for what both did since then would look as if each had done it."""
    found = common(ours, theirs, disk=disk, state=state)
    if not found or not _hold_all_shared(found, ours, theirs):
        return None
    job = found[0].job
    for other in found[1:]:
        job = merge(base_of(found[0], other, disk=disk, state=state), job, other.job).job
    return job


def _hold_all_shared(found: Sequence[Loaded], ours: Loaded, theirs: Loaded) -> bool:
    """Whether versions reach as far on every run as both files do."""
    here, there = runs_of(ours.heading), runs_of(theirs.heading)
    reached = [runs_of(one.heading) for one in found]
    return all(min(here[run], there[run]) <= max(one.get(run, 0) for one in reached) for run in here.keys() & there.keys())


def _lineage(loaded: Loaded, other: Loaded, disk: Disk, state: Path) -> Iterator[tuple[str, Loaded | None]]:
    """The marks of a file and of those it came from, each with the version where it is kept: none before one that came from it, and none
    behind one that the other file came from."""
    known: dict[str, Loaded | None] = {loaded.digest[:SHORT]: loaded}
    ahead = [(-loaded.heading.revision, loaded.digest[:SHORT])]
    while ahead and len(known) < LONGEST_CHAIN:
        mark = heappop(ahead)[1]
        here = known[mark]
        yield mark, here
        if here is None or came_from(other, here):
            continue
        for before in filter(None, [here.heading.parent[:SHORT], *here.heading.earlier.split()]):
            if before not in known:
                known[before] = found = _kept_version(before, disk, state)
                heappush(ahead, (-found.heading.revision if found else 0, before))


def _kept_version(mark: str, disk: Disk, state: Path) -> Loaded | None:
    kept = readable(kept_versions(disk, state, mark[:8]), disk, state)
    return next((version for version in kept if version.digest.startswith(mark)), None)
