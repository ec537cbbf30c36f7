"""What is on the site without the fence: yards, house and decks, keep-outs, buried lines, property lines, walls and trees."""

from collections.abc import Iterator, Mapping
from typing import TypeVar

import shapely

from engine.calc.geometry.plane import Point
from engine.calc.remember import remembered_of
from engine.drawing.shapes import Area, Circle, Mark, Role, Shape, Stroke, Words, middle_of
from engine.job.model.fence import Yard
from engine.job.model.job import Job
from engine.job.model.site import Boundary, Structure, Tree, Utility
from engine.stages.layout.stage import KeepOut, Layout
from engine.stages.survey.stage import Survey
from engine.stages.survey.yards import yard_place
from engine.walk import Walk

IN_PER_FT = 12.0
BEHIND_WALL_FT = 6.0
"""How deep a building is drawn behind a face of it, where no more than the face was measured."""
BUILDINGS = ("house", "shed", "other")
TREE_RANK, YARD_RANK, AREA_RANK, BURIED_RANK, WALL_RANK, LEAST_RANK = 6, 10, 11, 11, 12, 14
OVER = "overhead"

Named = TypeVar("Named")
Records = Mapping[str, Named]


def site_shapes(job: Job, walk: Walk) -> tuple[Shape, ...]:
    """What lies lowest first. It stays the very same while no more is done than ticked: what paints it can tell by that."""
    return _site(job.structures, job.utilities, job.boundaries, job.trees, job.yards, walk.survey, walk.layout)


@remembered_of
def _site(
    structures: Records[Structure], utilities: Records[Utility], boundaries: Records[Boundary], trees: Records[Tree],
    yards: Records[Yard], survey: Survey, layout: Layout,
) -> tuple[Shape, ...]:  # fmt: skip
    lawns = (Area("yard", yard.ring, kind=name) for name, yard in survey.yards.items() if yard.closed)
    lines = (placed(survey, boundary.points) for boundary in boundaries.values())
    return (
        *lawns,
        *_buildings(structures, survey, layout),
        *_keep_outs(layout),
        *_buried(utilities, survey),
        *(Stroke("boundary", path) for path in lines if len(path) > 1),
        *_trees(trees, survey, layout),
        *_yard_names(yards, survey),
    )


def _keep_outs(layout: Layout) -> Iterator[Shape]:
    for area in layout.keep_outs:
        if area.id.source == "utility":
            yield Area("keepout", area.polygon, area.id.record, area.kind)
        elif is_plain(area):
            yield from keep_out_shapes(area)


def _buried(utilities: Records[Utility], survey: Survey) -> Iterator[Shape]:
    for name, line in utilities.items():
        path = placed(survey, line.points)
        if line.kind != OVER and len(path) > 1:
            yield Stroke("buried", path, name, kind=line.kind)
            yield Words("buried", halfway(path), called(name, line.kind), name, kind=line.kind, rank=BURIED_RANK, along=path)


def _yard_names(yards: Records[Yard], survey: Survey) -> Iterator[Shape]:
    for name, yard in yards.items():
        place = yard_place(yard, {point: one.xy for point, one in survey.points.items()})
        if place is not None:
            yield Words("yard", place, yard.name or name, rank=YARD_RANK, along=survey.yards[name].ring)


def placed(survey: Survey, names: tuple[str, ...]) -> tuple[Point, ...]:
    """The places of those points that have one."""
    return tuple(survey.points[name].xy for name in names if name in survey.points)


def called(name: str, kind: str) -> str:
    """A thing by its name and kind; one that is called after its kind isn't named twice."""
    return name if kind in name or kind == "other" else f"{kind} {name}"


def is_plain(area: KeepOut) -> bool:
    """Whether a keep-out is drawn by itself: a tree and a wall are there already."""
    return area.id.source not in ("tree", "structure")


def keep_out_shapes(area: KeepOut) -> Iterator[Area | Words]:
    """A keep-out and its name; something found is called what it is, for the id of its entry says nothing. A deck is solid. An old sleeve
    has its name by its own sign."""
    name = area.id.record
    role: Role = "deck" if area.id.source == "deck" else "keepout"
    yield Area(role, area.polygon, name, area.kind)
    if area.id.source == "sleeve":
        return
    says = area.kind if area.id.source == "log" else called(name, area.kind)
    yield Words(role, middle_of(area.polygon), says, name, kind=area.kind, rank=AREA_RANK, along=area.polygon)


def _buildings(structures: Records[Structure], survey: Survey, layout: Layout) -> Iterator[Shape]:
    """Every face as it was measured, and behind it what it is a face of."""
    for name, structure in structures.items():
        path = placed(survey, structure.points)
        if len(path) < 2:
            continue
        yield Stroke("wall", path, kind=structure.kind)
        if solid := _solid(structure, path, survey, layout):
            yield Area("house", solid, kind=structure.kind)
            yield Words("house", _inside(solid), name, along=solid, rank=WALL_RANK)
        else:
            yield Words("wall", halfway(path[:2]), name, along=path[:2], rank=WALL_RANK)


def _solid(structure: Structure, path: tuple[Point, ...], survey: Survey, layout: Layout) -> tuple[Point, ...]:
    """What a building covers: what its faces close, or a strip behind them, on the side where less of the yards is."""
    if structure.kind not in BUILDINGS:
        return ()
    if len(path) > 3 and path[0] == path[-1]:
        return path[:-1]
    face = shapely.LineString(path)
    sides = [face.buffer(deep_ft, single_sided=True, join_style="mitre") for deep_ft in (BEHIND_WALL_FT, -BEHIND_WALL_FT)]
    yards = shapely.union_all([shapely.Polygon(yard.ring) for yard in survey.yards.values() if yard.closed])
    posts = shapely.MultiPoint([support.xy for support in layout.supports.values()])
    behind = min(sides, key=lambda side: (round(side.intersection(yards).area), -round(side.distance(posts.centroid), 1)))
    outline = max(shapely.get_parts(behind), key=lambda part: float(part.area), default=None)
    return () if outline is None else tuple((float(x), float(y)) for x, y in list(outline.exterior.coords)[:-1])


def _inside(outline: tuple[Point, ...]) -> Point:
    """A place well inside, or a corner where nothing is."""
    spot = shapely.make_valid(shapely.Polygon(outline)).representative_point()
    return outline[0] if spot.is_empty else (float(spot.x), float(spot.y))


def _trees(trees: Records[Tree], survey: Survey, layout: Layout) -> Iterator[Shape]:
    carrying = {support.at for support in layout.supports.values()}
    for name, tree in trees.items():
        for place in placed(survey, (tree.point,)):
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
