"""The proposal: fixed supports of every line first, then the best set between them."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from math import ceil, floor

from engine.calc.ground import breaks_between, chord_ft, level_at_ft
from engine.calc.limits import OutOfRange
from engine.calc.nearby import stations_offsets
from engine.calc.plane import Point, distance_ft
from engine.calc.spacing import Stretch, best_supports
from engine.job.base import LineEnd
from engine.job.fence import Post, PostKind, SupportKind
from engine.job.job import Job
from engine.job.rules import LayoutRules
from engine.stages.parts.keep_outs import Blocked, Ground, blocked_on, merged
from engine.stages.parts.tracks import ENDS, SAME_PLACE_FT, Meeting, Track, place, what_meets
from engine.stages.survey import Survey

LONGEST_FT = 20_000.0
"""The job file holds no station past this."""
EXACT_FT = 0.01
"""Closer than any tape sets."""
A_HAIR_FT = 0.002

_best_supports = lru_cache(maxsize=512)(best_supports)


@dataclass(frozen=True)
class NearTree:
    """A tree within reach of a line, where it stands from it, and whether it may carry cables."""

    tree: str
    station_ft: float
    offset_ft: float
    carries: bool


@dataclass(frozen=True)
class _Fixed:
    """A support that has to stand where it does."""

    station_ft: float
    kind: PostKind
    support: SupportKind = "driven"
    at: str | None = None
    offset_ft: float = 0.0


@dataclass(frozen=True)
class _Site:
    """What every line's proposal reads."""

    job: Job
    tracks: Mapping[str, Track]
    meetings: tuple[Meeting, ...]
    ground: Ground
    trees: Mapping[str, tuple[NearTree, ...]]
    places: Mapping[str, Point]


def propose(job: Job, survey: Survey, tracks: Mapping[str, Track], meetings: tuple[Meeting, ...], ground: Ground) -> dict[str, Post]:
    """Proposed supports of every placed line, P1, P2, ... along the lines in file order.

    Ends, points, gate posts and tees are fixed; gate posts win over others at the same place. Between them stands the best set of
    engine.calc.spacing, clear of keep-outs, with sound trees used. Nothing stands in a gate's own opening.
    Arguments: job, survey and tracks in ft; meetings of line ends with other lines; ground with its keep-outs.
    Returns: posts by id; a post at a meeting of lines belongs to one line and takes its id where a line first comes to it.
    Source: see engine.calc.spacing; kinds and clearances: common practice, no source.
    Valid for: any job; lines to 20,000 ft.
    """
    places = {name: survey.points[tree.point].xy for name, tree in job.trees.items() if tree.point in survey.points}
    site = _Site(job, tracks, meetings, ground, near_trees(job, survey, tracks), places)
    plans = {name: _line(site, track) for name, track in tracks.items() if track.length_ft <= LONGEST_FT}
    return _named(tracks, meetings, plans)


def near_trees(job: Job, survey: Survey, tracks: Mapping[str, Track]) -> dict[str, tuple[NearTree, ...]]:
    """Trees that stand within reach beside each line.

    A tree that carries cables is in reach as far off as the fence may bend to it, any other as far as it may be used.
    Arguments: job, its rules for reach, bend and least diameter; survey and tracks in ft.
    Returns: trees by line in order of station; a tree past a line's end isn't beside it.
    Source: common practice, no source: a sound tree at least 6 in through on or close to the line carries the cables.
    Valid for: any job; distances are to the middle of the trunk.
    """
    rules = job.rules.layout
    placed = [(name, tree) for name, tree in job.trees.items() if tree.point in survey.points]
    found = {}
    for line, track in tracks.items():
        stations, offsets = stations_offsets(track.path, [survey.points[tree.point].xy for _, tree in placed])
        rows = zip(placed, stations.tolist(), offsets.tolist(), strict=True)
        beside = [
            NearTree(name, station, offset, carries)
            for (name, tree), station, offset in rows
            for carries in [tree.sound and tree.diameter_in >= rules.tree_min_in]
            if abs(offset) <= max(rules.tree_reach_ft, rules.tree_bend_ft * carries) and 0 < station < track.length_ft
        ]
        found[line] = tuple(sorted(beside, key=lambda near: near.station_ft))
    return found


def gate_spans(job: Job, track: Track) -> dict[str, tuple[float, float]]:
    """Stations of both posts of every gate that fits on a line.

    Arguments: job, its gates and the gap its rules want; track.
    Returns: (start, end) by gate, ft; end is start plus all leaves plus one gap.
    Source: common practice, no source: gate posts stand one leaf width plus 2 in apart.
    Valid for: gates that end within half a foot of the line's end; others are left out.
    """
    spans = {}
    for name, gate in job.gates.items():
        end_ft = gate.station_ft + gate.leaves * gate.leaf_width_ft + job.rules.gate.gap_in / 12
        if gate.line == track.name and end_ft <= track.length_ft + SAME_PLACE_FT:
            spans[name] = (gate.station_ft, min(end_ft, track.length_ft))
    return spans


