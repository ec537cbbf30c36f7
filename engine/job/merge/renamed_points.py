"""Points that one side called otherwise: the other side's copy, and the one both came from, call them so too before they are joined."""

from collections.abc import Iterator
from typing import NamedTuple

from engine.job.edit.entering import rename_point
from engine.job.errors import JobError
from engine.job.model.cross_checks import point_names, shot_points
from engine.job.model.job import Job


class CalledAlike(NamedTuple):
    """The three copies with one name a point, and sentences on what the other side called otherwise."""

    start: Job
    ours: Job
    theirs: Job
    says: tuple[str, ...] = ()


def called_alike(start: Job, ours: Job, theirs: Job) -> CalledAlike:
    """The copies as if the names had been given before they went apart. A point that each side calls something else is left, and asked."""
    mine, yours = dict(_renamed(start, ours)), dict(_renamed(start, theirs))
    says = []
    for old, new in (mine | yours).items():
        if mine.get(old, new) != yours.get(old, new):
            continue
        try:
            start, ours, theirs = (_with(side, old, new) for side in (start, ours, theirs))
        except JobError:
            continue
        says += [f"{old} is called {new} now."] if old not in mine else []
    return CalledAlike(start, ours, theirs, tuple(says))


def _renamed(start: Job, side: Job) -> Iterator[tuple[str, str]]:
    """Names that went and what came for each: the same known point, or the same shots at it."""
    before, now = point_names(start), point_names(side)
    for old in sorted(before - now):
        for new in sorted(now - before):
            if _is_the_same(start, side, old, new):
                yield old, new
                break


def _is_the_same(start: Job, side: Job, old: str, new: str) -> bool:
    if old in start.points:
        return start.points[old] == side.points.get(new)
    try:
        called = rename_point(start, old, new)
    except JobError:
        return False
    shots = [shot for shot in called.shots.values() if new in shot_points(shot).values()]
    return bool(shots) and all(shot in side.shots.values() for shot in shots)


def _with(job: Job, old: str, new: str) -> Job:
    return rename_point(job, old, new) if old in point_names(job) else job
