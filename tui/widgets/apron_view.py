"""The apron along one bay: ground, bottom cable, lower edge of the wire, and below it the apron of every foot, infill and stakes."""

from dataclasses import replace
from math import floor

from engine.drawing.shapes import Drawing, Mark, Role, Stroke, Words
from tui.canvas.canvas import Canvas, Run
from tui.canvas.ink import Lettering, Pen, Signs, draw, letter
from tui.canvas.viewport import Viewport, bounds_of
from tui.widgets.picture_view import DrawingView
from tui.widgets.profile_view import RULER_ROWS, frame_profile, ruler

FOOT_ROWS = 3
"""Rows below the ruler: apron, infill, stakes."""
HEAD = 7
"""Cells that the name of such a row takes."""


PENS: dict[Role, Pen] = {
    "wire": Pen("wire", dash=1),
    "hem": Pen("wire", dash=2),
    "ground": Pen("ground", weight=2),
    "cable": Pen("cable"),
    "pole": Pen("post", weight=3),
}
SIGNS: Signs = {"eye": lambda _mark, _plain: ("o", "eye")}
LETTERINGS: dict[Role, Lettering] = {"post": Lettering("label", up=1)}
FIGURES = {"hole": "stop", "short": "fix"}
"""The colours of an apron that is none, or not enough."""


class ApronView(DrawingView):
    """A bay as wide as the space; `[` and `]` go to the bay before and after."""

    EMPTY = "No bay with wire yet."

    def frame(self, picture: Drawing, width: int, height: int) -> Viewport:
        return frame_apron(picture, width, height)

    def moved(self, held: Viewport, width: int, height: int) -> Viewport:
        """The held stretch above the rows of figures."""
        return replace(held, width=width, height=max(height - RULER_ROWS - FOOT_ROWS, 1))

    def paint(self, picture: Drawing, viewport: Viewport) -> list[list[Run]]:
        return paint_apron(picture, viewport, self.plain)

    def watch_picture(self, before: Drawing | None, now: Drawing | None) -> None:
        """Another bay is shown whole."""
        if before is None or now is None or before.id != now.id:
            self.held = None
        super().watch_picture(before, now)


def frame_apron(picture: Drawing, width: int, height: int) -> Viewport:
    """A viewport for the whole bay, beside the names of the rows below it."""
    drawn = picture.of(Stroke, "ground", "cable", "hem")
    left, bottom, right, top = bounds_of([point for stroke in drawn for point in stroke.points], least_ft=2.0)
    aside_ft = (right - left) * HEAD / max(width - 2 * HEAD, 1)
    return frame_profile((left - aside_ft, bottom, right, top), width, max(height - FOOT_ROWS, RULER_ROWS + 1))


def paint_apron(picture: Drawing, viewport: Viewport, plain: bool) -> list[list[Run]]:
    """Rows of the bay: wire down from the cable at every foot, ground, cable, posts, then the ruler and the rows of figures."""
    canvas = Canvas(viewport, plain)
    draw(canvas, picture.shapes, PENS)
    letter(canvas, picture, SIGNS, LETTERINGS)
    times = viewport.exaggeration
    canvas.put(0, 0, f"heights drawn {times:g}x " if times != 1 else "heights drawn to scale ", "scale")
    return canvas.rows() + ruler(viewport, plain) + _figures(picture, viewport, plain)


def _figures(picture: Drawing, viewport: Viewport, plain: bool) -> list[list[Run]]:
    """Three rows: inches of apron, the worst first where there isn't room for all; infill pieces; stakes and fastened spots."""
    strip = Canvas(replace(viewport, height=FOOT_ROWS), plain)
    for row, word in enumerate(("apron", "infill", "stakes")):
        strip.put(0, row, word, "scale")
    taken: list[tuple[int, int]] = [(0, HEAD - 1)]
    for foot in sorted(picture.of(Words, "apron"), key=lambda foot: foot.rank):
        column = _column(viewport, foot.pos[0]) - len(foot.text) // 2
        last = column + len(foot.text)
        if last < viewport.width and all(last < low or column > high for low, high in taken):
            taken.append((column, last))
            strip.put(column, 0, foot.text, FIGURES.get(foot.kind, "label"))
    for piece in picture.of(Stroke, "infill"):
        start, end = (_column(viewport, station) for station, _ in piece.points)
        low, wide, name = max(start, HEAD), end - start, piece.id
        strip.put(low, 1, f"[{name.center(wide - 2, '=')}]" if wide > len(name) + 1 else name, "fix")
    for mark in picture.of(Mark, "stake", "fastened"):
        strip.put(_column(viewport, mark.pos[0]), 2, "v" if mark.role == "stake" else "#", "label")
    return strip.rows()


def _column(viewport: Viewport, station_ft: float) -> int:
    return floor(viewport.to_cell((station_ft, 0.0))[0])
