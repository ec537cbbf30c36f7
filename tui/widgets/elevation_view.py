"""A gate seen from the yard: posts, leaves, tension wires, hinges, latches, and the ground under the swing."""

from collections.abc import Iterator

from tui.widgets.canvas import Canvas, Run
from tui.widgets.picture import GateLeaf, GatePicture
from tui.widgets.picture_view import PictureView, Thing
from tui.widgets.viewport import Point, Viewport, bounds_of, fit

_MARGIN = (8, 2)
_OFF_EDGE = 3


class ElevationView(PictureView[GatePicture]):
    """A small picture of one gate, drawn to true scale."""

    EMPTY = "No gate chosen."

    def frame(self, picture: GatePicture, width: int, height: int) -> Viewport:
        """The whole gate."""
        points: list[Point] = list(picture.ground)
        points += [corner for leaf in picture.leaves for corner in _corners(leaf)]
        points += [end for post in picture.posts for end in post]
        return fit(bounds_of(points, least_ft=2.0), width, height, _MARGIN)

    def paint(self, picture: GatePicture, viewport: Viewport) -> list[list[Run]]:
        """Rows of the gate."""
        return paint_gate(picture, viewport, self.plain)

    def things(self, picture: GatePicture) -> Iterator[Thing]:
        """The gate, by the edges of its leaves."""
        yield from ((picture.id, (*_corners(leaf), _corners(leaf)[0])) for leaf in picture.leaves)


def paint_gate(picture: GatePicture, viewport: Viewport, plain: bool = False) -> list[list[Run]]:
    """Rows of the gate: H marks a hinge, L a latch; both diagonals that are measured are dotted, the face wire drawn over its own."""
    canvas = Canvas(viewport, plain)
    canvas.polyline(picture.ground, "ground", weight=2)
    for leaf in picture.leaves:
        low_left, low_right, top_right, top_left = _corners(leaf)
        canvas.line(low_left, top_right, "muted", dash=3)
        canvas.line(low_right, top_left, "muted", dash=3)
    for a, b in picture.wires:
        canvas.line(a, b, "cable", dash=1)
    for foot, top in picture.posts:
        canvas.line(foot, top, "post", weight=3)
    for leaf in picture.leaves:
        canvas.polyline(_corners(leaf), "gate", weight=2, closed=True)
    for hinge in picture.hinges:
        canvas.mark(hinge, "H", "label")
    for latch in picture.latches:
        canvas.mark(latch, "L", "label")
    for label in picture.labels:
        canvas.text(label.pos, label.text, label.role, centred=True)
    for leaf in picture.leaves:
        _name_hinge_side(canvas, leaf)
    return canvas.rows()


def _name_hinge_side(canvas: Canvas, leaf: GateLeaf) -> None:
    """The words `hinge side` inside the leaf, a little off its hinged edge."""
    inward = _OFF_EDGE * canvas.viewport.feet_per_cell
    words = len("hinge side") / 2 * canvas.viewport.feet_per_cell
    edge = leaf.left_ft + inward + words if leaf.hinge_side == "left" else leaf.left_ft + leaf.width_ft - inward - words
    if leaf.width_ft > 2 * (inward + words):
        canvas.text((edge, leaf.bottom_ft + 0.4 * leaf.height_ft), "hinge side", "muted", centred=True)


def _corners(leaf: GateLeaf) -> tuple[Point, ...]:
    right, top = leaf.left_ft + leaf.width_ft, leaf.bottom_ft + leaf.height_ft
    return (leaf.left_ft, leaf.bottom_ft), (right, leaf.bottom_ft), (right, top), (leaf.left_ft, top)
