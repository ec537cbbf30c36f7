"""Keep-outs: ground where nothing may be driven, drawn from the site and the log, and the parts of each line inside them."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import Any, Literal, NamedTuple

from engine.calc.geometry.plane import Point
from engine.calc.geometry.runs_in_areas import parts_inside
from engine.calc.large_libraries import Floats, np, shapely
from engine.calc.lengths import format_ft_in
from engine.calc.remember import remembered, remembered_each, remembered_of, remembered_rows, remembered_same
from engine.calc.tolerances import EDGE_FT
from engine.findings import Finding, FindingOf
from engine.job.model.job import Job
from engine.job.model.log_entries import ObstacleEntry, live
from engine.job.model.logged_far_out import ran_otherwise
from engine.job.model.rules import LayoutRules
from engine.job.model.site import Deck, Obstacle, Structure, Tree, Utility
from engine.stages.layout.line_tracks import Track, found_at, logged_spots
from engine.stages.layout.sleeves_in_ground import SLEEVE_CLEAR_FT, cut_off_here, repair_now, unused_sleeves
from engine.stages.survey.stage import PlacedPoint, Survey

_finding = FindingOf("layout")

Blocked = tuple[tuple[float, float], ...]
Source = Literal["utility", "tree", "structure", "obstacle", "deck", "surface", "log", "sleeve"]


class KeepOutId(NamedTuple):
    """What a keep-out is drawn from: a record of the site or an entry of the log, and its run where it is drawn run by run."""

    source: Source
    record: str
    run: int = 0

    def __str__(self) -> str:
        return ":".join((self.source, self.record, *([f"{self.run}"] if self.run else [])))

    @property
    def buried(self) -> bool:
        """Whether it is a line in the ground."""
        return self.source == "utility"


@dataclass(frozen=True)
class KeepOut:
    """Ground where nothing may be driven, and why."""

    id: KeepOutId
    kind: str
    polygon: tuple[Point, ...]
    why: str

    def __hash__(self) -> int:
        """Without the outline, which is long: keep-outs are looked up often and are seldom alike."""
        return hash((self.id, self.why, self.polygon[:1]))


@dataclass(frozen=True, eq=False)
class Ground:
    """All keep-outs with a search tree over them, and what is wrong with the site's own records; like no other, for the tree is."""

    areas: tuple[KeepOut, ...]
    tree: "shapely.STRtree"
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class _Shape:
    """One record of the site before it is drawn: its points, how far round them nothing is driven, and the words for it."""

    id: KeepOutId
    kind: str
    spots: tuple[Point, ...]
    area: bool
    round_ft: float
    why: str


def keep_outs(
    job: Job,
    survey: Survey,
    tracks: Mapping[str, Track],
    driven: Iterable[Point] = (),
    whole: Iterable[tuple[str, Point]] = (),
) -> Ground:
    """Every keep-out of a job: buried lines, trees, structures, obstacles, decks, hard ground on a line, obstacles found and logged,
    sleeves that were cut off in it, and in a repair old ones in the ground that no post of those `driven` stands in. Where posts are
    laid anew, the `whole` sleeves of this job that stay are some too, by their posts and places.

    A buried line is blocked over half its width and the tolerance each side; overhead lines aren't keep-outs. A buried line that
    runs in a ring is drawn run by run, so that the ground inside the ring stays open.
    Returns: Ground; a record that has points without a place, or no size, is left out and gives a finding.
    Source: hand-dig zone: Common Ground Alliance Best Practices 5.19 (default of the job's tolerance); other clearances: common
    practice, no source.
    Valid for: any job; round shapes are drawn with 64 sides, at most 0.2 % inside the true circle.
    """
    site = _site(job.utilities, job.trees, job.structures, job.obstacles, job.decks, job.rules.layout)
    of_site, unplaced = _of_site(site, tuple(map(survey.points.get, site.points)))
    hard = (floor for line in survey.lines.values() for floor in line.floors if not floor.driven)
    floors = (_Shape(KeepOutId("surface", one.surface), one.kind, one.area, True, 0.0, f"{one.kind} {one.surface}") for one in hard)
    before = (_old_sleeve(name, one.post, one.xy, bool(one.cut_off)) for name, one in unused_sleeves(repair_now(job), driven))
    here = (*(_old_sleeve(*one, cut_off=True) for one in cut_off_here(job)), *(_old_sleeve(post, post, there) for post, there in whole))
    shapes = [*of_site, *floors, *_logged(job, survey, tracks), *before, *here]
    drawn = _ground(*shapes)
    found = (*unplaced, *_sizeless(shapes), *_out_of_reach(job, tracks))
    return Ground(drawn.areas, drawn.tree, (*found, *drawn.findings)) if found else drawn


