"""The plan from above: fence lines, posts, gates with their swing, trees, keep-outs, walls, boundary, yards."""

from functools import lru_cache

from engine.drawing.shapes import Area, Circle, Drawing, Mark, Role, Shape, Stroke
from tui.widgets.canvas import Canvas, Run
from tui.widgets.ink import Lettering, Pen, Signs, draw, letter
from tui.widgets.picture_view import DrawingView
from tui.widgets.viewport import Point, Viewport, bounds_of, fit, round_length

POST_LETTERS = {"corner": "C", "end": "E", "gate": "G", "tee": "T", "structure": "S", "tree": "Y"}
BURIED = {
    **{kind: kind for kind in ("electric", "gas", "comms", "water", "reclaimed", "sewer")},
    **{"communication": "comms", "irrigation": "reclaimed", "lighting": "electric", "septic": "sewer", "overhead": "electric"},
}
"""What runs below the ground, in the colours of the APWA code."""
GROUND: dict[Role, Pen] = {
    "keepout": Pen("keepout", dash=1, hatched_cells=3.0, kinds=BURIED),
    "boundary": Pen("boundary", dash=4),
    "wall": Pen("wall"),
    "tree": Pen("tree"),
}
"""The quiet ground, below all else."""
PENS: dict[Role, Pen] = {
    "brace": Pen("brace"),
    "swing": Pen("gate"),
    "leaf": Pen("gate", dash=1),
    "shut": Pen("gate", weight=2),
    "bare": Pen("fence", weight=2, lights=True),
    "fence": Pen("fence", weight=2, lights=True),
    "going": Pen("ghost", dash=1),
}
LETTERINGS: dict[Role, Lettering] = {
    "going": Lettering("chosen", centred=False),
    "post": Lettering("label", centred=False),
    "gate": Lettering("gate", centred=False),
    "yard": Lettering("yard"),
    "keepout": Lettering("keepout", kinds=BURIED),
    "tree": Lettering("tree", centred=False),
}


class PlanView(DrawingView):
    """A plan that pans, zooms, fits and lets a post, bay, gate, tree or keep-out be chosen."""

    EMPTY = "No points measured yet."

    def frame(self, picture: Drawing, width: int, height: int) -> Viewport:
        """All of the site."""
        return fit(plan_bounds(picture), width, height)

    def paint(self, picture: Drawing, viewport: Viewport) -> list[list[Run]]:
        """Rows of the plan."""
        return paint_plan(picture, viewport, self.chosen, self.plain)


def plan_bounds(picture: Drawing) -> tuple[float, float, float, float]:
    """What the fence, the walls and the trees reach over; while there are none, the points."""
    near: list[Point] = [point for run in picture.of(Stroke, "fence", "bare", "wall") for point in run.points]
    near += [tree.centre for tree in picture.of(Circle, "tree")]
    return bounds_of(near or [point.pos for point in picture.of(Mark, "point")], least_ft=10.0)


def paint_plan(picture: Drawing, viewport: Viewport, chosen: str | None = None, plain: bool = False) -> list[list[Run]]:
    """Rows of the plan: quiet ground first, the fence over it, then marks and labels with the chosen thing before all."""
    canvas = _ground(
        tuple(shape for shape in picture.shapes if isinstance(shape, Stroke | Area | Circle) and shape.role in GROUND), viewport, plain
    ).copy()
    draw(canvas, picture.shapes, PENS, chosen)
    draw_scale(canvas)
    letter(canvas, picture, SIGNS, LETTERINGS, chosen)
    return canvas.rows()


@lru_cache(maxsize=4)
def _ground(shapes: tuple[Shape, ...], viewport: Viewport, plain: bool) -> Canvas:
    """The quiet ground, which stays while the crew walks along the posts."""
    canvas = Canvas(viewport, plain)
    draw(canvas, shapes, GROUND)
    return canvas


def draw_scale(canvas: Canvas) -> None:
    """North arrow in the top right corner and a scale bar in the bottom left."""
    width, height = canvas.viewport.width, canvas.viewport.height
    if width < 16 or height < 5:
        return
    feet = round_length(canvas.viewport.feet_per_cell * min(width / 4, 24))
    cells = max(round(feet / canvas.viewport.feet_per_cell), 2)
    left, bar, right = "|-|" if canvas.plain else "├─┤"
    canvas.put(0, height - 1, f"{left}{bar * (cells - 2)}{right} {feet:g} ft ", "scale")
    canvas.put(width - 2, 0, "N ", "scale")
    canvas.put(width - 2, 1, "^ " if canvas.plain else "↑ ", "scale")


def _post_sign(post: Mark, plain: bool) -> tuple[str, str]:
    """The letter of its kind; a line post is a ring, filled once it stands."""
    done = post.state == "done"
    ring = ("O" if done else "o") if plain else ("●" if done else "○")
    return POST_LETTERS.get(post.kind, ring), post.state if post.state in ("stop", "fix", "done") else "post"


SIGNS: Signs = {
    "goes to": lambda _mark, plain: ("@" if plain else "◎", "chosen"),
    "goes from": lambda _mark, plain: ("x" if plain else "×", "ghost"),
    "post": _post_sign,
    "old sleeve": lambda _mark, plain: ("%" if plain else "⊗", "ghost"),
    "tree": lambda _mark, plain: ("Y" if plain else "♣", "tree"),
}
