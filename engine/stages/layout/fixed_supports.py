"""Supports of a line that have to stand where they do: ends, points, gate posts and tees, and whatever of today's fence stays."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from math import ceil, floor

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point, distance_ft
from engine.calc.tolerances import ONE_SUPPORT_FT, ROUNDING_COUNT, SAME_SPOT_FT
from engine.job.model.base import LineEnd
from engine.job.model.cross_checks import gate_end_ft
from engine.job.model.fence import PostKind, SupportKind
from engine.job.model.job import Job
from engine.stages.layout.keep_outs import Blocked, Ground, KeepOutId, merged
from engine.stages.layout.line_tracks import ENDS, Meeting, Track, place, what_meets
from engine.stages.survey.floors import raised

Parts = list[tuple[float, float, int]]
"""Blocked parts of a line: (from, to, index of the keep-out), ft."""


@dataclass(frozen=True)
class FixedSupport:
    """A support that has to stand where it does. One of today's fence has its `id` and `meant_ft`, the station it was planned at; a
    `shared` one belongs to another line."""

    station_ft: float
    kind: PostKind
    support: SupportKind = "driven"
    at: str | None = None
    offset_ft: float = 0.0
    id: str = ""
    meant_ft: float | None = None
    shared: bool = False


@dataclass(frozen=True)
class Staying:
    """Of today's fence, by line: what is `held` where it stands, and what is `handy` there for as long as its place is wanted."""

    held: Mapping[str, tuple[FixedSupport, ...]]
    handy: Mapping[str, tuple[FixedSupport, ...]]


NOTHING_YET = Staying({}, {})


@dataclass(frozen=True)
class Site:
    """What every line's proposal reads; `places` are the middles of trees."""

    job: Job
    tracks: Mapping[str, Track]
    meetings: tuple[Meeting, ...]
    ground: Ground
    places: Mapping[str, Point]
    staying: Staying


@dataclass(frozen=True)
class Held:
    """The fixed supports of a line in order, the stations of its gates' posts, and the ends that hang on another line's support."""

    supports: tuple[FixedSupport, ...]
    openings: tuple[tuple[float, float], ...]
    hung: tuple[FixedSupport, ...]


def gate_spans(job: Job, track: Track) -> dict[str, tuple[float, float]]:
    """Stations of both posts of every gate on a line; one that ends more than half a foot past the line's end is left out."""
    spans = {}
    for name, gate in job.gates.items():
        end_ft = gate_end_ft(gate, job.rules.gate.gap_in)
        if gate.line == track.name and end_ft <= track.length_ft + ONE_SUPPORT_FT:
            spans[name] = (gate.station_ft, min(end_ft, track.length_ft))
    return spans


def fixed_supports(site: Site, track: Track, parts: Parts) -> Held:
    """The supports of one line that have to stand where they do; one that comes within half a foot of another gives way to it. What of
    today's fence is held stays, and is a gate's post where a gate wants one; a wanted support is one of today's of its kind within a move's
    reach, where there is one."""
    spans, tees = gate_spans(site.job, track), tuple(_tees(site, track))
    edges = [FixedSupport(edge, "gate") for span in spans.values() for edge in span] + [tee for tee in tees if tee.kind == "gate"]
    held = [_as_gate_post(track, one, edges) for one in site.staying.held.get(track.name, ()) if _may_hold(site, one)]
    ready = [*held, *(one for one in site.staying.handy.get(track.name, ()) if _may_hold(site, one))]
    hung = _hung(site, track, ready)
    kept = [*held, *(one for one in hung if one.id and one not in held)]
    openings = []
    for span in spans.values():
        pair = _gate_pair(site, track, span, held, ready)
        openings.append((pair[0].station_ft, pair[1].station_ft))
        for one in pair:
            _keep(track, kept, one)
    wanted = (*_ends(site, track, openings, parts), *_points(site, track), *tees, *_deck_edges(track))
    for support in wanted:
        if not any(low + ONE_SUPPORT_FT < support.station_ft < high - ONE_SUPPORT_FT for low, high in openings):
            _keep(track, kept, _stand_in(site, track, support, kept, ready) or support)
    free = [one for one in kept if one.id or not any(abs(one.station_ft - end.station_ft) <= ONE_SUPPORT_FT for end in hung)]
    return Held(tuple(sorted(free, key=lambda one: one.station_ft)), tuple(openings), tuple(end for end in hung if not end.id))