def _old_sleeve(name: str, post: str, there: Point, cut_off: bool = False) -> _Shape:
    why = f"the old sleeve of {post}{', cut off' if cut_off else ''}"
    return _Shape(KeepOutId("sleeve", name), "old sleeve", (there,), False, SLEEVE_CLEAR_FT, why)


class _Site(NamedTuple):
    """What of a job's site keep-outs are drawn from, and the points that it names."""

    utilities: Mapping[str, Utility]
    trees: Mapping[str, Tree]
    structures: Mapping[str, Structure]
    obstacles: Mapping[str, Obstacle]
    decks: Mapping[str, Deck]
    rules: LayoutRules
    points: tuple[str, ...] = ()


@remembered_of
def _site(*records: Any) -> _Site:
    """The very same of the same records."""
    site = _Site(*records)
    return site._replace(points=tuple(dict.fromkeys(chain.from_iterable(points for _, points in _named(site)))))


@remembered_rows
def _of_site(site: _Site, places: tuple[PlacedPoint | None, ...]) -> tuple[tuple[_Shape, ...], tuple[Finding, ...]]:
    """Shapes of a site's records, and findings of those that have no place; drawn again only where a point of theirs is placed anew."""
    at = {name: place.xy for name, place in zip(site.points, places, strict=True) if place is not None}
    missing = {name: [p for p in points if p not in at] for name, points in _named(site)}
    return tuple(_shapes(site, at, missing)), tuple(_unplaced(missing))


@remembered_same
@remembered
def _ground(*shapes: _Shape) -> Ground:
    drawn = _drawn(shapes)
    areas = tuple(KeepOut(name, shape.kind, _outline(polygon), shape.why) for name, shape, polygon in drawn)
    return Ground(areas, shapely.STRtree([polygon for _, _, polygon in drawn]), tuple(_crossing(shapes)))


def _named(site: _Site) -> Iterator[tuple[KeepOutId, tuple[str, ...]]]:
    """Id and point names of every record that makes a keep-out."""
    for name, utility in site.utilities.items():
        if utility.kind != "overhead":
            yield KeepOutId("utility", name), utility.points
    for name, tree in site.trees.items():
        yield KeepOutId("tree", name), (tree.point,)
    yield from ((KeepOutId("structure", name), structure.points) for name, structure in site.structures.items())
    yield from ((KeepOutId("obstacle", name), obstacle.points) for name, obstacle in site.obstacles.items())
    yield from ((KeepOutId("deck", name), deck.points) for name, deck in site.decks.items())


