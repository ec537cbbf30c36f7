"""The plan from above: fence lines, posts, gates with their swing, trees, keep-outs, walls, boundary, yards."""

from dataclasses import dataclass
from functools import lru_cache
from math import floor

from engine.drawing.name_places import NameSpot, Taken
from engine.drawing.plan_signs import BURIED_LETTERS
from engine.drawing.shapes import Area, Circle, Drawing, Mark, Role, Shape, Stroke, middle_of
from engine.drawing.site_shapes import BUILDINGS
from tui.canvas.canvas import Canvas, Run
from tui.canvas.ink import SOLID, Lettering, Pen, Signs, bead, draw, is_wide
from tui.canvas.viewport import Point, Viewport, bounds_of, fit, round_length
from tui.widgets.picture_view import DrawingView
from tui.widgets.plan_names import Written, taken_by, write_chosen, write_names

POST_LETTERS = {"corner": "C", "end": "E", "gate": "G", "tee": "T", "structure": "S", "tree": "Y"}
BURIED = {
    **{kind: kind for kind in ("electric", "gas", "comms", "water", "reclaimed", "sewer")},
    **{"communication": "comms", "irrigation": "reclaimed", "lighting": "electric", "septic": "sewer", "overhead": "electric"},
}
"""What runs below the ground, in the colours of the APWA code."""
ZONES = {kind: Pen(colour, dash=1, hatched_cells=3.0, least_cells=2.0) for kind, colour in BURIED.items()}
"""Where nothing is driven along buried lines: shown from near by; from afar the line itself says it, for all else a mark."""
GROUND: dict[Role, Pen] = {
    "yard": Pen("yard-tint", tints=True),
    "deck": Pen("deck", fill="▒", plain="="),
    "keepout": Pen("keepout", dash=1, hatched_cells=0.0, least_cells=2.0, of_kind=ZONES),
    "boundary": Pen("boundary", dash=(8, 3, 2, 3), plain="~"),
    "buried": Pen("buried", dash=(3, 2), plain=":", kinds=BURIED, beads=BURIED_LETTERS),
    "house": Pen("wall", fill=SOLID, plain="#"),
    "wall": Pen("wall", weight=2, of_kind={kind: Pen("wall", weight=0) for kind in BUILDINGS}),
    "tree": Pen("tree", plain="()"),
}
"""The quiet ground, below all else."""
FENCE: dict[str, Pen] = {
    "planned": Pen("fence", dash=(2, 4), weight=2),
    "posts in": Pen("fence", dash=(8, 4), weight=2, plain="-|"),
    "cabled": Pen("fence"),
    "hung": Pen("fence", weight=3, plain="=H"),
}
"""The fence by how far the work is in each bay: dotted, dashed, thin, full."""
PENS: dict[Role, Pen] = {
    "brace": Pen("brace"),
    "swing": Pen("gate", dash=1),
    "leaf": Pen("gate", dash=2),
    "shut": Pen("gate", weight=2),
    "bare": Pen("fence", weight=2, lights=True),
    "fence": Pen("fence", weight=2, lights=True, of_kind=FENCE),
    "moved": Pen("ghost", dash=1),
    "going": Pen("ghost", dash=1),
}
LETTERINGS: dict[Role, Lettering] = {
    "going": Lettering("chosen"),
    "post": Lettering("label"),
    "gate": Lettering("gate"),
    "yard": Lettering("yard"),
    "keepout": Lettering("keepout"),
    "deck": Lettering("label"),
    "buried": Lettering("buried", kinds=BURIED),
    "house": Lettering("label"),
    "wall": Lettering("label"),
    "tree": Lettering("tree"),
    "old sleeve": Lettering("ghost"),
    "bay length": Lettering("muted"),
}


LIGHTS: dict[Role, Pen] = {role: pen for role, pen in PENS.items() if pen.lights}
NO_LINES: tuple[Role, ...] = ("yard", "going", "moved", "surveyed")
"""What names may lie on."""


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
    """What the fence, the buildings and the trees reach over; while there are none, the points."""
    near: list[Point] = [point for run in picture.of(Stroke, "fence", "bare", "wall") for point in run.points]
    near += [corner for solid in picture.of(Area, "house", "deck") for corner in solid.points]
    near += [tree.centre for tree in picture.of(Circle, "tree")]
    return bounds_of(near or [point.pos for point in picture.of(Mark, "point")], least_ft=10.0)


def paint_plan(picture: Drawing, viewport: Viewport, chosen: str | None = None, plain: bool = False) -> list[list[Run]]:
    """Rows of the plan: all of it as it stands, and over that the chosen thing, whose mark and lines are strong."""
    still = _still(_Same(picture), viewport, plain)
    if not chosen:
        return still.canvas.rows()
    canvas = still.canvas.copy()
    draw(canvas, (shape for shape in picture.of(Stroke) if chosen in (shape.id, shape.group)), LIGHTS, chosen)
    for mark in picture.of(Mark):
        if mark.id == chosen and mark.role in SIGNS:
            canvas.put(*canvas.cell(mark.pos), SIGNS[mark.role](mark, plain)[0], "chosen")
    write_chosen(canvas, picture, LETTERINGS, still.taken, still.written, chosen)
    return canvas.rows()