def _may_hold(site: Site, one: FixedSupport) -> bool:
    """Whether what a support is on holds eyes, as it was found since: a wall that doesn't carries no fence, whatever hangs on it today."""
    wall = site.job.structures.get(one.at or "") if one.support == "structure" else None
    return wall is None or wall.holds_eyes


def _as_gate_post(track: Track, one: FixedSupport, edges: list[FixedSupport]) -> FixedSupport:
    """What stands, as a gate's post where it stands within half a foot of where a gate wants one."""
    wanted = not one.shared and any(_apart_ft(track, one, edge) <= ONE_SUPPORT_FT for edge in edges)
    return replace(one, kind="gate") if wanted else one


def _hung(site: Site, track: Track, ready: list[FixedSupport]) -> list[FixedSupport]:
    """Where the line's ends hang on another line: the support of today that carries one, else the end itself."""
    found = []
    for meeting in site.meetings:
        if meeting.line == track.name:
            end = FixedSupport(track.end_ft(meeting.end), "tee", shared=True)
            today = [one for one in ready if one.shared and _apart_ft(track, one, end) <= site.job.rules.layout.move_reach_ft]
            found.append(min(today, key=lambda one: _apart_ft(track, one, end), default=end))
    return found


def _apart_ft(track: Track, one: FixedSupport, other: FixedSupport) -> float:
    """Feet along the line between two supports, the shorter way round a closed one."""
    away = abs(one.station_ft - other.station_ft)
    return min(away, track.length_ft - away) if track.closed else away


def _stand_in(site: Site, track: Track, wanted: FixedSupport, kept: list[FixedSupport], ready: list[FixedSupport]) -> FixedSupport | None:
    """The support of today that does a wanted one's work: of its kind within a move's reach, or meant for that very place."""
    reach_ft = site.job.rules.layout.move_reach_ft
    near = [
        one
        for one in ready
        if _is_meant(one, wanted) or (one.kind == wanted.kind and _apart_ft(track, one, wanted) <= reach_ft)
        if one in kept or (not one.shared and (one.support != "driven" or wanted.support == "driven"))
        if _is_meant(one, wanted) or one.kind != "line" or one in kept
    ]
    return min(near, key=lambda one: (one not in kept, _apart_ft(track, one, wanted)), default=None)


def _is_meant(one: FixedSupport, wanted: FixedSupport) -> bool:
    return one.meant_ft is not None and abs(one.meant_ft - wanted.station_ft) <= ONE_SUPPORT_FT


def _gate_pair(
    site: Site, track: Track, span: tuple[float, float], held: list[FixedSupport], ready: list[FixedSupport]
) -> tuple[FixedSupport, FixedSupport]:
    """A gate's two posts: today's where both are held, or were meant for it and their opening fits the leaf; else where the gate is, from
    one that is held."""
    width_ft = span[1] - span[0]
    seam = track.closed and span[1] > track.length_ft - SAME_SPOT_FT
    wanted = (FixedSupport(span[0], "gate"), FixedSupport(0.0 if seam else span[1], "gate"))
    today = [_stand_in(site, track, one, held, [other for other in ready if other.kind == "gate"]) for one in wanted]
    first, last = today
    if first is not None and last is not None and first != last:
        fits = abs(abs(last.station_ft - first.station_ft) - width_ft) <= site.job.rules.gate.opening_tolerance_in / 12
        meant = _is_meant(first, wanted[0]) and _is_meant(last, wanted[1])
        if (fits and meant) or (first in held and last in held):
            return first, last
    if first is not None and first in held:
        return first, FixedSupport(first.station_ft + width_ft, "gate", offset_ft=first.offset_ft)
    if last is not None and last in held:
        return FixedSupport(last.station_ft - width_ft, "gate", offset_ft=last.offset_ft), last
    return wanted


