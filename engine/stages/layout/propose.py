"""The proposal: fixed supports of every line first, then the best set between them."""

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from math import hypot, inf

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import breaks_between, chord_ft, level_at_ft
from engine.calc.geometry.many_places import stations_offsets
from engine.calc.geometry.plane import Point
from engine.calc.geometry.spacing import FreeStretch, best_supports
from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered, remembered_same
from engine.calc.tolerances import EDGE_FT, ONE_SUPPORT_FT, SAME_SPOT_FT
from engine.job.model.base import FEET_PLACES
from engine.job.model.fence import Post
from engine.job.model.job import Job
from engine.job.model.rules import LayoutRules
from engine.job.model.site import Tree
from engine.stages.layout.as_good import as_good, as_good_as_any, as_measured
from engine.stages.layout.fixed_supports import NOTHING_YET, FixedSupport, Site, Staying, fixed_supports
from engine.stages.layout.keep_outs import Blocked, Ground, blocked_on, merged
from engine.stages.layout.line_tracks import Meeting, Track
from engine.stages.survey.floors import floor_at
from engine.stages.survey.stage import Survey

LONGEST_FT = 20_000.0
"""The job file holds no station past this."""
A_HAIR_FT = 0.002

_best_supports = remembered(best_supports)


@dataclass(frozen=True)
class NearTree:
    """A tree within reach of a line, where it stands from it, and whether it may carry cables."""

    tree: str
    station_ft: float
    offset_ft: float
    carries: bool


def propose(job: Job, survey: Survey, tracks: Mapping[str, Track], meetings: tuple[Meeting, ...], ground: Ground) -> dict[str, Post]:
    """Proposed supports of every placed line, P1, P2, ... along the lines in file order.

    Ends, points, gate posts and tees are fixed; gate posts win over others at the same place. Between them stands the best set of
    engine.calc.geometry.spacing, clear of keep-outs, with sound trees used. Nothing stands in a gate's own opening.
    """
    return _named(tracks, meetings, proposed_lines(job, survey, tracks, meetings, ground))


def proposed_lines(
    job: Job, survey: Survey, tracks: Mapping[str, Track], meetings: tuple[Meeting, ...], ground: Ground, staying: Staying = NOTHING_YET
) -> dict[str, list[FixedSupport]]:
    """The supports of every placed line that belong to it, in order, not named yet but for those of today that stay."""
    site = Site(job, tracks, meetings, ground, _trunk_places(job, survey), staying)
    trees = near_trees(job, survey, tracks)
    return {
        name: [_on_floor(one, track, staying.held.get(name, ())) for one in _line(site, track, trees[name])]
        for name, track in tracks.items()
        if track.length_ft <= LONGEST_FT
    }


def proposed_between(
    job: Job,
    survey: Survey,
    tracks: Mapping[str, Track],
    meetings: tuple[Meeting, ...],
    ground: Ground,
    track: Track,
    part_ft: tuple[float, float],
) -> list[FixedSupport]:
    """The supports of one line strictly between two of its points, in order, not named yet."""
    if track.length_ft > LONGEST_FT:
        return []
    low_ft, high_ft = part_ft
    site = Site(job, tracks, meetings, ground, _trunk_places(job, survey), NOTHING_YET)
    row = _line(site, track, near_trees(job, survey, {track.name: track})[track.name], low_ft, high_ft)
    return [_on_floor(one, track, ()) for one in row if low_ft + ONE_SUPPORT_FT < one.station_ft < high_ft - ONE_SUPPORT_FT]


def _trunk_places(job: Job, survey: Survey) -> dict[str, Point]:
    return {name: survey.points[tree.point].xy for name, tree in job.trees.items() if tree.point in survey.points}


def near_trees(job: Job, survey: Survey, tracks: Mapping[str, Track]) -> dict[str, tuple[NearTree, ...]]:
    """Trees that stand within reach beside each line.

    A tree that carries cables is in reach as far off as the fence may bend to it, any other as far as it may be used.
    Returns: trees by line in order of station; a tree past a line's end isn't beside it.
    Source: common practice, no source: a sound tree at least 6 in through on or close to the line carries the cables.
    Valid for: any job; distances are to the middle of the trunk.
    """
    placed = _same_places(tuple(_trunk_places(job, survey).items()))
    return {line: _beside(job.rules.layout, job.trees, placed, track) for line, track in tracks.items()}


@remembered
def _same_places(places: tuple[tuple[str, Point], ...]) -> tuple[tuple[str, Point], ...]:
    return places


