"""Today's supports: the plan with what the log says happened to it, in log order."""

from bisect import bisect
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from functools import cached_property
from operator import itemgetter

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import levels_at_ft
from engine.calc.geometry.many_places import deflections_deg
from engine.calc.geometry.plane import Point, distance_ft, station_offset
from engine.calc.large_libraries import np
from engine.calc.remember import remembered, remembered_columns, remembered_rows, remembered_same
from engine.calc.tolerances import EDGE_FT, TOUCHING_FT
from engine.checklist import Stood, StoodAt
from engine.job.model.base import FEET_PLACES
from engine.job.model.fence import Post, PostKind, SupportKind
from engine.job.model.job import Job
from engine.job.model.log_entries import AddEntry, DropEntry, MoveEntry, SwapEntry, current_entries
from engine.job.model.site import Tree
from engine.job.model.tick_facts import At, at_place
from engine.stages.layout.line_rows import LineRow, Standing, same_row, same_standing
from engine.stages.layout.line_tracks import Track, logged_at, place, rerouted_lines
from engine.stages.layout.sleeves_in_ground import Emptied, sleeve_at, sleeve_number
from engine.stages.survey.floors import raised
from engine.stages.survey.stage import PlacedPoint, Survey

_at = remembered(at_place)
"""The very same from walk to walk, whatever plan has it there."""

Members = dict[str, list[tuple[float, str]]]
"""Supports of each line, (station on it, id), in order; a shared support is in two lines."""


@dataclass(frozen=True)
class Support:
    """One support where it stands today: planned place plus its moves.

    `station_ft`, `offset_ft` (right of the line positive) are on its own `line`. `kind` is its work (line, corner, end, gate, tee);
    `support` what carries the eyes; `at` the tree or structure. `turn_deg` is the turn of the cables there, right positive.
    `gate` is set for a gate post. `level_ft` is that of what it stands on, `lift_ft` how far a deck's floor there is over the ground.
    `planned` is the place in the accepted (or proposed) plan before moves, `meant` that in the first plan that had it, at `meant_ft` of its
    line, None where it wasn't moved since. `sleeve` counts the sleeves of its place, of which all before were pulled or cut off.
    """

    id: str
    line: str
    station_ft: float
    offset_ft: float
    kind: PostKind
    support: SupportKind
    at: str | None
    east_ft: float
    north_ft: float
    level_ft: float
    turn_deg: float
    gate: str | None
    planned: Point
    meant: Point
    moved: bool
    lift_ft: float = 0.0
    meant_ft: float | None = None
    sleeve: int = 1

    def __hash__(self) -> int:
        """Of a few fields: supports are looked up often and are seldom alike."""
        return hash((self.id, self.east_ft, self.north_ft, self.turn_deg))

    @cached_property
    def xy(self) -> Point:
        """East and north, ft."""
        return (self.east_ft, self.north_ft)

    @cached_property
    def there(self) -> At:
        """Where it stands and in which sleeve of its place, as a tick says it of what hangs on it."""
        return _at(self.id, self.xy, self.sleeve)

    @property
    def place(self) -> At:
        """Where it stands, as a tick says it of what is about the place alone."""
        return self.there if self.sleeve == 1 else _at(self.id, self.xy)

    @cached_property
    def standing(self) -> Standing:
        """All of it that bays and strings are laid out by."""
        ground_ft = self.level_ft - self.lift_ft
        return same_standing(self.id, self.line, self.xy, self.station_ft, self.kind, self.support, self.at, ground_ft, self.turn_deg)

    @property
    def moved_ft(self) -> float:
        """How far from its planned place it stands."""
        return distance_ft(self.xy, self.planned)

    @property
    def from_start_ft(self) -> float:
        """Its station as it is told: 0 where it stands before the line's start."""
        return max(self.station_ft, 0.0)

    def on_line(self, line: str, path: Sequence[Point]) -> tuple[float, float]:
        """Station and offset along a line: its own, or another's that it holds too, by its place."""
        return (self.station_ft, self.offset_ft) if self.line == line else station_offset(path, self.xy)


