"""The plan from near by: for a post that may move two bays each side of it, with what it must keep clear of; for a stretch its supports."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

import shapely

from engine.calc.geometry.plane import Point
from engine.drawing.shapes import Area, Drawing, Mark, Shape, Stroke, Words
from engine.walk import Walk

BAYS_EACH_SIDE = 2
REACH_FT = 15.0
"""How near a keep-out, a buried line or a property line is for the picture to reach to it."""
RANK = 8
"""Of lengths here: after what needs work, before all other names."""


def close_up(drawing: Drawing, walk: Walk, post: str) -> Drawing:
    """The same plan, opened on a support's nearest bays, their lengths written before names; all of it where there is no such support."""
    if post not in walk.layout.supports:
        return drawing
    near, bays = _near(walk, post)
    going = {mark.pos for mark in drawing.of(Mark, "goes from", "goes to")}
    here = walk.layout.supports[post].xy
    opens_on = (*(walk.layout.supports[name].xy for name in sorted(near)), *sorted(going), *_beside(drawing, here))
    shapes = tuple(_forward(shape, bays) for shape in drawing.shapes)
    return replace(drawing, shapes=shapes, opens_on=opens_on)


def opened_on(drawing: Drawing, supports: Iterable[str], *walks: Walk) -> Drawing:
    """The same plan, opened on supports by where they stand in any of these walks; all of it where they stand nowhere."""
    names = tuple(supports)
    return replace(
        drawing, opens_on=tuple(walk.layout.supports[name].xy for walk in walks for name in names if name in walk.layout.supports)
    )


def _near(walk: Walk, post: str) -> tuple[set[str], set[str]]:
    """Supports and bays not further off than two bays, on all lines that meet here."""
    near, bays = {post}, set[str]()
    for _ in range(BAYS_EACH_SIDE):
        reached = {name: bay for name, bay in walk.layout.bays.items() if bay.from_id in near or bay.to_id in near}
        bays |= set(reached)
        near |= {end for bay in reached.values() for end in (bay.from_id, bay.to_id)}
    return near, bays


def _beside(drawing: Drawing, here: Point) -> Iterator[Point]:
    """The nearest place of everything within reach that a post keeps clear of."""
    post = shapely.Point(here)
    areas = (shapely.make_valid(shapely.Polygon(area.points)) for area in drawing.of(Area, "keepout", "deck"))
    for whole in (*(shapely.LineString(line.points) for line in drawing.of(Stroke, "boundary", "buried", "wall")), *areas):
        if whole.distance(post) <= REACH_FT:
            spot = shapely.shortest_line(post, whole).coords[1]
            yield float(spot[0]), float(spot[1])


def _forward(shape: Shape, bays: set[str]) -> Shape:
    if isinstance(shape, Words) and shape.role == "bay length" and shape.id in bays:
        return replace(shape, rank=RANK)
    return shape
