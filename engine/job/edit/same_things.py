"""Which things of two copies are one, whatever each calls them: points by the shots that measure them, records by what they say."""

import re
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping

from engine.job.model.cross_checks import point_names, shot_points
from engine.job.model.job import Job
from engine.job.model.shots import Shot

POINTS, SHOTS = "points", "shots"
Names = dict[str, str]
"""By name in one copy, the name in the other."""


def by_number(name: str) -> tuple[int, str]:
    """What names are put in order by: their last number, then all of it."""
    return int((re.findall(r"\d{1,9}$", name) or ["0"])[0]), name


def things_of(job: Job, table: str) -> list[str]:
    """Names of a table's records; of points those that are measured."""
    return sorted(point_names(job) - job.points.keys(), key=by_number) if table == POINTS else list(getattr(job, table))


def alike(table: str, one: Job, other: Job, here: Collection[str], there: Collection[str], anew: Collection[str] = ()) -> Names:
    """Of these things of two copies those that are one: under the same name before another one. Records too that alone stand at one and
    the same points of which one is in `anew`, though they say otherwise."""
    if not here or not there:
        return {}
    if table == POINTS:
        return _points_alike(one, other, here, there)
    mine, yours = ({name: getattr(job, table)[name] for name in names} for job, names in ((one, here), (other, there)))
    pairs = {name: name for name in here if name in yours and mine[name] == yours[name]}
    for name in sorted(mine.keys() - pairs.keys(), key=by_number):
        met = (new for new in _left(there, pairs) if mine[name] == yours[new] and _one_kind(table, name, new))
        if new := next(met, ""):
            pairs[name] = new
    at_points = [
        _at_points(rows, [name for name in rows if name not in done], anew) for rows, done in ((mine, pairs), (yours, pairs.values()))
    ]
    for points, names in at_points[0].items():
        others = at_points[1].get(points, [])
        if len(names) == len(others) == 1:
            pairs[names[0]] = others[0]
    return pairs


def moved(table: str, before: Job, now: Job, anew: Collection[str] = ()) -> Names:
    """What is called otherwise now though its old name is there still: something else has it."""
    was, has = things_of(before, table), things_of(now, table)
    settled = {name for name in set(was) & set(has) if _stands(table, before, now, name)}
    here, there = ([name for name in names if name not in settled] for names in (was, has))
    pairs = alike(table, before, now, here, there, anew)
    found = {old: new for old, new in pairs.items() if old != new and old in has}
    while wrong := next((old for old, new in found.items() if new in was and new not in found), ""):
        del found[wrong]
    return found


def same_thing(table: str, one: Job, other: Job, name: str) -> bool:
    """Whether both copies have under a name what says or measures the same."""
    both = all(name in things_of(job, table) for job in (one, other))
    return both and _stands(table, one, other, name)


def measuring(job: Job, point: str) -> list[Shot]:
    """The shots to a point that isn't known."""
    return [shot for shot in job.shots.values() if _measures(job, shot) == point]


def without_names(shot: Shot, names: Collection[str]) -> str:
    """A shot but for these names of points."""
    return _with_points(shot, dict.fromkeys(names, ""))


def _stands(table: str, one: Job, other: Job, name: str) -> bool:
    if table == POINTS:
        yours = measuring(other, name)
        return any(shot in yours for shot in measuring(one, name))
    return bool(getattr(one, table)[name] == getattr(other, table)[name])


def _measures(job: Job, shot: Shot) -> str:
    if shot.method == "tie" or shot.method == "offset":
        return shot.point
    if shot.method == "level":
        return ""
    return shot.from_point if shot.to_point in job.points else shot.to_point


def _points_alike(one: Job, other: Job, here: Collection[str], there: Collection[str]) -> Names:
    """Points that share a shot, once every point that it was measured from is known to be one."""
    mine, yours = {name: measuring(one, name) for name in here}, defaultdict[str, list[str]](list)
    for name in there:
        for shot in measuring(other, name):
            yours[_with_points(shot, {name: ""})].append(name)
    pairs: Names = {}
    while found := _next_alike(mine, yours, pairs):
        pairs |= found
    return pairs


def _next_alike(mine: Mapping[str, list[Shot]], yours: Mapping[str, list[str]], pairs: Names) -> Names:
    """All more that are one under the same name, else the next one under another."""
    same, other = Names(), Names()
    for name in sorted(mine.keys() - pairs.keys(), key=by_number):
        known = {**pairs, name: ""}
        shots = [shot for shot in mine[name] if all(point in known or point not in mine for point in shot_points(shot).values())]
        names = [new for shot in shots for new in yours.get(_with_points(shot, known), ()) if _one_kind(POINTS, name, new)]
        if name in names:
            same[name] = name
        elif not other and (new := next(iter(_left(names, pairs)), "")):
            other[name] = new
    return same or other


def _with_points(shot: Shot, names: Mapping[str, str]) -> str:
    return shot.model_copy(update={field: names.get(name, name) for field, name in shot_points(shot).items()}).model_dump_json()


def _left(names: Iterable[str], pairs: Names) -> list[str]:
    return sorted(set(names) - set(pairs.values()), key=by_number)


def _one_kind(table: str, name: str, other: str) -> bool:
    """Whether two names may be one thing's: counted from the same letters, or by hand."""
    stems = [re.sub(r"\d{1,9}$", "", one) for one in (name, other)]
    return table == SHOTS or stems[0] == stems[1] or name in stems or other in stems


def _at_points(rows: Mapping[str, object], names: Iterable[str], anew: Collection[str]) -> dict[tuple[str, ...], list[str]]:
    """By the points that they stand at, those of these records of which one point is called anew."""
    found = defaultdict[tuple[str, ...], list[str]](list)
    for name in names:
        points = points_of(rows[name])
        if any(point in anew for point in points):
            found[points].append(name)
    return found


def points_of(row: object) -> tuple[str, ...]:
    """The points that a record stands at."""
    return tuple(getattr(row, "points", ())) or tuple(name for name in (getattr(row, "point", ""),) if name)
