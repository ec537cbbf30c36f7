"""A post and its braces from above: the arms of the fence, the pull, every brace foot with its distance, keep-outs beside it."""

from textwrap import wrap

from engine.calc.geometry.plane import Point
from engine.drawing.shapes import Area, Drawing, Role, Stroke
from tui.canvas.canvas import Canvas, Run
from tui.canvas.ink import Lettering, Pen, Signs, draw, letter
from tui.canvas.plan_pens import BURIED, GROUND
from tui.canvas.viewport import Viewport, bounds_of, fit
from tui.widgets.picture_view import DrawingView
from tui.widgets.plan_view import draw_scale

_MARGIN = (2, 1.5)
PENS: dict[Role, Pen] = {
    "deck": GROUND["deck"],
    "keepout": Pen("keepout", dash=1, hatched_cells=0.0, kinds=BURIED),
    "fence": Pen("fence", weight=2),
    "brace": Pen("brace", dash=2, weight=2),
    "pull": Pen("chosen-line", weight=2),
}
LETTERINGS: dict[Role, Lettering] = {
    "brace": Lettering("brace", centred=False, kinds={"blocked": "fix"}),
    "pull": Lettering("chosen", centred=False),
    "post": Lettering("label", centred=False),
    "arm": Lettering("fence", centred=False),
    "keepout": Lettering("keepout", kinds=BURIED),
    "deck": Lettering("label"),
}


class CornerView(DrawingView):
    """A corner to scale; `[` and `]` go to the braced post before and after."""

    EMPTY = "No post is braced yet."

    def frame(self, picture: Drawing, width: int, height: int) -> Viewport:
        return frame_corner(picture, width, height)

    def paint(self, picture: Drawing, viewport: Viewport) -> list[list[Run]]:
        return paint_corner(picture, viewport, self.plain)


def frame_corner(picture: Drawing, width: int, height: int) -> Viewport:
    """A viewport for the post and all its feet."""
    (frame,) = picture.of(Area, "frame")
    return fit(bounds_of(frame.points), width, height, _MARGIN)


def paint_corner(picture: Drawing, viewport: Viewport, plain: bool) -> list[list[Run]]:
    """Rows of the corner: `x` marks a brace foot, the arrow and its letters the pull."""
    canvas = Canvas(viewport, plain)
    draw(canvas, picture.shapes, PENS)
    beside_north = max(viewport.width - 3, 1)
    for row, words in enumerate(part for says in picture.says for part in wrap(says, beside_north)):
        canvas.put(0, row, f"{words} ", "label")
    draw_scale(canvas)
    letter(canvas, picture, _signs(picture), LETTERINGS)
    return canvas.rows()


def _signs(picture: Drawing) -> Signs:
    """The post, its feet, and the arrow that stands for the pull, turned its way."""
    tails = {pull.points[1]: pull.points[0] for pull in picture.of(Stroke, "pull")}
    return {
        "post": lambda _mark, _plain: ("O", "chosen"),
        "foot": lambda foot, _plain: ("!", "fix") if foot.kind == "blocked" else ("x", "brace"),
        "pull": lambda pull, plain: (arrow(tails[pull.pos], pull.pos, plain), "chosen"),
    }


def arrow(tail: Point, tip: Point, plain: bool = False) -> str:
    """The sign nearest to the way from tail to tip, of eight; of four in plain characters."""
    east, north = tip[0] - tail[0], tip[1] - tail[1]
    if plain:
        return (">" if east > 0 else "<") if abs(east) >= abs(north) else ("^" if north > 0 else "v")
    steep = abs(north) > 2.414 * abs(east)
    flat = abs(east) > 2.414 * abs(north)
    column = 0 if steep else (1 if east > 0 else -1)
    row = 0 if flat else (1 if north > 0 else -1)
    return _ARROWS[row, column]


_ARROWS = {(1, 0): "↑", (1, 1): "↗", (0, 1): "→", (-1, 1): "↘", (-1, 0): "↓", (-1, -1): "↙", (0, -1): "←", (1, -1): "↖", (0, 0): "·"}