@dataclass(frozen=True)
class LoneSupport:
    """A support before its neighbours are known. A support moved past an end of its line has a station before 0 or past the length."""

    line: str
    station_ft: float
    offset_ft: float
    kind: PostKind
    support: SupportKind
    at: str | None
    there: Point
    planned: Point
    meant: Point
    moved: bool
    meant_ft: float | None = None

    def __hash__(self) -> int:
        """Of where it stands: supports are looked up often and are seldom alike."""
        return hash((self.line, self.there))


@dataclass(frozen=True)
class Today:
    """Supports by id, log entries that couldn't be followed: (post, what the entry is), and where those that were followed stood."""

    stands: Mapping[str, LoneSupport]
    lost: tuple[tuple[str, str], ...]
    stood: Mapping[str, Sequence[tuple[datetime | None, LoneSupport | None]]]


def today(job: Job, survey: Survey, tracks: Mapping[str, Track], plan: Mapping[str, Post]) -> Today:
    """The plan's supports after all moves, swaps, additions and drops; a plan that isn't accepted has none of those."""
    placed = {name: post for name, post in plan.items() if post.line in tracks}
    trees = [job.trees.get(post.at or "") if post.support == "tree" and not _at_end(job, post) else None for post in placed.values()]
    grow = [survey.points.get(tree.point) if tree is not None else None for tree in trees]
    stands = dict(zip(placed, _planned([tracks[post.line] for post in placed.values()], placed.values(), trees, grow), strict=True))
    elsewhere = {name for name, post in plan.items() if post.line not in tracks}
    lost = []
    new_ways = rerouted_lines(job.log)
    stood: dict[str, list[tuple[datetime | None, LoneSupport | None]]] = {}
    for entry in current_entries(job.log):
        if isinstance(entry, MoveEntry | SwapEntry | AddEntry | DropEntry) and entry.post not in elsewhere:
            before = stands.get(entry.post)
            followed = bool(job.posts) and _follow(job, survey, tracks, stands, entry, new_ways)
            lost += [] if followed else [(entry.post, entry.kind)]
            if followed:
                stood.setdefault(entry.post, [(None, before)]).append((entry.at, stands.get(entry.post)))
    return Today(stands, tuple(lost), stood)


def stood_beside(now: Today, lines: Members, tracks: Mapping[str, Track]) -> Stood:
    """Where those that the log touches stood, each time between which two of today's supports of its line."""
    return {
        name: tuple(
            StoodAt(since, None) if one is None else StoodAt(since, one.there, _beside(name, one, lines[one.line], tracks[one.line].closed))
            for since, one in places
        )
        for name, places in now.stood.items()
    }


def _beside(name: str, one: LoneSupport, row: Sequence[tuple[float, str]], closed: bool) -> frozenset[str]:
    """The two others of a row that a support stands between; none at an open line's ends."""
    others = [(station_ft, other) for station_ft, other in row if other != name]
    nth = bisect(others, one.station_ft, key=itemgetter(0))
    if len(others) < 2 or (not closed and not 0 < nth < len(others)):
        return frozenset()
    return frozenset((others[nth - 1][1], others[nth % len(others)][1]))


def _at_end(job: Job, post: Post) -> bool:
    """Whether a post on a tree is an end of its line, or the gate's that hangs where the line is drawn to that tree."""
    line = job.lines[post.line]
    return post.kind == "end" or (post.kind == "gate" and post.at in (line.start_at, line.end_at))


