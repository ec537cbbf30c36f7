"""The plan drawing of the record: the site from above, to a printed scale, as one SVG that needs nothing else."""

from collections.abc import Iterator
from itertools import pairwise
from math import hypot

import shapely

from engine.calc.geometry.plane import Point
from engine.drawing.name_places import NameSpot
from engine.drawing.plan_signs import ANY, BURIED_LETTERS, meanings
from engine.drawing.shapes import Arc, Area, Circle, Drawing, Mark, Role, Shape, Stroke, middle_of
from engine.paper.drawings.drawing_sheet import (
    FOOT_PX,
    NO_LENGTHS,
    PX_PER_IN,
    KeySign,
    PlanSheet,
    key_rows,
    mark,
    north_arrow,
    scale_bar,
    sheet_of,
    word,
)  # fmt: skip
from engine.paper.drawings.plan_lettering import TREE_PX, plan_names
from engine.paper.markup import element, points_text

STONE: tuple[Point, ...] = ((0.6, 5.6), (1.4, 3.0), (3.0, 1.4), (5.0, 2.0), (6.4, 5.6))
STONE_PX = 16.0
"""A rock is full of stones; one narrower than this is a single one over its outline."""
BEAD_PX = 58.0
"""How far apart the letters of a buried line stand."""
SHAPES = {"line": "circle", "corner": "square", "end": "triangle", "gate": "diamond", "tee": "tee"}
AREAS: dict[Role, str] = {"yard": "lawn", "house": "house", "deck": "deck", "keepout": "keepout"}
BORNE = ("tree", "structure")
KEY: dict[tuple[Role, str], KeySign] = {
    **{("post", kind): KeySign("mark", shape) for kind, shape in SHAPES.items()},
    **{("fence", kind): KeySign("line", f"fence {kind.replace(' ', '-')}") for kind in ("planned", "posts in", "cabled", "hung")},
    **{("buried", kind): KeySign("line", f"buried {kind}", letter) for kind, letter in BURIED_LETTERS.items()},
    **{(role, ANY): KeySign("area", name) for role, name in AREAS.items()},
    ("keepout", "rock"): KeySign("area", "keepout rock"),
    ("planned", ANY): KeySign("mark", "ghost"),
    ("brace", ANY): KeySign("line", "brace"),
    ("swing", ANY): KeySign("line", "leaf"),
    ("wall", ANY): KeySign("line", "wall"),
    ("tree", ANY): KeySign("area", "tree"),
    ("boundary", ANY): KeySign("line", "boundary"),
    ("old sleeve", ANY): KeySign("mark", "old-sleeve"),
    ("known place", ANY): KeySign("mark", "known-place"),
}
ON_SITE = (KeySign("mark", "hollow"), "on a tree or wall")


def plan_svg(drawing: Drawing, on: PlanSheet | None = None) -> str:
    """The site from above, or what of it is on a sheet, in a frame, with north, a scale bar and a key of what is drawn."""
    sheet = on or sheet_of(drawing)
    parts = [part for shape in sorted(drawing.shapes, key=_low_first) for part in _drawn(sheet, shape)]
    # An svg inside the svg cuts off what lies beyond the frame.
    told = [word((8, 14 + 12 * n), says, "post left", anchor="start") for n, says in enumerate(drawing.says)]
    over = [NameSpot(0.0, 0.0, 8 + 6.3 * len(says), 18.0 + 12 * n) for n, says in enumerate(drawing.says)]
    names = plan_names(sheet, drawing, [*over, NameSpot(sheet.width_px - 28, 0.0, sheet.width_px, 44.0)])
    drawn = element("svg", *parts, *names.written, *told, north_arrow(sheet), width=sheet.width_px, height=sheet.height_px)
    frame = element("rect", x=0.5, y=0.5, width=sheet.width_px - 1, height=sheet.height_px - 1, class_="frame")
    height, besides = sheet.height_px + FOOT_PX, "" if names.lengths else NO_LENGTHS
    return element(
        "svg", element("title", "Plan of the fence, north up"), _hatch(), drawn, frame, scale_bar(sheet, besides),
        *key_rows(sheet, [*_signs(drawing)]), xmlns="http://www.w3.org/2000/svg", class_="plan", role="img",
        width=f"{sheet.width_px / PX_PER_IN:.3f}in", height=f"{height / PX_PER_IN:.3f}in",
        viewBox=f"0 0 {sheet.width_px:.2f} {height:.2f}",
    )  # fmt: skip


def _low_first(shape: Shape) -> int:
    """Areas below lines, lines below marks."""
    return 0 if isinstance(shape, Area) else 2 if isinstance(shape, Mark) else 1