def _line(site: _Site, track: Track) -> list[Post]:
    """All supports of one line that belong to it, in order, without ids."""
    spans = list(gate_spans(site.job, track).values())
    parts = blocked_on(track.path, track.stations_ft, site.ground)
    fixed = _fixed(site, track, spans, parts)
    hung = [track.end_ft(meeting.end) for meeting in site.meetings if meeting.line == track.name]
    anchors = sorted({*(support.station_ft for support in fixed), *hung})
    if track.closed and anchors:
        anchors.append(anchors[0] + track.length_ft)
    shared = [
        support
        for start, end in pairwise(anchors)
        if not any(low <= (start + end) / 2 <= high for low, high in spans)
        for support in _between(site, track, start, end, merged(parts))
    ]
    ordered = sorted([*fixed, *shared], key=lambda support: support.station_ft)
    return [
        Post(
            line=track.name, station_ft=one.station_ft, offset_ft=one.offset_ft, kind=one.kind, support=one.support, at=one.at
        )
        for one in ordered
    ]  # fmt: skip


def _fixed(site: _Site, track: Track, spans: list[tuple[float, float]], parts: list[tuple[float, float, int]]) -> list[_Fixed]:
    """Supports that have to stand where they do; one that comes within half a foot of another gives way to it."""
    kept: list[_Fixed] = []
    for station in (station for span in spans for station in span):
        seam = track.closed and station > track.length_ft - EXACT_FT
        _keep(kept, _Fixed(0.0 if seam else station, "gate"))
    wanted = [*_ends(site, track, spans, parts), *_points(site, track), *_tees(site, track)]
    for support in wanted:
        if not any(low + SAME_PLACE_FT < support.station_ft < high - SAME_PLACE_FT for low, high in spans):
            _keep(kept, support)
    hung = [track.end_ft(meeting.end) for meeting in site.meetings if meeting.line == track.name]
    return [one for one in kept if not any(abs(one.station_ft - station) <= SAME_PLACE_FT for station in hung)]


def _keep(kept: list[_Fixed], support: _Fixed) -> None:
    """Add a support, or where one stands already let it hang on the new one's tree or wall."""
    for n, other in enumerate(kept):
        if abs(other.station_ft - support.station_ft) <= SAME_PLACE_FT:
            if support.support != "driven" and other.support == "driven":
                kept[n] = replace(other, support=support.support, at=support.at)
            return
    kept.append(support)


def _ends(site: _Site, track: Track, spans: list[tuple[float, float]], parts: list[tuple[float, float, int]]) -> Iterator[_Fixed]:
    """The supports at an open line's two ends, those that hang on another line left out."""
    if track.closed:
        return
    hung = {meeting.end for meeting in site.meetings if meeting.line == track.name}
    for end in ENDS:
        if end in hung:
            continue
        meets, at = what_meets(site.job.lines[track.name], end)
        station = track.end_ft(end)
        if meets == "tree" and at in site.job.trees:
            yield _Fixed(station, "end", "tree", at)
        elif meets == "structure" and at in site.job.structures and site.job.structures[at].holds_eyes:
            yield _Fixed(station, "end", "structure", at)
        elif meets == "structure" and at is not None:
            clear = _off_the_wall(site, track, end, f"structure:{at}", parts)
            if not any(abs(edge - station) < abs(clear - station) for span in spans for edge in span):
                yield _Fixed(clear, "end")
        else:
            yield _on_tree(site, track, _Fixed(station, "end"))


def _off_the_wall(site: _Site, track: Track, end: LineEnd, wall: str, parts: list[tuple[float, float, int]]) -> float:
    """First grid station from an end that is clear of the wall, and of other keep-outs if they end within a move's reach."""
    rules = site.job.rules.layout
    of_wall = merged(part for part in parts if site.ground.areas[part[2]].id == wall)
    past_wall, past_all = _past(track, end, of_wall), _past(track, end, merged(parts))
    clear = past_all if past_all - past_wall <= rules.move_reach_ft else past_wall
    grid_ft = rules.grid_in / 12
    steps = ceil(clear / grid_ft - 1e-6) if end == "start" else floor((track.length_ft - clear) / grid_ft + 1e-6)
    return min(max(steps * grid_ft, 0.0), track.length_ft)


def _past(track: Track, end: LineEnd, blocked: Blocked) -> float:
    """How far from an end the blocked ground that holds it reaches, ft."""
    station = track.end_ft(end)
    holding = [abs((high if end == "start" else low) - station) for low, high in blocked if low - 0.01 <= station <= high + 0.01]
    return max(holding, default=0.0)