@remembered_columns
def _planned(track: Track, post: Post, tree: Tree | None, grows: PlacedPoint | None) -> LoneSupport:
    """A post of the plan in its place; one on a tree along its line where that grows, should the survey have put it elsewhere since. Where
    the line itself is drawn to a tree its end stays, with the gate that hangs there."""
    spot, station_ft, offset_ft = place(track, post.station_ft, post.offset_ft), post.station_ft, post.offset_ft
    if tree is not None and grows is not None and distance_ft(spot, grows.xy) > tree.diameter_in / 24 + EDGE_FT:
        spot, (station_ft, offset_ft) = grows.xy, station_offset(track.path, grows.xy)
    meant = spot if post.meant_ft is None else place(track, post.meant_ft)
    stand = track.name, station_ft, offset_ft, post.kind, post.support, post.at
    return LoneSupport(*stand, spot, spot, meant, moved=False, meant_ft=post.meant_ft)


def _follow(
    job: Job,
    survey: Survey,
    tracks: Mapping[str, Track],
    stands: dict[str, LoneSupport],
    entry: MoveEntry | SwapEntry | AddEntry | DropEntry,
    new_ways: frozenset[str],
) -> bool:
    """Change `stands` as one entry says; False where it can't be followed. On a line that took a new way its place counts."""
    if isinstance(entry, AddEntry):
        if entry.line not in tracks:
            return False
        stands[entry.post] = _in_old_sleeve(job, tracks[entry.line], _added(tracks[entry.line], entry, entry.line in new_ways))
        return True
    old = stands.get(entry.post)
    if old is None:
        return False
    if isinstance(entry, DropEntry):
        del stands[entry.post]
    elif isinstance(entry, MoveEntry):
        stands[entry.post] = _in_old_sleeve(job, tracks[old.line], _moved(tracks[old.line], old, entry, old.line in new_ways))
    else:
        tree = job.trees.get(entry.tree)
        if tree is None or tree.point not in survey.points:
            return False
        stands[entry.post] = _swapped(tracks[old.line], old, entry.tree, survey.points[tree.point])
    return True


@remembered_same
def _added(track: Track, entry: AddEntry, new_way: bool) -> LoneSupport:
    station, offset, spot = logged_at(track, entry.station_ft, entry.offset_ft, entry.place if new_way else None)
    return LoneSupport(entry.line, station, offset, entry.post_kind, "driven", None, spot, spot, spot, moved=False)


@remembered_same
def _moved(track: Track, old: LoneSupport, entry: MoveEntry, new_way: bool) -> LoneSupport:
    there = entry.place if new_way else None
    station, offset, spot = logged_at(track, old.station_ft + entry.along_ft, old.offset_ft + entry.out_ft, there)
    return replace(old, station_ft=station, offset_ft=offset, there=spot, meant_ft=_meant_ft(old), moved=True)


@remembered_same
def _swapped(track: Track, old: LoneSupport, tree: str, trunk: PlacedPoint) -> LoneSupport:
    station, offset = station_offset(track.path, trunk.xy)
    return replace(old, station_ft=station, offset_ft=offset, support="tree", at=tree, there=trunk.xy, meant_ft=_meant_ft(old), moved=True)


def _meant_ft(old: LoneSupport) -> float:
    return old.station_ft if old.meant_ft is None else old.meant_ft


def _in_old_sleeve(job: Job, track: Track, stand: LoneSupport) -> LoneSupport:
    """A post that is put within half a foot of an old sleeve in the ground stands in that sleeve."""
    sleeve = sleeve_at(job.repair_of, stand.there) if stand.support == "driven" else None
    if sleeve is None:
        return stand
    station_ft, offset_ft = station_offset(track.path, sleeve.xy)
    planned, meant = (stand.planned, stand.meant) if stand.moved else (sleeve.xy, sleeve.xy)
    return replace(stand, station_ft=station_ft, offset_ft=offset_ft, there=sleeve.xy, planned=planned, meant=meant)


