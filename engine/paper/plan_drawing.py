"""The plan drawing of the record: the site from above, to a printed scale, as one SVG that needs nothing else."""

from collections.abc import Iterable, Iterator, Mapping
from math import hypot

import shapely

from engine.calc.geometry.plane import Point
from engine.calc.lengths import format_ft_in
from engine.job.model.job import Job
from engine.paper.drawing_sheet import (
    FOOT_PX,
    IN_PER_FT,
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
from engine.stages.gate.stage import GateWork
from engine.stages.layout.stage import Bay, Support
from engine.walk import Walk

CROWDED_PX = 6.0
SHAPES = {"line": "circle", "corner": "square", "end": "triangle", "gate": "diamond", "tee": "tee"}
KEY_WORDS = {
    **{"circle": "line post", "square": "corner post", "triangle": "end post", "diamond": "gate post", "tee": "tee post"},
    "hollow": "on a tree or wall",
}


def plan_svg(job: Job, walk: Walk, line: str | None = None) -> str:
    """The site from above as it stands: fence, posts with ids, bay lengths, gates with swing, braces, trees, walls, keep-outs, boundary,
    yards, north, a scale bar and a key of what is drawn.
    """
    sheet = sheet_of(walk, job, line)
    ground = (*_keep_outs(walk, sheet), *_boundaries(job, walk, sheet), *_walls(job, walk, sheet), *_trees(job, walk, sheet))
    # An svg inside the svg cuts off what lies beyond the frame.
    drawn = element("svg", *ground, *_fence_parts(job, walk, sheet), north_arrow(sheet), width=sheet.width_px, height=sheet.height_px)
    frame = element("rect", x=0.5, y=0.5, width=sheet.width_px - 1, height=sheet.height_px - 1, class_="frame")
    height = sheet.height_px + FOOT_PX
    return element(
        "svg", element("title", "Plan of the fence, north up"), _hatch(), drawn, frame, scale_bar(sheet),
        *key_rows(sheet, [*_signs(job, walk)]), xmlns="http://www.w3.org/2000/svg", class_="plan", role="img",
        width=f"{sheet.width_px / PX_PER_IN:.3f}in", height=f"{height / PX_PER_IN:.3f}in",
        viewBox=f"0 0 {sheet.width_px:.2f} {height:.2f}",
    )  # fmt: skip


def _fence_parts(job: Job, walk: Walk, sheet: Sheet) -> Iterator[str]:
    middles = _middles(walk, sheet)
    yield from _braces(walk, sheet)
    yield from _fence(walk, sheet, middles)
    yield from _yards(job, walk, sheet)
    for work in walk.gate.gates.values():
        yield from _gate(work, walk, sheet)
    swung = {post: sheet.at(_tip(work)) for work in walk.gate.gates.values() for post in (work.hinge_post, work.latch_post)}
    for support in walk.layout.supports.values():
        yield from _support(support, walk, sheet, swung.get(support.id, middles[support.line]))


def _path(walk: Walk, names: Iterable[str]) -> list[Point]:
    return [walk.survey.points[name].xy for name in names if name in walk.survey.points]


def _hatch() -> str:
    stroke = element("path", d="M0 7 L7 0", class_="hatch")
    return element("defs", element("pattern", stroke, id="hatch", width=7, height=7, patternUnits="userSpaceOnUse"))


def _keep_outs(walk: Walk, sheet: Sheet) -> Iterator[str]:
    for area in walk.layout.keep_outs:
        if area.id.source in ("tree", "structure") or len(area.polygon) < 3:
            continue
        seen = shapely.make_valid(shapely.Polygon(area.polygon)).intersection(sheet.frame)
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


def _boundaries(job: Job, walk: Walk, sheet: Sheet) -> Iterator[str]:
    for boundary in job.boundaries.values():
        path = _path(walk, boundary.points)
        if len(path) < 2:
            continue
        for part in shapely.get_parts(shapely.LineString(path).intersection(sheet.frame)):
            yield element("polyline", points=points_text(map(sheet.at, part.coords)), class_="boundary")


def _walls(job: Job, walk: Walk, sheet: Sheet) -> Iterator[str]:
    for name, structure in job.structures.items():
        path = _path(walk, structure.points)
        if len(path) < 2:
            continue
        yield element("polyline", points=points_text(map(sheet.at, path)), class_="wall")
        a, b = map(sheet.at, path[:2])
        yield word((a[0] / 2 + b[0] / 2, a[1] / 2 + b[1] / 2 - 5), name, "small", upright_deg(a, b))


def _trees(job: Job, walk: Walk, sheet: Sheet) -> Iterator[str]:
    carrying = {support.at for support in walk.layout.supports.values()}
    for name, tree in job.trees.items():
        if tree.point in walk.survey.points:
            x, y = sheet.at(walk.survey.points[tree.point].xy)
            yield element("circle", cx=x, cy=y, r=max(4.0, tree.diameter_in / IN_PER_FT / 2 * sheet.px_per_ft), class_="tree")
            if name not in carrying:
                yield word((x, y - 8), name, "small")


def _fence(walk: Walk, sheet: Sheet, middles: Mapping[str, Point]) -> Iterator[str]:
    supports = walk.layout.supports
    if not walk.layout.bays:
        for line in walk.survey.lines.values():
            yield element("polyline", points=points_text(map(sheet.at, line.path)), class_="bare")
    ends = {name: (sheet.at(supports[bay.from_id].xy), sheet.at(supports[bay.to_id].xy)) for name, bay in walk.layout.bays.items()}
    for name, bay in walk.layout.bays.items():
        a, b = ends[name]
        if bay.gate is None:
            yield element("line", x1=a[0], y1=a[1], x2=b[0], y2=b[1], class_="fence")
        others = shapely.MultiLineString([run for other, run in ends.items() if other != name and run[0] != run[1]])
        yield from _bay_length(bay, a, b, middles[supports[bay.from_id].line], others)


def _bay_length(bay: Bay, a: Point, b: Point, middle: Point, others: shapely.MultiLineString) -> Iterator[str]:
    """The bay's length along it on the inner side, or where other bays crowd that on the outer, where there is room to read it."""
    words = format_ft_in(bay.slope_ft)
    if hypot(b[0] - a[0], b[1] - a[1]) > len(words) * LETTER_PX + 8:
        spot = (a[0] / 2 + b[0] / 2, a[1] / 2 + b[1] / 2)
        x, y = _beside(spot, a, b, middle, inner=True, away_px=9)
        if others.distance(_lying(words, (x, y), a, b)) < CROWDED_PX:
            x, y = _beside(spot, a, b, middle, inner=False, away_px=9)
        yield word((x, y + 2.5), words, "bay", upright_deg(a, b))


def _lying(words: str, middle: Point, a: Point, b: Point) -> shapely.LineString:
    """Where words lie, their middle given, along a run from a to b."""
    share = len(words) * LETTER_PX / 2 / hypot(b[0] - a[0], b[1] - a[1])
    dx, dy = share * (b[0] - a[0]), share * (b[1] - a[1])
    return shapely.LineString([(middle[0] - dx, middle[1] - dy), (middle[0] + dx, middle[1] + dy)])


def _yards(job: Job, walk: Walk, sheet: Sheet) -> Iterator[str]:
    for name, yard in job.yards.items():
        if yard.inside in walk.survey.points:
            yield word(sheet.at(walk.survey.points[yard.inside].xy), yard.name or name, "yard")


def _gate(work: GateWork, walk: Walk, sheet: Sheet) -> Iterator[str]:
    """Each leaf shut and standing square open on its better side, with the arc of its tip."""
    tip = _tip(work)
    first = work.leaves[0].hinge
    for leaf in work.leaves:
        hinge, shut = sheet.at(leaf.hinge), sheet.at(leaf.latch)
        open_ = sheet.at((leaf.hinge[0] + tip[0] - first[0], leaf.hinge[1] + tip[1] - first[1]))
        r = leaf.width_ft * sheet.px_per_ft
        turns = (shut[0] - hinge[0]) * (open_[1] - hinge[1]) - (shut[1] - hinge[1]) * (open_[0] - hinge[0])
        arc = f"M{shut[0]:.2f} {shut[1]:.2f} A{r:.2f} {r:.2f} 0 0 {int(turns > 0)} {open_[0]:.2f} {open_[1]:.2f}"
        yield element("path", d=arc, class_="swing")
        yield element("line", x1=hinge[0], y1=hinge[1], x2=open_[0], y2=open_[1], class_="leaf")
        yield element("line", x1=hinge[0], y1=hinge[1], x2=shut[0], y2=shut[1], class_="shut")
    a, b = (sheet.at(walk.layout.supports[name].xy) for name in (work.hinge_post, work.latch_post))
    spot = _beside((a[0] / 2 + b[0] / 2, a[1] / 2 + b[1] / 2), a, b, sheet.at(tip), inner=False, away_px=24)
    yield word(spot, f"gate {work.gate}", "small", upright_deg(a, b))


def _tip(work: GateWork) -> Point:
    """Where the first leaf's free end is when it stands square open on its better side."""
    return next(swing.arc[-1] for swing in work.swings if swing.side == work.better)


def _braces(walk: Walk, sheet: Sheet) -> Iterator[str]:
    for pull in walk.bracing.pulls.values():
        a = sheet.at(walk.layout.supports[pull.support].xy)
        for leg in pull.legs:
            b = sheet.at(leg.foot)
            yield element("line", x1=a[0], y1=a[1], x2=b[0], y2=b[1], class_="brace")
            yield element("circle", cx=b[0], cy=b[1], r=2.6, class_="foot")


def _support(support: Support, walk: Walk, sheet: Sheet, middle: Point) -> Iterator[str]:
    x, y = sheet.at(support.xy)
    if support.moved:
        planned = sheet.at(support.planned)
        yield element("line", x1=planned[0], y1=planned[1], x2=x, y2=y, class_="moved")
        yield mark("ghost", *planned)
    yield mark(_shape_of(support), x, y, support.id)
    label = _label_spot(support, walk, sheet, middle)
    yield word((label[0], label[1] + 3), support.id, "post")


def _shape_of(support: Support) -> str:
    return SHAPES[support.kind] if support.support == "driven" else "hollow"


def _middles(walk: Walk, sheet: Sheet) -> dict[str, Point]:
    """The middle of each line's supports, px: the side of a line that it is on counts as the inner one."""
    found = {}
    for line in {support.line: None for support in walk.layout.supports.values()}:
        places = [sheet.at(support.xy) for support in walk.layout.supports.values() if support.line == line]
        found[line] = (sum(x for x, _ in places) / len(places), sum(y for _, y in places) / len(places))
    return found


def _label_spot(support: Support, walk: Walk, sheet: Sheet, middle: Point) -> Point:
    """Where a support's id is clear of the fence: outside it, and past the end of a run."""
    ends = [bay.from_id for bay in walk.layout.bays.values() if bay.to_id == support.id]
    ends += [bay.to_id for bay in walk.layout.bays.values() if bay.from_id == support.id]
    here = sheet.at(support.xy)
    places = [sheet.at(walk.layout.supports[end].xy) for end in ends] or [(here[0] - 1, here[1])]
    if len(places) > 1:
        return _beside(here, places[0], places[-1], middle, inner=False, away_px=12)
    run = hypot(here[0] - places[0][0], here[1] - places[0][1]) or 1.0
    past = (here[0] + 9 * (here[0] - places[0][0]) / run, here[1] + 9 * (here[1] - places[0][1]) / run)
    return _beside(past, places[0], here, middle, inner=False, away_px=9)


def _beside(spot: Point, a: Point, b: Point, middle: Point, *, inner: bool, away_px: float) -> Point:
    """A place square off the run from a to b, on the side of the fence's middle or on the other."""
    run = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    nx, ny = -(b[1] - a[1]) / run or (0.0 if a != b else 1.0), (b[0] - a[0]) / run
    toward = nx * (middle[0] - spot[0]) + ny * (middle[1] - spot[1]) > 0
    sign = away_px if toward == inner else -away_px
    return (spot[0] + sign * nx, spot[1] + sign * ny)


def _signs(job: Job, walk: Walk) -> Iterator[tuple[str, str]]:
    """What is drawn, each with its words for the key."""
    supports = walk.layout.supports.values()
    shapes = {_shape_of(support) for support in supports}
    yield from ((shape, words) for shape, words in KEY_WORDS.items() if shape in shapes)
    asked = (
        ("ghost", "planned place", any(support.moved for support in supports)),
        ("fence", "fence, with bay lengths", bool(walk.layout.bays)),
        ("brace", "brace and its foot", walk.bracing.brace_count > 0),
        ("leaf", "gate and its swing", bool(walk.gate.gates)),
        ("wall", "wall", bool(job.structures)),
        ("tree", "tree", bool(job.trees)),
        ("boundary", "property line", bool(job.boundaries)),
        ("keepout", "nothing driven here", any(area.id.source not in ("tree", "structure") for area in walk.layout.keep_outs)),
    )
    yield from ((sign, words) for sign, words, drawn in asked if drawn)
