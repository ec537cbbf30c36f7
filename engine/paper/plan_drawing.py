"""The plan drawing of the record: the site from above, to a printed scale, as one SVG that needs nothing else."""

from collections.abc import Iterator, Mapping
from math import hypot

import shapely

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point
from engine.drawing.shapes import Arc, Area, Circle, Drawing, Mark, Role, Shape, Stroke, Words
from engine.paper.drawing_sheet import (
    FOOT_PX,
    LETTER_PX,
    PX_PER_IN,
    Sheet,
    key_rows,
    mark,
    north_arrow,
    scale_bar,
    sheet_of,
    upright_deg,
    word,
)  # fmt: skip
from engine.paper.markup import element, points_text

CROWDED_PX = 6.0
SHAPES = {"line": "circle", "corner": "square", "end": "triangle", "gate": "diamond", "tee": "tee"}
KEY_WORDS = {
    **{"circle": "line post", "square": "corner post", "triangle": "end post", "diamond": "gate post", "tee": "tee post"},
    "hollow": "on a tree or wall",
}
SIGNS: tuple[tuple[Role, str, str], ...] = (
    ("planned", "ghost", "planned place"),
    ("bay length", "fence", "fence, with bay lengths"),
    ("brace", "brace", "brace and its foot"),
    ("leaf", "leaf", "gate and its swing"),
    ("wall", "wall", "wall"),
    ("tree", "tree", "tree"),
    ("boundary", "boundary", "property line"),
    ("keepout", "keepout", "nothing driven here"),
    ("old sleeve", "old-sleeve", "sleeve left in the ground"),
    ("known place", "known-place", "known place, tapes start here"),
)
"""What the key tells beside the posts: a role, its sign, and its words."""


@dataclass(frozen=True)
class _Plan:
    """A drawing on its sheet; the side of a line that the middle of its posts is on, px, counts as the inner one."""

    sheet: Sheet
    lengths: tuple[Words, ...]
    middles: Mapping[str, Point]


def plan_svg(drawing: Drawing, line: str | None = None) -> str:
    """The site from above, or one line of it, in a frame, with north, a scale bar and a key of what is drawn."""
    sheet = sheet_of(drawing, line)
    plan = _Plan(sheet, tuple(drawing.of(Words, "bay length")), _middles(sheet, drawing))
    parts = (part for shape in drawing.shapes for part in _drawn(plan, shape))
    # An svg inside the svg cuts off what lies beyond the frame.
    told = (word((8, 14 + 12 * n), says, "post left", anchor="start") for n, says in enumerate(drawing.says))
    drawn = element("svg", *parts, *told, north_arrow(sheet), width=sheet.width_px, height=sheet.height_px)
    frame = element("rect", x=0.5, y=0.5, width=sheet.width_px - 1, height=sheet.height_px - 1, class_="frame")
    height = sheet.height_px + FOOT_PX
    return element(
        "svg", element("title", "Plan of the fence, north up"), _hatch(), drawn, frame, scale_bar(sheet),
        *key_rows(sheet, [*_signs(drawing)]), xmlns="http://www.w3.org/2000/svg", class_="plan", role="img",
        width=f"{sheet.width_px / PX_PER_IN:.3f}in", height=f"{height / PX_PER_IN:.3f}in",
        viewBox=f"0 0 {sheet.width_px:.2f} {height:.2f}",
    )  # fmt: skip


def _middles(sheet: Sheet, drawing: Drawing) -> dict[str, Point]:
    places: dict[str, list[Point]] = {}
    for post in drawing.of(Mark, "post"):
        places.setdefault(post.group, []).append(sheet.at(post.pos))
    return {line: (sum(x for x, _ in spots) / len(spots), sum(y for _, y in spots) / len(spots)) for line, spots in places.items()}


def _drawn(plan: _Plan, shape: Shape) -> Iterator[str]:
    """A shape by its role; what only the screen shows is left out."""
    sheet = plan.sheet
    match shape:
        case Stroke():
            yield from _stroke(sheet, shape)
        case Area():
            yield from _keep_out(sheet, shape)
        case Circle():
            x, y = sheet.at(shape.centre)
            yield element("circle", cx=x, cy=y, r=max(4.0, shape.radius_ft * sheet.px_per_ft), class_="tree")
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
        case Words():
            yield from _words(plan, shape)


def _stroke(sheet: Sheet, stroke: Stroke) -> Iterator[str]:
    points = [sheet.at(point) for point in stroke.points]
    if stroke.role == "boundary":
        for part in shapely.get_parts(shapely.LineString(stroke.points).intersection(sheet.frame)):
            yield element("polyline", points=points_text(map(sheet.at, part.coords)), class_="boundary")
    elif stroke.role in ("wall", "bare"):
        yield element("polyline", points=points_text(points), class_=stroke.role)
    elif stroke.role in ("fence", "brace", "leaf", "shut", "moved"):
        (x1, y1), (x2, y2) = points
        yield element("line", x1=x1, y1=y1, x2=x2, y2=y2, class_=stroke.role)


def _hatch() -> str:
    stroke = element("path", d="M0 7 L7 0", class_="hatch")
    return element("defs", element("pattern", stroke, id="hatch", width=7, height=7, patternUnits="userSpaceOnUse"))


def _keep_out(sheet: Sheet, area: Area) -> Iterator[str]:
    seen = shapely.make_valid(shapely.Polygon(area.points)).intersection(sheet.frame)
    for part in shapely.get_parts(seen):
        if isinstance(part, shapely.Polygon) and not part.is_empty:
            yield element("polygon", points=points_text(map(sheet.at, part.exterior.coords)), class_="keepout")
    if not seen.is_empty:
        yield word(_area_spot(seen, sheet, area.kind), area.kind, "small keepword")


