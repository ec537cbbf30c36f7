"""What is on the site without the fence: yards, house and decks, keep-outs, buried lines, property lines, walls and trees."""

from collections.abc import Iterator

import shapely

from engine.calc.geometry.plane import Point
from engine.drawing.shapes import Area, Circle, Mark, Role, Shape, Stroke, Words, middle_of
from engine.job.model.job import Job
from engine.job.model.site import Structure
from engine.stages.layout.stage import KeepOut
from engine.walk import Walk

IN_PER_FT = 12.0
BEHIND_WALL_FT = 6.0
"""How deep a building is drawn behind a face of it, where no more than the face was measured."""
BUILDINGS = ("house", "shed", "other")
TREE_RANK, YARD_RANK, AREA_RANK, BURIED_RANK, WALL_RANK, LEAST_RANK = 6, 10, 11, 11, 12, 14
OVER = "overhead"


def site_shapes(job: Job, walk: Walk) -> Iterator[Shape]:
    """What lies lowest first."""
    yield from (Area("yard", yard.ring, kind=name) for name, yard in walk.survey.yards.items() if yard.closed)
    yield from _buildings(job, walk)
    for area in walk.layout.keep_outs:
        if area.id.source == "utility":
            yield Area("keepout", area.polygon, area.id.record, area.kind)
        elif is_plain(area):
            yield from keep_out_shapes(area)
    for name, line in job.utilities.items():
        path = placed(walk, line.points)
        if line.kind != OVER and len(path) > 1:
            yield Stroke("buried", path, name, kind=line.kind)
            yield Words("buried", halfway(path), called(name, line.kind), name, kind=line.kind, rank=BURIED_RANK, along=path)
    paths = (placed(walk, boundary.points) for boundary in job.boundaries.values())
    yield from (Stroke("boundary", path) for path in paths if len(path) > 1)
    yield from _trees(job, walk)
    for name, yard in job.yards.items():
        for place in placed(walk, (yard.inside,)):
            yield Words("yard", place, yard.name or name, rank=YARD_RANK, along=walk.survey.yards[name].ring)


def placed(walk: Walk, names: tuple[str, ...]) -> tuple[Point, ...]:
    """The places of those points that have one."""
    return tuple(walk.survey.points[name].xy for name in names if name in walk.survey.points)


def called(name: str, kind: str) -> str:
    """A thing by its name and kind; one that is called after its kind isn't named twice."""
    return name if kind in name or kind == "other" else f"{kind} {name}"


def is_plain(area: KeepOut) -> bool:
    """Whether a keep-out is drawn by itself: a tree and a wall are there already."""
    return area.id.source not in ("tree", "structure")


def keep_out_shapes(area: KeepOut) -> Iterator[Area | Words]:
    """A keep-out and its name; something found is called what it is, for the id of its entry says nothing. A deck is solid."""
    name = area.id.record
    role: Role = "deck" if area.id.source == "deck" else "keepout"
    yield Area(role, area.polygon, name, area.kind)
    says = area.kind if area.id.source == "log" else called(name, area.kind)
    yield Words(role, middle_of(area.polygon), says, name, kind=area.kind, rank=AREA_RANK, along=area.polygon)


def _buildings(job: Job, walk: Walk) -> Iterator[Shape]:
    """Every face as it was measured, and behind it what it is a face of."""
    for name, structure in job.structures.items():
        path = placed(walk, structure.points)
        if len(path) < 2:
            continue
        yield Stroke("wall", path, kind=structure.kind)
        if solid := _solid(structure, path, walk):
            yield Area("house", solid, kind=structure.kind)
            yield Words("house", _inside(solid), name, along=solid, rank=WALL_RANK)
        else:
            yield Words("wall", halfway(path[:2]), name, along=path[:2], rank=WALL_RANK)


def _solid(structure: Structure, path: tuple[Point, ...], walk: Walk) -> tuple[Point, ...]:
    """What a building covers: what its faces close, or a strip behind them, on the side where less of the yards is."""
    if structure.kind not in BUILDINGS:
        return ()
    if len(path) > 3 and path[0] == path[-1]:
        return path[:-1]
    face = shapely.LineString(path)
    sides = [face.buffer(deep_ft, single_sided=True, join_style="mitre") for deep_ft in (BEHIND_WALL_FT, -BEHIND_WALL_FT)]
    yards = shapely.union_all([shapely.Polygon(yard.ring) for yard in walk.survey.yards.values() if yard.closed])
    posts = shapely.MultiPoint([support.xy for support in walk.layout.supports.values()])
    behind = min(sides, key=lambda side: (round(side.intersection(yards).area), -round(side.distance(posts.centroid), 1)))
    outline = max(shapely.get_parts(behind), key=lambda part: float(part.area), default=None)
    return () if outline is None else tuple((float(x), float(y)) for x, y in list(outline.exterior.coords)[:-1])


def _inside(outline: tuple[Point, ...]) -> Point:
    spot = shapely.Polygon(outline).representative_point()
    return float(spot.x), float(spot.y)


def _trees(job: Job, walk: Walk) -> Iterator[Shape]:
    carrying = {support.at for support in walk.layout.supports.values()}
    for name, tree in job.trees.items():
        for place in placed(walk, (tree.point,)):
            yield Circle("tree", place, tree.diameter_in / IN_PER_FT / 2)
            yield Mark("tree", place, name, rank=TREE_RANK)
            yield Words("tree", place, name, name, kind="bearer" if name in carrying else "", rank=LEAST_RANK)


def halfway(points: tuple[Point, ...]) -> Point:
    """The middle of the middle stretch of a polyline."""
    at = max(len(points) // 2, 1)
    return between(points[at - 1], points[min(at, len(points) - 1)])


def between(a: Point, b: Point) -> Point:
    """The middle between two places."""
    return a[0] / 2 + b[0] / 2, a[1] / 2 + b[1] / 2