def _shapes(site: _Site, at: Mapping[str, Point], missing: Mapping[KeepOutId, list[str]]) -> Iterator[_Shape]:
    rules = site.rules
    for name, points in _named(site):
        if missing[name]:
            continue
        spots = tuple(at[point] for point in points)
        source, record = name.source, name.record
        if source == "utility":
            line = site.utilities[record]
            round_ft = (line.width_in / 2 + line.tolerance_in) / 12
            yield _Shape(name, line.kind, spots, False, round_ft, f"the tolerance zone of {_buried(line.kind, record)}")
        elif source == "tree":
            round_ft = site.trees[record].diameter_in / 24 + rules.tree_clear_ft
            yield _Shape(name, "tree", spots, False, round_ft, f"the roots of tree {record}")
        elif source == "structure":
            structure = site.structures[record]
            closed = len(spots) > 3 and spots[0] == spots[-1]
            yield _Shape(name, structure.kind, spots, closed, rules.structure_clear_ft, f"the footing of {record}")
        elif source == "obstacle":
            obstacle = site.obstacles[record]
            yield _Shape(name, obstacle.kind, spots, len(spots) > 2, obstacle.radius_ft, _called(obstacle.kind, record))
        else:
            yield _Shape(name, "deck", spots, True, 0.0, f"deck {record}")


def _buried(kind: str, record: str) -> str:
    """A buried line by its kind and name; one that is called after its kind isn't named twice."""
    word = "septic" if kind == "septic" else "buried line" if kind == "other" else f"{kind} line"
    return f"the {word}" if record == kind else f"{word} {record}"


def _what(kind: str) -> str:
    return "obstacle" if kind == "other" else kind


def _called(kind: str, record: str) -> str:
    return record if record == kind else f"{_what(kind)} {record}"


def _found(job: Job, tracks: Mapping[str, Track]) -> Iterator[ObstacleEntry]:
    return (entry for entry in live(job.log) if isinstance(entry, ObstacleEntry) and entry.line in tracks)


def _logged(job: Job, survey: Survey, tracks: Mapping[str, Track]) -> Iterator[_Shape]:
    for entry in _found(job, tracks):
        spots = logged_spots(job, survey, tracks, entry)
        why = f"{_what(entry.what)} found at {format_ft_in(found_at(job, tracks[entry.line], entry)[0])} on {entry.line}"
        if spots:
            yield _Shape(KeepOutId("log", entry.id), entry.what, spots, len(spots) > 2, entry.radius_ft, why)


def _drawn(shapes: Sequence[_Shape]) -> "list[tuple[KeepOutId, _Shape, shapely.Polygon]]":
    """Outlines of all shapes at once; a line with a hole is drawn run by run, what an area's clearance shuts in belongs to it."""
    bare = [_bare(shape.spots, shape.area) for shape in shapes]
    grown = shapely.buffer(bare, [shape.round_ft for shape in shapes], quad_segs=16) if shapes else []
    drawn: list[tuple[KeepOutId, _Shape, shapely.Polygon]] = []
    for shape, polygon in zip(shapes, grown, strict=True):
        if polygon.is_empty:
            continue
        if not shape.area and len(polygon.interiors):
            runs = [_bare(pair, False) for pair in zip(shape.spots, shape.spots[1:], strict=False) if pair[0] != pair[1]]
            parts = shapely.buffer(runs, shape.round_ft, quad_segs=16)
            drawn += [(shape.id._replace(run=n), shape, part) for n, part in enumerate(parts, 1)]
        else:
            drawn.append((shape.id, shape, shapely.Polygon(polygon.exterior) if len(polygon.interiors) else polygon))
    return drawn


def _bare(spots: tuple[Point, ...], area: bool) -> "shapely.Geometry":
    if len(set(spots)) == 1:
        return shapely.points(spots[0])
    if not area:
        return shapely.linestrings(spots)
    polygon = shapely.Polygon(spots)
    return polygon if polygon.is_valid else polygon.convex_hull


def _outline(polygon: "shapely.Polygon") -> tuple[Point, ...]:
    easts, norths = shapely.get_coordinates(polygon.exterior)[:-1].T.tolist()
    return tuple(zip(easts, norths, strict=True))