def _area_spot(seen: shapely.Geometry, sheet: Sheet, name: str) -> Point:
    """In an area that has room for its name, else under it."""
    west, south, east, _ = seen.bounds
    if (east - west) * sheet.px_per_ft > len(name) * LETTER_PX + 16:
        spot = seen.representative_point()
        return sheet.at((spot.x, spot.y))
    x, y = sheet.at(((west + east) / 2, south))
    return (x, y + 8)


def _swing(sheet: Sheet, arc: Arc) -> str:
    """The way of a leaf's free end from shut to square open."""
    hinge, shut, wide = map(sheet.at, (arc.centre, arc.start, arc.end))
    r = hypot(arc.start[0] - arc.centre[0], arc.start[1] - arc.centre[1]) * sheet.px_per_ft
    turns = (shut[0] - hinge[0]) * (wide[1] - hinge[1]) - (shut[1] - hinge[1]) * (wide[0] - hinge[0])
    way = f"M{shut[0]:.2f} {shut[1]:.2f} A{r:.2f} {r:.2f} 0 0 {int(turns > 0)} {wide[0]:.2f} {wide[1]:.2f}"
    return element("path", d=way, class_="swing")


def _words(plan: _Plan, words: Words) -> Iterator[str]:
    sheet = plan.sheet
    at, (a, b) = sheet.at(words.pos), map(sheet.at, words.along or (words.pos, words.pos))
    side = sheet.at(words.side) if words.side else plan.middles.get(words.kind, at)
    match words.role:
        case "bay length":
            yield from _bay_length(plan, words, a, b, side)
        case "post":
            x, y = _clear_of_fence(at, a, b, side)
            yield word((x, y + 3), words.text, "post")
        case "gate":
            spot = _beside((a[0] / 2 + b[0] / 2, a[1] / 2 + b[1] / 2), a, b, side, inner=False, away_px=24)
            yield word(spot, f"gate {words.text}", "small", upright_deg(a, b))
        case "wall":
            yield word((at[0], at[1] - 5), words.text, "small", upright_deg(a, b))
        case "tree" if words.kind != "bearer":
            yield word((at[0], at[1] - 8), words.text, "small")
        case "known place" | "old sleeve":
            yield word(
                (at[0] + 6, at[1] + 9), words.text, "small left known" if words.role == "known place" else "small left", anchor="start"
            )
        case "yard":
            yield word(at, words.text, "yard")


def _bay_length(plan: _Plan, words: Words, a: Point, b: Point, middle: Point) -> Iterator[str]:
    """The bay's length along it on the inner side, or where other bays crowd that on the outer, where there is room to read it."""
    if hypot(b[0] - a[0], b[1] - a[1]) <= len(words.text) * LETTER_PX + 8:
        return
    spot = (a[0] / 2 + b[0] / 2, a[1] / 2 + b[1] / 2)
    runs = [[plan.sheet.at(end) for end in other.along] for other in plan.lengths if other is not words]
    others = shapely.MultiLineString([run for run in runs if run[0] != run[1]])
    x, y = _beside(spot, a, b, middle, inner=True, away_px=9)
    if others.distance(_lying(words.text, (x, y), a, b)) < CROWDED_PX:
        x, y = _beside(spot, a, b, middle, inner=False, away_px=9)
    yield word((x, y + 2.5), words.text, "bay", upright_deg(a, b))


def _lying(words: str, middle: Point, a: Point, b: Point) -> shapely.LineString:
    """Where words lie, their middle given, along a run from a to b."""
    share = len(words) * LETTER_PX / 2 / hypot(b[0] - a[0], b[1] - a[1])
    dx, dy = share * (b[0] - a[0]), share * (b[1] - a[1])
    return shapely.LineString([(middle[0] - dx, middle[1] - dy), (middle[0] + dx, middle[1] + dy)])


def _clear_of_fence(here: Point, a: Point, b: Point, middle: Point) -> Point:
    """Where a support's id is clear of the fence: outside it, and past the end of a run that ends here."""
    if b != here:
        return _beside(here, a, b, middle, inner=False, away_px=12)
    run = hypot(here[0] - a[0], here[1] - a[1]) or 1.0
    past = (here[0] + 9 * (here[0] - a[0]) / run, here[1] + 9 * (here[1] - a[1]) / run)
    return _beside(past, a, here, middle, inner=False, away_px=9)


def _beside(spot: Point, a: Point, b: Point, middle: Point, *, inner: bool, away_px: float) -> Point:
    """A place square off the run from a to b, on the side of the fence's middle or on the other."""
    run = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    nx, ny = -(b[1] - a[1]) / run or (0.0 if a != b else 1.0), (b[0] - a[0]) / run
    toward = nx * (middle[0] - spot[0]) + ny * (middle[1] - spot[1]) > 0
    sign = away_px if toward == inner else -away_px
    return (spot[0] + sign * nx, spot[1] + sign * ny)


def _signs(drawing: Drawing) -> Iterator[tuple[str, str]]:
    """What is drawn, each with its words for the key."""
    posts = {SHAPES.get(post.kind, "hollow") for post in drawing.of(Mark, "post")}
    yield from ((shape, words) for shape, words in KEY_WORDS.items() if shape in posts)
    roles = {shape.role for shape in drawing.shapes}
    yield from ((sign, words) for role, sign, words in SIGNS if role in roles)