@remembered_same
def _beside(rules: LayoutRules, trees: Mapping[str, Tree], placed: tuple[tuple[str, Point], ...], track: Track) -> tuple[NearTree, ...]:
    stations, offsets = stations_offsets(track.path, [at for _, at in placed])
    beside = [
        NearTree(name, station, offset, carries)
        for (name, _), station, offset in zip(placed, stations.tolist(), offsets.tolist(), strict=True)
        for carries in [trees[name].sound and trees[name].diameter_in >= rules.tree_min_in]
        if abs(offset) <= max(rules.tree_reach_ft, rules.tree_bend_ft * carries) and 0 < station < track.length_ft
    ]
    return tuple(sorted(beside, key=lambda near: near.station_ft))


def _line(site: Site, track: Track, trees: tuple[NearTree, ...], low_ft: float = -inf, high_ft: float = inf) -> list[FixedSupport]:
    """All supports of one line that belong to it, in order; of those between fixed ones only what reaches into a part of it."""
    runs = _in_reach(track, low_ft, high_ft)
    parts = blocked_on(track.path[runs], track.stations_ft[runs], site.ground)
    fixed = fixed_supports(site, track, parts)
    anchors = sorted([*fixed.supports, *fixed.hung], key=lambda one: one.station_ft)
    if track.closed and anchors:
        anchors.append(replace(anchors[0], station_ft=anchors[0].station_ft + track.length_ft))
    soil = merged(part for part in parts if site.ground.areas[part[2]].id.source != "surface")
    used = {one.at for one in fixed.supports if one.support == "tree"}
    usable = [near for near in trees if near.carries and near.tree not in used]
    blocked = (_driveable(track, merged(parts)), _driveable(track, soil))
    today = [one for one in site.staying.handy.get(track.name, ()) if one.kind == "line" and not one.shared]
    shared = [
        support
        for start, end in pairwise(anchors)
        if start.station_ft < high_ft and end.station_ft > low_ft
        if not any(low <= (start.station_ft + end.station_ft) / 2 <= high for low, high in fixed.openings)
        for support in _between(site.job.rules.layout, track, start, end, blocked, usable, today)
    ]
    row = [*(one for one in fixed.supports if not one.shared), *shared]
    if track.closed:
        row = [replace(one, station_ft=one.station_ft - track.length_ft) if one.station_ft >= track.length_ft else one for one in row]
    return sorted(row, key=lambda one: one.station_ft)


def _in_reach(track: Track, low_ft: float, high_ft: float) -> slice:
    """Points of a line between which all blocked ground lies that counts in a part of it; that of an open line's ends always does."""
    if not track.closed:
        return slice(None)
    first = bisect_left(track.stations_ft, low_ft - ONE_SUPPORT_FT) - 1
    return slice(max(first, 0), bisect_right(track.stations_ft, high_ft + ONE_SUPPORT_FT) + 1)


def _on_floor(one: FixedSupport, track: Track, held: Collection[FixedSupport]) -> FixedSupport:
    """A support on hard ground stands on a base plate there; one in soil or at its edge, a tree, a wall or one that is held stays."""
    floor = floor_at(track.floors, one.station_ft)
    if floor is None or floor.driven or one.support != "driven" or any(one.id == other.id for other in held if one.id):
        return one
    after = one.station_ft > floor.from_ft + EDGE_FT or floor.from_ft < EDGE_FT
    before = one.station_ft < floor.to_ft - EDGE_FT or floor.to_ft > track.length_ft - EDGE_FT
    return replace(one, support="structure", at=floor.surface) if floor.lift_ft > 0 or (after and before) else one


def _driveable(track: Track, blocked: Blocked) -> Blocked:
    """Blocked ground with what lies past an open line's ends; that of a closed line goes on past its first point."""
    if track.closed:
        return (*blocked, *((low + track.length_ft, high + track.length_ft) for low, high in blocked))
    return ((-LONGEST_FT, 0.0), *blocked, (track.length_ft, track.length_ft + LONGEST_FT))


