"""A post and its braces from above: the arms of the fence, the pull, every brace foot with its distance, keep-outs beside it."""

from collections.abc import Iterator
from dataclasses import dataclass
from textwrap import wrap

from tui.widgets.canvas import Canvas, Run
from tui.widgets.picture import HatchedArea
from tui.widgets.picture_view import PictureView, Thing
from tui.widgets.plan_view import centre, draw_scale, keep_out_role
from tui.widgets.viewport import Bounds, Point, Viewport, fit

_MARGIN = (2, 1.5)


@dataclass(frozen=True)
class CornerArm:
    """One bay that leaves the post: its far end, as far as it is drawn, and whereto."""

    tip: Point
    toward: str


@dataclass(frozen=True)
class CornerBrace:
    """One brace: its foot, what is written there, and whether the foot is clear."""

    foot: Point
    says: str
    clear: bool = True


@dataclass(frozen=True)
class CornerPicture:
    """One post from above. `pull` is the tip of the arrow that stands for the pull, None without one; `says` stands above it all."""

    id: str
    bounds: Bounds
    post: Point
    arms: tuple[CornerArm, ...]
    braces: tuple[CornerBrace, ...]
    pull: Point | None
    pull_says: str
    says: tuple[str, ...]
    keep_outs: tuple[HatchedArea, ...] = ()
    supports: tuple[str, ...] = ()
    """All posts that can be stepped through."""


class CornerView(PictureView[CornerPicture]):
    """A corner to scale; `[` and `]` go to the braced post before and after."""

    EMPTY = "No post is braced yet."

    def frame(self, picture: CornerPicture, width: int, height: int) -> Viewport:
        """The post and all its feet, below the words."""
        return fit(picture.bounds, width, height, _MARGIN)

    def paint(self, picture: CornerPicture, viewport: Viewport) -> list[list[Run]]:
        """Rows of the corner."""
        return paint_corner(picture, viewport, self.plain)

    def things(self, picture: CornerPicture) -> Iterator[Thing]:
        """The post that is shown, and the others by name for stepping."""
        yield from ((name, (picture.post,)) for name in picture.supports)


def paint_corner(picture: CornerPicture, viewport: Viewport, plain: bool = False) -> list[list[Run]]:
    """Rows of the corner: `x` marks a brace foot, the arrow and its letters the pull."""
    canvas = Canvas(viewport, plain)
    for area in picture.keep_outs:
        canvas.hatch(area.polygon, keep_out_role(area))
        canvas.polyline(area.polygon, keep_out_role(area), dash=1, closed=True)
    for arm in picture.arms:
        canvas.line(picture.post, arm.tip, "fence", weight=2)
    for brace in picture.braces:
        canvas.line(picture.post, brace.foot, "brace", dash=2, weight=2)
    if picture.pull is not None:
        canvas.line(picture.post, picture.pull, "chosen-line", weight=2)
    canvas.mark(picture.post, "O", "chosen")
    beside_north = max(viewport.width - 3, 1)
    for row, words in enumerate(part for says in picture.says for part in wrap(says, beside_north)):
        canvas.put(0, row, f"{words} ", "label")
    draw_scale(canvas)
    _label(canvas, picture)
    return canvas.rows()


def _label(canvas: Canvas, picture: CornerPicture) -> None:
    for brace in picture.braces:
        role = "brace" if brace.clear else "fix"
        canvas.mark(brace.foot, "x" if brace.clear else "!", role)
        canvas.text(brace.foot, brace.says, role)
    if picture.pull is not None:
        canvas.mark(picture.pull, arrow(picture.post, picture.pull, canvas.plain), "chosen")
        canvas.text(picture.pull, picture.pull_says, "chosen")
    canvas.text(picture.post, picture.id, "label")
    for arm in picture.arms:
        canvas.text(arm.tip, f"to {arm.toward}", "fence")
    for area in picture.keep_outs:
        canvas.text(centre(area.polygon), area.id, keep_out_role(area), centred=True)


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