def supports(
    tracks: Mapping[str, Track],
    stands: Mapping[str, LoneSupport],
    lines: Members,
    gates: Mapping[str, tuple[str, str]],
    emptied: Emptied,
) -> dict[str, Support]:
    """Every support with its level, its turn and its gate, line by line. The turn is that of the cables on its own line, from the support
    before to the one after; 0 at an open line's ends."""
    gate_of = {post: gate for gate, pair in reversed(list(gates.items())) for post in pair}
    found: dict[str, Support] = {}
    for name, track in tracks.items():
        row = tuple(post for _, post in lines[name])
        found |= _on_line(track, row, tuple(map(stands.__getitem__, row)), tuple(map(gate_of.get, row)))
    for name in emptied.keys() & found.keys():
        if found[name].support == "driven":
            found[name] = replace(found[name], sleeve=sleeve_number(emptied, name, found[name].xy))
    names = dict.fromkeys(post for row in lines.values() for _, post in row)
    return dict(zip(names, map(found.__getitem__, names), strict=True))


@remembered_rows
def _on_line(track: Track, row: tuple[str, ...], stand: tuple[LoneSupport, ...], gates: tuple[str | None, ...]) -> dict[str, Support]:
    """The supports of a row that are the line's own."""
    stands = dict(zip(row, stand, strict=True))
    own = [name for name, one in stands.items() if one.line == track.name]
    turns, levels = _turns(track, stands), dict(zip(own, _levels_under(track, tuple(stands[name].station_ft for name in own)), strict=True))
    lifts, gate_of = _lifts(track, stands, levels), dict(zip(row, gates, strict=True))
    parts = ([known[name] for name in own] for known in (stands, levels, turns, gate_of))
    return dict(zip(own, _support(own, *parts, [lifts.get(name, 0.0) for name in own]), strict=True))


@remembered_columns
@remembered
def _support(name: str, stand: LoneSupport, ground_ft: float, turn_deg: float, gate: str | None, lift_ft: float) -> Support:
    return Support(
        name, stand.line, stand.station_ft, stand.offset_ft, stand.kind, stand.support, stand.at, *stand.there,
        ground_ft + lift_ft, turn_deg, gate, stand.planned, stand.meant, stand.moved, lift_ft, stand.meant_ft,
    )  # fmt: skip


def _turns(track: Track, stands: Mapping[str, LoneSupport]) -> dict[str, float]:
    """Turn at each support of a row."""
    posts = list(stands)
    ring = track.closed and len(posts) > 2
    first, last = (posts[-1:], posts[:1]) if ring else ([], [])
    walked = [*first, *posts, *last]
    turns = _turns_between(tuple(stands[post].there for post in walked)) if len(walked) > 2 else []
    return {**dict.fromkeys(posts, 0.0), **dict(zip(posts if ring else posts[1:-1], turns, strict=True))}


@remembered
def _turns_between(walked: tuple[Point, ...]) -> list[float]:
    turns: list[float] = (deflections_deg(walked, TOUCHING_FT) + 0.0).tolist()
    return turns


@remembered
def _levels_under(track: Track, stations_ft: tuple[float, ...]) -> list[float]:
    """The ground's levels as a file keeps them, so that where a plan holds one by a shot it is the very same."""
    stations = np.array(stations_ft)
    if track.closed:
        stations = np.where(stations == track.length_ft, stations, stations % track.length_ft)
    levels: list[float] = np.round(levels_at_ft(track.profile, stations), FEET_PLACES).tolist()
    return levels


def _lifts(track: Track, stands: Mapping[str, LoneSupport], levels: Mapping[str, float]) -> dict[str, float]:
    """How far over the ground the line's own posts on a deck stand."""
    decks = {floor.surface: floor.levels_ft[0] for floor in raised(track.floors)}
    own = ((name, stands[name].at) for name in levels) if decks else ()
    return {name: decks[at] - levels[name] for name, at in own if at in decks}


def rows(tracks: Mapping[str, Track], lines: Members, supports: Mapping[str, Support]) -> dict[str, LineRow]:
    """The supports of every line, those that it shares among them."""
    return {
        name: same_row(track, tuple(supports[post].standing for _, post in lines[name]), tuple(station_ft for station_ft, _ in lines[name]))
        for name, track in tracks.items()
    }