def _drawn(sheet: PlanSheet, shape: Shape) -> Iterator[str]:
    """A shape by its role; what only the screen shows is left out."""
    match shape:
        case Stroke():
            yield from _stroke(sheet, shape)
        case Area():
            yield from _area(sheet, shape)
        case Circle():
            x, y = sheet.at(shape.centre)
            yield element("circle", cx=x, cy=y, r=max(TREE_PX, shape.radius_ft * sheet.px_per_ft), class_="tree")
        case Arc():
            yield _swing(sheet, shape)
        case Mark(role="post"):
            yield mark(SHAPES.get(shape.kind, "hollow"), *sheet.at(shape.pos), shape.id)
        case Mark(role="planned"):
            yield mark("ghost", *sheet.at(shape.pos))
        case Mark(role="known place" | "old sleeve"):
            yield mark(shape.role.replace(" ", "-"), *sheet.at(shape.pos))
        case Mark(role="foot"):
            x, y = sheet.at(shape.pos)
            yield element("circle", cx=x, cy=y, r=2.6, class_="foot")


def _stroke(sheet: PlanSheet, stroke: Stroke) -> Iterator[str]:
    points = [sheet.at(point) for point in stroke.points]
    if stroke.role in ("boundary", "buried"):
        class_ = "boundary" if stroke.role == "boundary" else f"buried {stroke.kind}"
        for part in shapely.get_parts(shapely.LineString(stroke.points).intersection(sheet.frame)):
            if isinstance(part, shapely.LineString):
                seen = [sheet.at((x, y)) for x, y in part.coords]
                yield element("polyline", points=points_text(seen), class_=class_)
                yield from _beads(seen, BURIED_LETTERS.get(stroke.kind, ""))
    elif stroke.role in ("wall", "bare"):
        yield element("polyline", points=points_text(points), class_=stroke.role)
    elif stroke.role in ("fence", "brace", "leaf", "shut", "moved"):
        (x1, y1), (x2, y2) = points
        class_ = f"fence {stroke.kind.replace(' ', '-')}" if stroke.role == "fence" else stroke.role
        yield element("line", x1=x1, y1=y1, x2=x2, y2=y2, class_=class_)


def _beads(points: list[Point], letter: str) -> Iterator[str]:
    """The letter of a buried line again and again along it."""
    if not letter:
        return
    for (ax, ay), (bx, by) in pairwise(points):
        count = int(hypot(bx - ax, by - ay) / BEAD_PX)
        for n in range(count):
            share = (n + 0.5) / count
            yield word((ax + share * (bx - ax), ay + share * (by - ay) + 3), letter, "bead")


def _hatch() -> str:
    stroke = element("path", d="M0 7 L7 0", class_="hatch")
    stone = element("polygon", points=points_text(STONE), class_="stone")
    patterns = {"hatch": stroke, "stones": stone}
    return element(
        "defs", *(element("pattern", made, id=name, width=7, height=7, patternUnits="userSpaceOnUse") for name, made in patterns.items())
    )


def _area(sheet: PlanSheet, area: Area) -> Iterator[str]:
    rock = (area.role, area.kind) == ("keepout", "rock")
    seen = shapely.make_valid(shapely.Polygon(area.points)).intersection(sheet.frame)
    for part in shapely.get_parts(seen):
        if isinstance(part, shapely.Polygon) and not part.is_empty:
            corners = [sheet.at((x, y)) for x, y in part.exterior.coords]
            yield element("polygon", points=points_text(corners), class_="keepout rock" if rock else AREAS[area.role])
            if rock and max(x for x, _ in corners) - min(x for x, _ in corners) < STONE_PX:
                x, y = middle_of(corners)
                yield element("polygon", points=points_text((x + dx - 3.5, y + dy - 3.5) for dx, dy in STONE), class_="stone")


def _swing(sheet: PlanSheet, arc: Arc) -> str:
    """The way of a leaf's free end from shut to square open."""
    hinge, shut, wide = map(sheet.at, (arc.centre, arc.start, arc.end))
    r = hypot(arc.start[0] - arc.centre[0], arc.start[1] - arc.centre[1]) * sheet.px_per_ft
    turns = (shut[0] - hinge[0]) * (wide[1] - hinge[1]) - (shut[1] - hinge[1]) * (wide[0] - hinge[0])
    way = f"M{shut[0]:.2f} {shut[1]:.2f} A{r:.2f} {r:.2f} 0 0 {int(turns > 0)} {wide[0]:.2f} {wide[1]:.2f}"
    return element("path", d=way, class_="swing")


def _signs(drawing: Drawing) -> Iterator[tuple[KeySign, str]]:
    """What is drawn, each with its words for the key."""
    if any(post.kind in BORNE for post in drawing.of(Mark, "post")):
        yield ON_SITE
    yield from ((KEY[one.role, one.kind], one.says) for one in meanings(drawing) if (one.role, one.kind) in KEY)
