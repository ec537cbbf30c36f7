"""A shot written anew that gives its point another name: everywhere, or only there."""

from collections.abc import Mapping
from typing import Any

from engine.calc.frozen import dataclass
from engine.job.edit import entering
from engine.job.model.cross_checks import point_names, shot_points
from engine.job.model.job import Job


@dataclass(frozen=True)
class NewPointName:
    """A shot's point given a name that nobody has; `elsewhere` where other shots measure the point by its old name too."""

    old: str
    new: str
    elsewhere: bool


def new_point_name(job: Job, name: str, fields: Mapping[str, Any]) -> NewPointName | None:
    """Whether writing a shot anew gives its point a new name; None where it doesn't."""
    if name not in job.shots:
        return None
    before, written = shot_points(job.shots[name]), entering.written(job, "shots", name, fields)
    changed = [(old, now) for old, now in zip(before.values(), shot_points(written.shots[name]).values(), strict=False) if old != now]
    known = point_names(job)
    if len(changed) != 1 or changed[0][0] not in known or changed[0][1] in known or changed[0][1] not in point_names(written):
        return None
    return NewPointName(*changed[0], elsewhere=changed[0][0] in point_names(written))


def corrected(job: Job, table: str, name: str, fields: Mapping[str, Any], *, everywhere: bool = True) -> Job:
    """Job with a record of a name written anew; a shot's point given a name that nobody has is called so everywhere, unless only here."""
    called = new_point_name(job, name, fields) if table == "shots" and everywhere else None
    if called is not None:
        job = entering.rename_point(job, called.old, called.new)
    return entering.put(job, table, name, fields)