def _points(site: _Site, track: Track) -> Iterator[_Fixed]:
    """The supports at a line's inner points; a closed line's first point is one of them."""
    for station, turn in list(zip(track.stations_ft, track.turns_deg, strict=True))[0 if track.closed else 1 : -1]:
        kind: PostKind = "corner" if abs(turn) >= site.job.rules.layout.corner_deg else "line"
        yield _on_tree(site, track, _Fixed(station, kind))


def _tees(site: _Site, track: Track) -> Iterator[_Fixed]:
    """The supports where other lines end on this one; such a post is a gate post where the other line begins with a gate."""
    for meeting in site.meetings:
        if meeting.host == track.name:
            other = site.tracks[meeting.line]
            edges = [edge for span in gate_spans(site.job, other).values() for edge in span]
            gated = any(abs(edge - other.end_ft(meeting.end)) <= SAME_PLACE_FT for edge in edges)
            station = 0.0 if track.closed and meeting.station_ft > track.length_ft - SAME_PLACE_FT else meeting.station_ft
            yield _on_tree(site, track, _Fixed(station, "gate" if gated else "tee"))


def _on_tree(site: _Site, track: Track, support: _Fixed) -> _Fixed:
    """The support, on a tree if it would stand in the trunk of one that carries cables."""
    rules, spot = site.job.rules.layout, place(track, support.station_ft)
    for name, there in site.places.items():
        tree = site.job.trees[name]
        usable = tree.sound and tree.diameter_in >= rules.tree_min_in
        if usable and support.kind != "gate" and distance_ft(spot, there) <= tree.diameter_in / 24:
            return replace(support, support="tree", at=name)
    return support


def _between(site: _Site, track: Track, start_ft: float, end_ft: float, blocked: Blocked) -> list[_Fixed]:
    """The best supports strictly between two fixed ones; none where one bay will do, or the rules ask what no tape can set."""
    rules = site.job.rules.layout
    usable = [near for near in site.trees[track.name] if near.carries and start_ft < near.station_ft < end_ft - A_HAIR_FT]
    on_line = {near.station_ft: near for near in usable if abs(near.offset_ft) <= rules.tree_reach_ft}
    beside = {_off_grid(near.station_ft, rules): near for near in usable if near.station_ft not in on_line}
    one_bay = not on_line and chord_ft(track.profile, start_ft, end_ft) <= rules.bay_max_ft
    if one_bay or end_ft - start_ft <= EXACT_FT:
        return []
    bends = tuple((station, near.offset_ft) for station, near in beside.items())
    stretch = stretch_between(rules, track, start_ft, end_ft, blocked, tuple(on_line), bends)
    try:
        spacing = _best_supports(stretch)
    except OutOfRange:
        return []
    found = []
    for station, kind in zip(spacing.stations_ft, spacing.kinds, strict=True):
        if kind == "post":
            found.append(_Fixed(station, "line"))
        elif kind == "tree":
            near = on_line.get(station) or beside[station]
            found.append(_Fixed(near.station_ft, "line", "tree", near.tree, near.offset_ft))
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
) -> Stretch:
    """What is asked of engine.calc.spacing between two fixed supports of a line.

    Arguments: rules; start_ft, end_ft, blocked and trees, stations on the track in ft; bends, trees beside it, with the ft they are off.
    Returns: Stretch; without a profile where the ground is level.
    Source: derived.
    Valid for: start_ft before end_ft.
    """
    stations = (start_ft, *breaks_between(track.profile, start_ft, end_ft), end_ft)
    levels = tuple(level_at_ft(track.profile, station) for station in stations)
    flat = len(set(levels)) == 1
    return Stretch(
        start_ft, end_ft, rules.bay_max_ft, rules.bay_min_ft, rules.grid_in / 12,
        tuple(part for part in blocked if part[0] < end_ft and part[1] > start_ft),
        trees,
        bends=bends,
        ground_stations_ft=() if flat else stations,
        ground_levels_ft=() if flat else levels,
    )  # fmt: skip


def _named(tracks: Mapping[str, Track], meetings: tuple[Meeting, ...], plans: Mapping[str, list[Post]]) -> dict[str, Post]:
    """Ids along the lines in file order; a shared support is named where it first comes up."""
    named: dict[tuple[str, int], Post] = {}
    for line in tracks:
        own = [(line, n) for n in range(len(plans.get(line, [])))]
        shared = {meeting.end: _nearest(plans, meeting) for meeting in meetings if meeting.line == line}
        for key in (shared.get("start"), *own, shared.get("end")):
            if key is not None:
                named.setdefault(key, plans[key[0]][key[1]])
    return {f"P{n}": post for n, post in enumerate(named.values(), 1)}


def _nearest(plans: Mapping[str, list[Post]], meeting: Meeting) -> tuple[str, int] | None:
    hosts = plans.get(meeting.host, [])
    nearest = min(range(len(hosts)), key=lambda n: abs(hosts[n].station_ft - meeting.station_ft), default=None)
    return None if nearest is None else (meeting.host, nearest)
