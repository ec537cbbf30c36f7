"""The plan from above: fence lines, posts, gates with their swing, trees, keep-outs, walls, boundary, yards."""

from collections import deque
from dataclasses import dataclass
from functools import lru_cache
from math import floor

from textual.reactive import reactive

from engine.calc.units import bare_unit, unit_ft
from engine.drawing.name_places import NameSpot, Taken
from engine.drawing.shapes import Area, Circle, Drawing, Mark, Role, Shape, Stroke, Words, middle_of
from tui.base.commands import Command, bindings
from tui.canvas.canvas import Canvas, Run
from tui.canvas.ink import Pen, bead, draw, is_wide
from tui.canvas.plan_legend import legend
from tui.canvas.plan_names import Written, taken_by, write_chosen, write_names
from tui.canvas.plan_pens import BURIED, GROUND, LETTERINGS, PENS, SIGNS, keepout_sign
from tui.canvas.viewport import Bounds, Point, Viewport, bounds_of, fit, round_length
from tui.widgets.picture_view import DrawingView

DRAWN: dict[Role, Pen] = {**GROUND, **PENS}
LIGHTS: dict[Role, Pen] = {role: pen for role, pen in PENS.items() if pen.lights}
NO_LINES: tuple[Role, ...] = ("yard", "going")
"""What names may lie on."""

CLOSE_MARGIN = (5, 1)
ROOMY = (48, 28)
"""Columns and rows of a picture that tells its signs unasked."""
PLAN_COMMANDS = (Command("signs", "k", "Signs", "What the signs of the plan mean, below it; once more takes them away.", "Picture"),)


class PlanView(DrawingView):
    """A plan that pans, zooms, fits and lets a post, bay, gate, tree or keep-out be chosen."""

    BINDINGS = bindings(PLAN_COMMANDS)
    EMPTY = "No points measured yet."

    signs: reactive[bool | None] = reactive(None, repaint=False)
    """Whether the signs are told below the picture; None where room decides."""

    def watch_signs(self) -> None:
        self.draw_anew()

    def room(self) -> tuple[int, int]:
        """What the signs below it leave."""
        width, height = self.size
        return width, height - len(self._legend())

    def action_signs(self) -> None:
        self.signs = not self._legend()

    def _legend(self) -> list[list[Run]]:
        width, height = self.size
        shown = (width >= ROOMY[0] and height >= ROOMY[1]) if self.signs is None else self.signs
        return _told(_Same(self.picture), width, height // 2, self.plain) if shown and self.picture is not None else []

    def frame(self, picture: Drawing, width: int, height: int) -> Viewport:
        if picture.opens_on:
            return fit(bounds_of(picture.opens_on, least_ft=10.0), width, height, CLOSE_MARGIN)
        return fit(_bounds(_Same(picture)), width, height)

    def paint(self, picture: Drawing, viewport: Viewport) -> list[list[Run]]:
        return [*paint_plan(picture, viewport, self.chosen, self.plain), *self._legend()]


@lru_cache(maxsize=4)
def _told(same: "_Same", width: int, most_rows: int, plain: bool) -> list[list[Run]]:
    return legend(same.picture, width, most_rows, plain)


@lru_cache(maxsize=4)
def _bounds(same: "_Same") -> Bounds:
    return plan_bounds(same.picture)


def plan_bounds(picture: Drawing) -> Bounds:
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
    """Lines first, then marks and names: it stays while the crew walks along the posts."""
    picture = same.picture
    drawn = tuple(shape for shape in picture.shapes if shape.role in DRAWN and not isinstance(shape, Mark | Words))
    lines, kept_off = _lines(drawn, viewport, plain)
    canvas, taken = lines.copy(), kept_off.copy()
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
            and (area.kind == "rock" or not is_wide(area, GROUND["keepout"], viewport))
            and canvas.mark(middle_of(area.points), keepout_sign(area.kind, plain), "keepout")
        ):
            taken.add(_cell_spot(viewport, middle_of(area.points)))
    bead(canvas, picture.shapes, GROUND)
    return _Still(canvas, taken, write_names(canvas, picture, LETTERINGS, taken.copy(), marks))


_kept: deque[tuple[tuple[Shape, ...], Viewport, bool, tuple[Canvas, Taken]]] = deque(maxlen=4)


def _lines(shapes: tuple[Shape, ...], viewport: Viewport, plain: bool) -> tuple[Canvas, Taken]:
    """Quiet ground and the fence over it, and where they keep names off: they stay through most ticks. Found again by comparing, which is
    quick for shapes that are the very same, where a hash of them all is not."""
    for there, view, plainly, lines in tuple(_kept):
        if plainly is plain and view == viewport and there == shapes:
            return lines
    canvas = Canvas(viewport, plain)
    draw(canvas, shapes, DRAWN)
    seen = (shape for shape in shapes if shape.role not in NO_LINES)
    wide = (shape for shape in seen if not isinstance(shape, Area) or is_wide(shape, GROUND[shape.role], viewport))
    lines = canvas, taken_by(viewport, wide)
    _kept.appendleft((shapes, viewport, plain, lines))
    return lines


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
    cell = canvas.viewport.feet_per_cell / unit_ft("ft")
    long = round_length(cell * min(width / 4, 24))
    cells = max(round(long / cell), 2)
    left, bar, right = "|-|" if canvas.plain else "├─┤"
    says = f"{left}{bar * (cells - 2)}{right} {long:g} {bare_unit('ft')} "
    canvas.put(0, height - 1, says, "scale")
    canvas.put(width - 2, 0, "N ", "scale")
    canvas.put(width - 2, 1, "^ " if canvas.plain else "↑ ", "scale")
    return [NameSpot(0.0, height - 1.0, float(len(says)), float(height)), NameSpot(width - 2.0, 0.0, float(width), 2.0)]
