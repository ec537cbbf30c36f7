"""What the next record most likely is: names counted up, stations stepped on, shots named after what they measure."""

import re
from collections.abc import Collection, Mapping

from engine.job.model.cross_checks import point_names, shot_points
from engine.job.model.job import Job
from engine.job.model.shots import LevelShot


def free_name(name: str, taken: Collection[str]) -> str:
    """The name, or with the first number from 2 behind it that makes it free: slab, slab-2."""
    if name not in taken:
        return name
    return next(tried for number in range(2, len(taken) + 3) if (tried := f"{name}-{number}") not in taken)


def next_name(name: str, taken: Collection[str]) -> str:
    """The name after this one: its last number counted up until it is free, T4 to T5; nothing where it ends in no number."""
    found = re.fullmatch(r"(.*?)(\d{1,9})", name)
    if not found:
        return ""
    stem, digits = found.groups()
    numbers = range(int(digits) + 1, int(digits) + len(taken) + 2)
    return next(tried for number in numbers if (tried := f"{stem}{number:0{len(digits)}}") not in taken)


def ordered_points(job: Job) -> tuple[str, ...]:
    """Every point that is known or measured, known ones first, then in the order of the shots."""
    names = point_names(job)
    shot = (name for shot in job.shots.values() for name in shot_points(shot).values() if name in names)
    return tuple(dict.fromkeys((*job.points, *shot)))


def next_point(job: Job) -> str:
    """The name after the point that was measured last, by whatever method; nothing before the first."""
    measured = [name for name in ordered_points(job) if name not in job.points]
    return next_name(measured[-1], point_names(job)) if measured else ""


def next_station_ft(job: Job, line: str) -> float | None:
    """The station after the last level shot of a line, by the spacing of its last two; None before the first."""
    stations = [shot.station_ft for shot in job.shots.values() if isinstance(shot, LevelShot) and shot.line == line]
    if not stations:
        return None
    before = stations[-2] if len(stations) > 1 else stations[-1]
    return round(stations[-1] + max(stations[-1] - before, 0.0), 4)


def shot_name(job: Job, fields: Mapping[str, object]) -> str:
    """A free name for a shot after its method and what it measures: tie-T1, tape-A-T1, level-back-3."""
    method = str(fields.get("method", "shot"))
    ends = ("point",) if "point" in fields else ("line",) if method == "level" else ("from_point", "to_point")
    named = "-".join([method, *(re.sub(r"[^A-Za-z0-9_]", "", str(fields.get(end, ""))) for end in ends)])[:34]
    if method != "level" and named not in job.shots:
        return named
    first = 1 if method == "level" else 2
    return next(tried for number in range(first, len(job.shots) + 3) if (tried := f"{named}-{number}") not in job.shots)