@dataclass(frozen=True)
class _Still:
    """The plan with nothing chosen; what keeps names off, names left out; and the names that are in it."""

    canvas: Canvas
    taken: Taken
    written: Written


@lru_cache(maxsize=4)
def _still(same: "_Same", viewport: Viewport, plain: bool) -> _Still:
    """Quiet ground first, the fence over it, then marks and names: it stays while the crew walks along the posts."""
    picture = same.picture
    canvas = Canvas(viewport, plain)
    draw(canvas, picture.shapes, GROUND)
    draw(canvas, picture.shapes, PENS)
    taken = taken_by(viewport, (shape for shape in picture.shapes if _keeps_names_off(shape, viewport)))
    for spot in draw_scale(canvas):
        taken.add(spot)
    marks: dict[int, list[tuple[int, str]]] = {}
    for mark in sorted(picture.of(Mark), key=lambda one: one.rank):
        if mark.role in SIGNS:
            canvas.mark(mark.pos, *SIGNS[mark.role](mark, plain))
            column, row = canvas.cell(mark.pos)
            marks.setdefault(row, []).append((column, mark.id))
            taken.add(_mark_spot(viewport, mark))
    for area in picture.of(Area, "keepout"):
        if (
            area.kind not in BURIED
            and not is_wide(area, GROUND["keepout"], viewport)
            and canvas.mark(middle_of(area.points), _small(plain), "keepout")
        ):
            taken.add(_cell_spot(viewport, middle_of(area.points)))
    bead(canvas, picture.shapes, GROUND)
    return _Still(canvas, taken, write_names(canvas, picture, LETTERINGS, taken.copy(), marks))


def _keeps_names_off(shape: Shape, viewport: Viewport) -> bool:
    """Whether a shape has lines that are drawn."""
    if shape.role in NO_LINES or shape.role not in {*GROUND, *PENS}:
        return False
    return not isinstance(shape, Area) or shape.role not in GROUND or is_wide(shape, GROUND[shape.role], viewport)


def _small(plain: bool) -> str:
    return "*" if plain else "▨"


def _mark_spot(viewport: Viewport, mark: Mark) -> NameSpot:
    """The cell of a mark; a tree's ring reaches over the next ones."""
    return _cell_spot(viewport, mark.pos, 1.0 if mark.role == "tree" else 0.0)


def _cell_spot(viewport: Viewport, place: Point, aside: float = 0.0) -> NameSpot:
    column, row = (float(floor(at)) for at in viewport.to_cell(place))
    return NameSpot(column - aside, row, column + 1 + aside, row + 1)


class _Same:
    """A picture looked up as the very object it is, for to compare two takes as long as to draw one."""

    def __init__(self, picture: Drawing) -> None:
        self.picture = picture

    def __hash__(self) -> int:
        return id(self.picture)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.picture is self.picture


def draw_scale(canvas: Canvas) -> list[NameSpot]:
    """North arrow in the top right corner and a scale bar in the bottom left; where they stand."""
    width, height = canvas.viewport.width, canvas.viewport.height
    if width < 16 or height < 5:
        return []
    feet = round_length(canvas.viewport.feet_per_cell * min(width / 4, 24))
    cells = max(round(feet / canvas.viewport.feet_per_cell), 2)
    left, bar, right = "|-|" if canvas.plain else "├─┤"
    says = f"{left}{bar * (cells - 2)}{right} {feet:g} ft "
    canvas.put(0, height - 1, says, "scale")
    canvas.put(width - 2, 0, "N ", "scale")
    canvas.put(width - 2, 1, "^ " if canvas.plain else "↑ ", "scale")
    return [NameSpot(0.0, height - 1.0, float(len(says)), float(height)), NameSpot(width - 2.0, 0.0, float(width), 2.0)]


def _post_sign(post: Mark, plain: bool) -> tuple[str, str]:
    """The letter of its kind; a line post is a ring, filled once it stands."""
    done = post.state == "done"
    ring = ("O" if done else "o") if plain else ("●" if done else "○")
    return POST_LETTERS.get(post.kind, ring), post.state if post.state in ("stop", "fix", "done") else "post"


SIGNS: Signs = {
    "goes to": lambda _mark, plain: ("@" if plain else "◆", "chosen"),
    "goes from": lambda _mark, plain: ("o" if plain else "◇", "ghost"),
    "post": _post_sign,
    "old sleeve": lambda _mark, plain: ("%" if plain else "⊗", "ghost"),
    "tree": lambda _mark, plain: ("Y" if plain else "♣", "tree"),
}
