"""A drawing inked on a canvas: a pen for every role of lines and areas, letters for every role of marks and words."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import field
from itertools import pairwise
from math import hypot, inf

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point
from engine.drawing.shapes import Arc, Area, Circle, Drawing, Mark, Role, Shape, Stroke, Words
from tui.base.theme import SIGNS
from tui.canvas.canvas import Canvas, Dash
from tui.canvas.viewport import Viewport

URGENT = ("stop", "fix")
Signs = Mapping[Role, Callable[[Mark, bool], tuple[str, str]]]
"""The character and the colour of every kind of mark, the second argument being whether it is plain."""
LEAST_CELLS = 1.3
"""Half as wide, in cells, a circle is drawn at least, round its mark."""
BEAD_CELLS = 9
SOLID = "solid"


@dataclass(frozen=True)
class Pen:
    """How lines of a role are drawn. Those that light are strong, and over the others, when their thing is chosen. Areas are
    hatched where they are that many cells wide, struck through from the lower left, filled (with that character, or by quarters of a
    cell where it says `solid`) or tinted; those narrower than `least_cells` are left out. `plain` are the plain characters of a line or
    a fill, `bead` stands in a line again and again. `kinds` have colours of their own, `of_kind` whole pens and `beads` characters."""

    colour: str
    dash: Dash = 0
    weight: int = 1
    plain: str = ""
    lights: bool = False
    struck: bool = False
    hatched_cells: float = inf
    least_cells: float = 0.0
    fill: str = ""
    tints: bool = False
    kinds: Mapping[str, str] = field(default_factory=dict)
    of_kind: Mapping[str, "Pen"] = field(default_factory=dict)
    beads: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Lettering:
    """How words of a role are written: beside their place or centred on it, `up` rows above it; `kinds` have colours of their own."""

    colour: str
    centred: bool = True
    up: int = 0
    kinds: Mapping[str, str] = field(default_factory=dict)


def draw(canvas: Canvas, shapes: Iterable[Shape], pens: Mapping[Role, Pen], chosen: str | None = None) -> None:
    """Lines and areas, role by role as the pens stand; roles without a pen are left out."""
    found: dict[Role, list[Shape]] = {role: [] for role in pens}
    for shape in shapes:
        if shape.role in found:
            found[shape.role].append(shape)
    for role, pen in pens.items():
        for shape in sorted(found[role], key=lambda one: _is_lit(one, pen, chosen)):
            match shape:
                case Stroke():
                    _stroke(canvas, shape, pen.of_kind.get(shape.kind, pen), _is_lit(shape, pen, chosen))
                case Area():
                    _area(canvas, shape, pen)
                case Circle():
                    radius_ft = max(shape.radius_ft, LEAST_CELLS * canvas.viewport.feet_per_cell)
                    canvas.circle(shape.centre, radius_ft, pen.colour, pen.plain)
                case Arc():
                    canvas.arc(shape.centre, shape.start, shape.end, pen.colour)


def _stroke(canvas: Canvas, stroke: Stroke, pen: Pen, lit: bool) -> None:
    colour = "chosen-line" if lit else pen.kinds.get(stroke.kind, pen.colour)
    canvas.polyline(stroke.points, colour, pen.dash, pen.weight + (lit and pen.weight > 1), plain=pen.plain)


def bead(canvas: Canvas, shapes: Iterable[Shape], pens: Mapping[Role, Pen]) -> None:
    """The characters that lines bear along their way."""
    for shape in shapes:
        if isinstance(shape, Stroke) and shape.role in pens:
            pen = pens[shape.role]
            if shape.kind in pen.beads:
                canvas.beads(shape.points, pen.beads[shape.kind], pen.kinds.get(shape.kind, pen.colour), BEAD_CELLS)


def _area(canvas: Canvas, area: Area, role_pen: Pen) -> None:
    pen = role_pen.of_kind.get(area.kind, role_pen)
    colour = pen.kinds.get(area.kind, pen.colour)
    if pen.tints:
        canvas.tint(area.points, colour)
        return
    wide_cells = _mean_width(area.points) / canvas.viewport.feet_per_cell
    if pen.fill:
        char = pen.plain if canvas.plain else "" if pen.fill == SOLID else pen.fill
        canvas.fill(area.points, colour, char, thin=wide_cells < LEAST_CELLS)
    if pen.fill or not is_wide(area, role_pen, canvas.viewport):
        return
    if wide_cells > pen.hatched_cells:
        canvas.hatch(area.points, colour)
    canvas.polyline(area.points, colour, pen.dash, pen.weight, closed=True, plain=pen.plain)
    if pen.struck:
        canvas.line(area.points[0], area.points[2], colour, dash=1)


def is_wide(area: Area, pen: Pen, viewport: Viewport) -> bool:
    """Whether an area is wide enough to be drawn."""
    least_cells = pen.of_kind.get(area.kind, pen).least_cells
    return not least_cells or _mean_width(area.points) >= least_cells * viewport.feet_per_cell


def _mean_width(polygon: Sequence[Point]) -> float:
    """Area over half the length round it: about the width of a strip."""
    sides = list(pairwise([*polygon, *polygon[:1]]))
    area = abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in sides)) / 2
    around = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in sides)
    return 2 * area / around if around else 0.0


def _is_lit(shape: Shape, pen: Pen, chosen: str | None) -> bool:
    return pen.lights and isinstance(shape, Stroke) and _is_about(shape, chosen)


def _is_about(shape: Stroke | Mark | Words, chosen: str | None) -> bool:
    """Whether a shape draws the chosen thing or a part of it."""
    return bool(chosen) and (shape.id == chosen or (shape.group == chosen and not isinstance(shape, Mark)))


def letter(canvas: Canvas, drawing: Drawing, signs: Signs, letterings: Mapping[Role, Lettering], chosen: str | None = None) -> None:
    """Marks and words, what matters most first; before all the chosen thing, its marks in reverse and its name once, in brackets."""
    lettered = [shape for shape in drawing.shapes if isinstance(shape, Mark | Words)]
    marked = named = False
    for shape in sorted(lettered, key=lambda one: (not _is_about(one, chosen), one.rank)):
        about = _is_about(shape, chosen)
        if isinstance(shape, Mark):
            if shape.role in signs:
                sign, colour = signs[shape.role](shape, canvas.plain)
                canvas.mark(shape.pos, sign, "chosen" if about else colour)
                marked |= about
        elif about and not named:
            lettering = letterings.get(shape.role, Lettering("chosen"))
            named = True
            canvas.text(_spot(canvas, shape, lettering), f"[{chosen}]", "chosen", lettering.centred or not marked, must=True)
        elif shape.role in letterings and not about:
            lettering = letterings[shape.role]
            colour = shape.state if shape.state in URGENT else lettering.kinds.get(shape.kind, lettering.colour)
            text = shape.text + SIGNS[shape.state]
            canvas.text(_spot(canvas, shape, lettering), text, colour, lettering.centred)


def _spot(canvas: Canvas, words: Words, lettering: Lettering) -> Point:
    return words.pos[0], words.pos[1] + lettering.up * canvas.viewport.feet_per_row
