"""A gate seen from the yard: posts, leaves, tension wires, hinges, latches, and the ground under the swing."""

from engine.calc.geometry.plane import Point
from engine.drawing.shapes import Area, Drawing, Role, Stroke, Words
from tui.canvas.canvas import Canvas, Run
from tui.canvas.ink import Lettering, Pen, Signs, draw, letter
from tui.canvas.viewport import Viewport, bounds_of, fit
from tui.widgets.picture_view import DrawingView

_MARGIN = (8, 2)
_OFF_EDGE = 3
PENS: dict[Role, Pen] = {
    "ground": Pen("ground", weight=2),
    "diagonal": Pen("muted", dash=3),
    "face wire": Pen("cable", dash=1),
    "pole": Pen("post", weight=3),
    "drop rod": Pen("post", weight=2),
    "leaf": Pen("gate", weight=2),
}
LETTERS: dict[Role, str] = {"hinge": "H", "latch": "L", "ground sleeve": "S", "hook": "K"}
SIGNS: Signs = {role: lambda mark, _plain: (LETTERS[mark.role], "label") for role in LETTERS}
LETTERINGS: dict[Role, Lettering] = {"size": Lettering("label")}


class ElevationView(DrawingView):
    """A small picture of one gate, drawn to true scale."""

    EMPTY = "No gate chosen."

    def frame(self, picture: Drawing, width: int, height: int) -> Viewport:
        points: list[Point] = [point for stroke in picture.of(Stroke) for point in stroke.points]
        points += [corner for leaf in picture.of(Area, "leaf") for corner in leaf.points]
        return fit(bounds_of(points, least_ft=2.0), width, height, _MARGIN)

    def paint(self, picture: Drawing, viewport: Viewport) -> list[list[Run]]:
        return paint_gate(picture, viewport, self.plain)


def paint_gate(picture: Drawing, viewport: Viewport, plain: bool) -> list[list[Run]]:
    """Rows of the gate: H marks a hinge, L a latch, S the drop rod's ground sleeve, K where a hook holds an open leaf. Both diagonals that
    are measured are dotted, the face wire drawn over its own."""
    canvas = Canvas(viewport, plain)
    draw(canvas, picture.shapes, PENS)
    letter(canvas, picture, SIGNS, LETTERINGS)
    for words in picture.of(Words, "hinge side"):
        _write_inside(canvas, words)
    return canvas.rows()


def _write_inside(canvas: Canvas, words: Words) -> None:
    """Words a little off the edge they are about, where the leaf has room for them."""
    (edge, level), (far, _) = words.along
    inward = (_OFF_EDGE + len(words.text) / 2) * canvas.viewport.feet_per_cell
    if abs(far - edge) > 2 * inward:
        canvas.text((edge + inward if far > edge else edge - inward, level), words.text, "muted", centred=True)
