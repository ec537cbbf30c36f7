"""A drawing inked on a canvas: a pen for every role of lines and areas, letters for every role of marks and words."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from engine.calc.geometry.plane import Point
from engine.drawing.shapes import Area, Drawing, Mark, Role, Stroke, Words
from tui.base.theme import PLAIN_SIGNS, SIGNS
from tui.widgets.canvas import Canvas

URGENT = ("stop", "fix")
Signs = Mapping[Role, Callable[[Mark, bool], tuple[str, str]]]
"""The character and the colour of every kind of mark, the second argument being whether it is plain."""


@dataclass(frozen=True)
class Pen:
    """How lines of a role are drawn. Those that light are strong, and over the others, when their thing is chosen; areas may be struck
    through, from the lower left."""

    colour: str
    dash: int = 0
    weight: int = 1
    lights: bool = False
    struck: bool = False


@dataclass(frozen=True)
class Lettering:
    """How words of a role are written: beside their place or centred on it, `up` rows above it."""

    colour: str
    centred: bool = True
    up: int = 0


def draw(canvas: Canvas, drawing: Drawing, pens: Mapping[Role, Pen], chosen: str | None = None) -> None:
    """Lines and areas, role by role as the pens stand; roles without a pen are left out."""
    for role, pen in pens.items():
        for shape in sorted(drawing.of(Stroke, role), key=lambda one: _is_lit(one, pen, chosen)):
            lit = _is_lit(shape, pen, chosen)
            weight = pen.weight + (lit and pen.weight > 1)
            canvas.polyline(shape.points, "chosen-line" if lit else pen.colour, pen.dash, weight)
        for area in drawing.of(Area, role):
            canvas.polyline(area.points, pen.colour, pen.dash, pen.weight, closed=True)
            if pen.struck:
                canvas.line(area.points[0], area.points[2], pen.colour, dash=1)


def _is_lit(shape: Stroke, pen: Pen, chosen: str | None) -> bool:
    return pen.lights and is_about(shape, chosen)


def is_about(shape: Stroke | Mark | Words, chosen: str | None) -> bool:
    """Whether a shape draws the chosen thing or a part of it."""
    return bool(chosen) and chosen in (shape.id, shape.group)


def letter(canvas: Canvas, drawing: Drawing, signs: Signs, letterings: Mapping[Role, Lettering], chosen: str | None = None) -> None:
    """Marks and words, what matters most first; before all the chosen thing, its marks in reverse and its name once, in brackets."""
    lettered = [shape for shape in drawing.shapes if isinstance(shape, Mark | Words)]
    marked = named = False
    for shape in sorted(lettered, key=lambda one: (not is_about(one, chosen), one.rank)):
        about = is_about(shape, chosen)
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
            lettering, urgent = letterings[shape.role], shape.state in URGENT
            text = shape.text + (PLAIN_SIGNS if canvas.plain else SIGNS)[shape.state]
            canvas.text(_spot(canvas, shape, lettering), text, shape.state if urgent else lettering.colour, lettering.centred)


def _spot(canvas: Canvas, words: Words, lettering: Lettering) -> Point:
    return words.pos[0], words.pos[1] + lettering.up * canvas.viewport.feet_per_row