def _unplaced(missing: Mapping[KeepOutId, list[str]]) -> Iterator[Finding]:
    for name, points in missing.items():
        if points:
            what = "Buried line" if name.buried else name.source.capitalize()
            says = f"{what} {name.record} has no place yet, so posts can't be kept clear of it."
            do = f"Survey {', '.join(dict.fromkeys(points))} before anything is driven."
            yield _finding("keep_out_unplaced", "stop" if name.buried else "fix", (name.record,), says, do)


def _out_of_reach(job: Job, tracks: Mapping[str, Track]) -> Iterator[Finding]:
    """What was logged past its line's end, or far off it; on a line that ran another way then, its stations were those of the day."""
    rules = job.rules.layout
    for entry in _found(job, tracks):
        if not ran_otherwise(job.log, entry):
            line, length_ft = entry.line, tracks[entry.line].length_ft
            if entry.station_ft > length_ft + rules.move_reach_ft:
                code, where = "found_past_end", f"at {format_ft_in(entry.station_ft)} on {line}, which is {format_ft_in(length_ft)} long"
            elif entry.off_line_ft > rules.bay_max_ft:
                longest = format_ft_in(rules.bay_max_ft)
                code, where = "found_far_off", f"{format_ft_in(abs(entry.offset_ft))} off {line}, and no bay is longer than {longest}"
            else:
                continue
            says = f"{_what(entry.what).capitalize()} is logged {where}."
            yield _finding(code, "fix", (entry.id, line), says, "Log it where it lies, and take this entry back.")


def _sizeless(shapes: Iterable[_Shape]) -> Iterator[Finding]:
    for shape in shapes:
        if shape.id.source == "obstacle" and not shape.area and shape.round_ft == 0:
            says = f"{shape.why.capitalize()} has no size, so posts can't be kept clear of it."
            yield _finding("obstacle_without_size", "fix", (shape.id.record,), says, "Give it a radius, or points round it.")


def _crossing(shapes: Iterable[_Shape]) -> Iterator[Finding]:
    for shape in shapes:
        if shape.area and len(set(shape.spots)) > 2 and not shapely.Polygon(shape.spots).is_valid:
            says = f"The outline of {shape.id.record} crosses itself, so all ground between its points is kept clear."
            yield _finding("outline_crosses", "note", (shape.id.record,), says, "Put its points in order round the edge.")


def blocked_on(path: Sequence[Point], stations_ft: Sequence[float], ground: Ground) -> list[tuple[float, float, int]]:
    """Parts of a path inside keep-outs."""
    corners = np.array(path)
    parts = parts_inside(corners[:-1], corners[1:], ground.tree)
    return sorted((stations_ft[run] + low, stations_ft[run] + high, area) for run, low, high, area in parts)


def merged(parts: Iterable[tuple[float, float, int]]) -> Blocked:
    """Blocked parts joined where they touch or overlap."""
    joined: list[tuple[float, float]] = []
    for low, high, _ in parts:
        if joined and low <= joined[-1][1] + EDGE_FT:
            joined[-1] = (joined[-1][0], max(joined[-1][1], high))
        else:
            joined.append((low, high))
    return tuple(joined)


@remembered_each
def standing_in(spots: Sequence[Point], ground: Ground) -> list[tuple[KeepOut, ...]]:
    """Keep-outs that each of today's spots stands in."""
    found = keep_outs_round(np.array(spots), ground)
    return [tuple(found.get(row, ())) for row in range(len(spots))]


def keep_outs_round(spots: Floats, ground: Ground) -> dict[int, list[KeepOut]]:
    """Keep-outs that each spot stands in."""
    found: dict[int, list[KeepOut]] = {}
    if not len(spots):
        return found
    points = shapely.points(spots)
    rows, areas = ground.tree.query(points, predicate="within")
    if not len(rows):
        return found
    deep = shapely.distance(points[rows], shapely.boundary(ground.tree.geometries[areas])) > EDGE_FT
    for row, area in sorted(zip(rows[deep].tolist(), areas[deep].tolist(), strict=True)):
        found.setdefault(row, []).append(ground.areas[area])
    return found