def _between(
    rules: LayoutRules,
    track: Track,
    start: FixedSupport,
    end: FixedSupport,
    blocked: tuple[Blocked, Blocked],
    trees: Sequence[NearTree],
    today: Sequence[FixedSupport],
) -> list[FixedSupport]:
    """The best supports strictly between two fixed ones; none where one bay will do, or the rules ask what no tape can set.

    Those of today are taken where they are as good, so that nobody moves a flag for nothing. New ones keep off hard ground where that
    leaves no bay too long; `blocked` is with and without it.
    """
    start_ft, end_ft = start.station_ft, end.station_ft
    usable = [near for near in trees if start_ft < near.station_ft < end_ft - A_HAIR_FT]
    on_line = {near.station_ft: near for near in usable if abs(near.offset_ft) <= rules.tree_reach_ft}
    beside = {_off_grid(near.station_ft, rules): near for near in usable if near.station_ft not in on_line}
    if end_ft - start_ft <= SAME_SPOT_FT:
        return []
    if not on_line and hypot(chord_ft(track.profile, start_ft, end_ft), end.offset_ft - start.offset_ft) <= rules.bay_max_ft:
        return []
    bends = tuple((station, near.offset_ft) for station, near in beside.items())
    stretch = replace(
        stretch_between(rules, track, start_ft, end_ft, blocked[0], tuple(on_line), bends), ends_aside_ft=(start.offset_ft, end.offset_ft)
    )
    there = sorted((one for one in today if start_ft < one.station_ft < end_ft), key=lambda one: one.station_ft)
    stations = {near.tree: station for station, near in (*on_line.items(), *beside.items())}
    try:
        if as_good_as_any(stretch, as_measured(stretch, there, stations)):
            return there
        spacing = _best_supports(stretch)
        if spacing.over_ft > 0 and blocked[1] != blocked[0]:
            stretch = replace(stretch, blocked=tuple(part for part in blocked[1] if part[0] < end_ft and part[1] > start_ft))
            spacing = _best_supports(stretch)
        if as_good(spacing, as_measured(stretch, there, stations), stretch.grid_ft):
            return there
    except OutOfRange:
        return []
    found = []
    for station, kind in zip(spacing.stations_ft, spacing.kinds, strict=True):
        if kind == "post":
            found.append(FixedSupport(station, "line"))
        elif kind == "tree":
            near = on_line.get(station) or beside[station]
            found.append(FixedSupport(near.station_ft, "line", "tree", near.tree, near.offset_ft))
    return found


def _off_grid(station_ft: float, rules: LayoutRules) -> float:
    """A tree's station, a hair off the grid's: a post beside a tree that stands off the line may still be driven there."""
    grid_ft = rules.grid_in / 12
    return station_ft + A_HAIR_FT if abs(station_ft - round(station_ft / grid_ft) * grid_ft) < A_HAIR_FT else station_ft


def stretch_between(
    rules: LayoutRules,
    track: Track,
    start_ft: float,
    end_ft: float,
    blocked: Blocked,
    trees: tuple[float, ...],
    bends: tuple[tuple[float, float], ...] = (),
) -> FreeStretch:
    """What is asked of engine.calc.geometry.spacing between two fixed supports of a line."""
    stations = (start_ft, *breaks_between(track.profile, start_ft, end_ft), end_ft)
    levels = tuple(level_at_ft(track.profile, station) for station in stations)
    flat = len(set(levels)) == 1
    return FreeStretch(
        start_ft, end_ft, rules.bay_max_ft, rules.bay_min_ft, rules.grid_in / 12,
        tuple(part for part in blocked if part[0] < end_ft and part[1] > start_ft),
        trees,
        bends=bends,
        ground_stations_ft=() if flat else stations,
        ground_levels_ft=() if flat else levels,
    )  # fmt: skip


def _named(tracks: Mapping[str, Track], meetings: tuple[Meeting, ...], plans: Mapping[str, list[FixedSupport]]) -> dict[str, Post]:
    """Ids along the lines in file order; a shared support is named where it first comes up."""
    named: dict[tuple[str, int], Post] = {}
    for line in tracks:
        own = [(line, n) for n in range(len(plans.get(line, [])))]
        shared = {meeting.end: _nearest(plans, meeting) for meeting in meetings if meeting.line == line}
        for key in (shared.get("start"), *own, shared.get("end")):
            if key is not None:
                named.setdefault(key, post_of(key[0], plans[key[0]][key[1]]))
    return {f"P{n}": post for n, post in enumerate(named.values(), 1)}


def _nearest(plans: Mapping[str, list[FixedSupport]], meeting: Meeting) -> tuple[str, int] | None:
    hosts = plans.get(meeting.host, [])
    nearest = min(range(len(hosts)), key=lambda n: abs(hosts[n].station_ft - meeting.station_ft), default=None)
    return None if nearest is None else (meeting.host, nearest)


def post_of(line: str, one: FixedSupport, was: Post | None = None) -> Post:
    """A support of a line as the plan holds it: the very record that it `was`, where that says the same, so that all that was made of it
    is found again."""
    if was is not None and (was.line, was.kind, was.support, was.at) == (line, one.kind, one.support, one.at):
        as_kept = round(one.station_ft, FEET_PLACES), round(one.offset_ft, FEET_PLACES)
        if was.meant_ft is None and (was.station_ft, was.offset_ft) == as_kept:
            return was
    return Post(line=line, station_ft=one.station_ft, offset_ft=one.offset_ft, kind=one.kind, support=one.support, at=one.at)