def _keep(track: Track, kept: list[FixedSupport], support: FixedSupport) -> None:
    """Add a support, or where one stands already let it hang on the new one's tree or wall."""
    for n, other in enumerate(kept):
        if other == support:
            return
        if _apart_ft(track, other, support) <= ONE_SUPPORT_FT and not (other.id and support.id):
            if support.support != "driven" and other.support == "driven" and not other.id:
                kept[n] = replace(other, support=support.support, at=support.at)
            return
    kept.append(support)


def _ends(site: Site, track: Track, openings: list[tuple[float, float]], parts: Parts) -> Iterator[FixedSupport]:
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
            yield FixedSupport(station, "end", "tree", at)
        elif meets == "structure" and at in site.job.structures and site.job.structures[at].holds_eyes:
            yield FixedSupport(station, "end", "structure", at)
        elif meets == "structure" and at is not None:
            clear = _off_the_wall(site, track, end, KeepOutId("structure", at), parts)
            if not any(abs(edge - station) < abs(clear - station) for span in openings for edge in span):
                yield FixedSupport(clear, "end")
        else:
            yield _on_tree(site, track, FixedSupport(station, "end"))


def _off_the_wall(site: Site, track: Track, end: LineEnd, wall: KeepOutId, parts: Parts) -> float:
    """First grid station from an end that is clear of the wall, and of other keep-outs if they end within a move's reach."""
    rules = site.job.rules.layout
    of_wall = merged(part for part in parts if site.ground.areas[part[2]].id._replace(run=0) == wall)
    past_wall, past_all = _past(track, end, of_wall), _past(track, end, merged(parts))
    clear = past_all if past_all - past_wall <= rules.move_reach_ft else past_wall
    grid_ft = rules.grid_in / 12
    steps = ceil(clear / grid_ft - ROUNDING_COUNT) if end == "start" else floor((track.length_ft - clear) / grid_ft + ROUNDING_COUNT)
    return min(max(steps * grid_ft, 0.0), track.length_ft)


def _past(track: Track, end: LineEnd, blocked: Blocked) -> float:
    """How far from an end the blocked ground that holds it reaches, ft."""
    station = track.end_ft(end)
    here = [(low, high) for low, high in blocked if low - SAME_SPOT_FT <= station <= high + SAME_SPOT_FT]
    holding = [abs((high if end == "start" else low) - station) for low, high in here]
    return max(holding, default=0.0)


def _points(site: Site, track: Track) -> Iterator[FixedSupport]:
    """The supports at a line's inner points; a closed line's first point is one of them."""
    for station, turn in list(zip(track.stations_ft, track.turns_deg, strict=True))[0 if track.closed else 1 : -1]:
        kind: PostKind = "corner" if abs(turn) >= site.job.rules.layout.corner_deg else "line"
        yield _on_tree(site, track, FixedSupport(station, kind))


def _tees(site: Site, track: Track) -> Iterator[FixedSupport]:
    """The supports where other lines end on this one; such a post is a gate post where the other line begins with a gate."""
    for meeting in site.meetings:
        if meeting.host == track.name:
            other = site.tracks[meeting.line]
            edges = [edge for span in gate_spans(site.job, other).values() for edge in span]
            gated = any(abs(edge - other.end_ft(meeting.end)) <= ONE_SUPPORT_FT for edge in edges)
            station = 0.0 if track.closed and meeting.station_ft > track.length_ft - ONE_SUPPORT_FT else meeting.station_ft
            yield _on_tree(site, track, FixedSupport(station, "gate" if gated else "tee"))


def _deck_edges(track: Track) -> Iterator[FixedSupport]:
    """A short post at both edges of every raised deck that the line runs over."""
    for deck in raised(track.floors):
        yield from (FixedSupport(station, "line", "structure", deck.surface) for station in (deck.from_ft, deck.to_ft))


def _on_tree(site: Site, track: Track, support: FixedSupport) -> FixedSupport:
    """The support, on a tree if it would stand in the trunk of one that carries cables."""
    rules, spot = site.job.rules.layout, place(track, support.station_ft)
    for name, there in site.places.items():
        tree = site.job.trees[name]
        usable = tree.sound and tree.diameter_in >= rules.tree_min_in
        if usable and support.kind != "gate" and distance_ft(spot, there) <= tree.diameter_in / 24:
            return replace(support, support="tree", at=name)
    return support
