"""One line from the side: ground, supports with eyes and driven depth, cables with sag, wire, gates, and a station ruler."""

from dataclasses import replace
from math import ceil, floor

from engine.calc.units import bare_unit, unit_ft
from engine.drawing.shapes import MET, Area, Drawing, Mark, Role, Stroke, Words
from tui.canvas.canvas import Canvas, Run
from tui.canvas.ink import Lettering, Pen, Signs, draw, letter
from tui.canvas.viewport import CELL_ASPECT, Bounds, Viewport, bounds_of, fit, round_length
from tui.widgets.picture_view import DrawingView

RULER_ROWS = 2
EXAGGERATIONS = (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
_MARGIN = (4, 2)
PENS: dict[Role, Pen] = {
    "hem": Pen("wire", dash=1),
    "ground": Pen("ground", weight=2),
    "cable": Pen("cable", lights=True),
    "leaf": Pen("gate", struck=True),
    "sleeve": Pen("post", dash=1),
    "sleeve wanted": Pen("post", dash=1),
    "pole": Pen("post", weight=2, lights=True),
    "bearer": Pen("post", weight=2, lights=True),
}
FRAMED: tuple[Role, ...] = ("ground", "leaf", "sleeve", "sleeve wanted", "pole", "bearer")
SIGNS: Signs = {"eye": lambda _mark, _plain: ("o", "eye")}
LETTERINGS: dict[Role, Lettering] = {"post": Lettering("label", up=1), "gate": Lettering("gate")}


class ProfileView(DrawingView):
    """A profile that pans and zooms along the line; heights are drawn as tall as the space allows, and the picture says so."""

    EMPTY = "No ground measured on this line yet."

    def frame(self, picture: Drawing, width: int, height: int) -> Viewport:
        return frame_profile(profile_bounds(picture), width, height)

    def moved(self, held: Viewport, width: int, height: int) -> Viewport:
        """The held stretch, heights as tall as the space allows at its scale."""
        if self.picture is None:
            return super().moved(held, width, height)
        bounds = profile_bounds(self.picture)
        rows = max(height - RULER_ROWS, 1)
        taller = _exaggeration(held.feet_per_cell, bounds, rows)
        view = replace(held, width=width, height=rows, exaggeration=taller)
        if bounds[3] - bounds[1] <= view.feet_per_row * rows:
            return replace(view, centre=(held.centre[0], (bounds[1] + bounds[3]) / 2))
        return view

    def paint(self, picture: Drawing, viewport: Viewport) -> list[list[Run]]:
        return paint_profile(picture, viewport, self.chosen, self.plain)


def profile_bounds(picture: Drawing) -> Bounds:
    """First and last station, lowest and highest level of all that is drawn."""
    drawn = [shape for shape in _own(picture).shapes if isinstance(shape, Stroke | Area) and shape.role in FRAMED]
    return bounds_of([point for shape in drawn for point in shape.points], least_ft=4.0)


def _own(picture: Drawing) -> Drawing:
    """The line without the posts it meets, which are drawn with theirs."""
    return replace(
        picture, shapes=tuple(shape for shape in picture.shapes if not (isinstance(shape, Stroke | Mark | Words) and shape.group == MET))
    )


def frame_profile(bounds: Bounds, width: int, height: int) -> Viewport:
    """A viewport for all of `bounds` above the ruler, heights as tall as the space allows."""
    rows = max(height - RULER_ROWS, 1)
    feet = (bounds[2] - bounds[0]) / max(width - 2 * _MARGIN[0], 1)
    return fit(bounds, width, rows, _MARGIN, _exaggeration(feet, bounds, rows))


def paint_profile(picture: Drawing, viewport: Viewport, chosen: str | None = None, plain: bool = False) -> list[list[Run]]:
    """Rows of the profile: wire, then ground, cables, gates and supports, then marks and labels, then the ruler."""
    canvas, picture = Canvas(viewport, plain), _own(picture)
    draw(canvas, picture.shapes, PENS, chosen)
    times = viewport.exaggeration
    canvas.put(0, 0, f"{', '.join((f'heights drawn {times:g}x' if times != 1 else 'heights drawn to scale', *picture.says))} ", "scale")
    letter(canvas, picture, SIGNS, LETTERINGS, chosen)
    return canvas.rows() + ruler(viewport, plain)


def ruler(viewport: Viewport, plain: bool = False) -> list[list[Run]]:
    """Two rows: a line with ticks at round stations, and their numbers in feet or metres."""
    strip = Canvas(replace(viewport, height=RULER_ROWS), plain)
    strip.put(0, 0, ("-" if plain else "─") * viewport.width, "scale")
    step = round_length(viewport.feet_per_cell / unit_ft("ft") * 14) * unit_ft("ft")
    first, last = viewport.to_world((0, 0))[0], viewport.to_world((viewport.width - 1, 0))[0]
    for number in range(ceil(first / step), floor(last / step) + 1):
        column = floor(viewport.to_cell((number * step, 0))[0])
        text = f"{number * step / unit_ft('ft'):g} {bare_unit('ft')}"
        strip.put(column, 0, "+" if plain else "┬", "scale")
        if column - len(text) // 2 >= 0 and column - len(text) // 2 + len(text) <= viewport.width:
            strip.put(column - len(text) // 2, 1, text, "scale")
    return strip.rows()


def _exaggeration(feet_per_cell: float, bounds: Bounds, rows: int) -> float:
    """The tallest round exaggeration at which every level fits in `rows`; 1 where none does."""
    room = max(rows - 2 * _MARGIN[1], 1)
    most = feet_per_cell * CELL_ASPECT * room / (bounds[3] - bounds[1])
    return max((times for times in EXAGGERATIONS if times <= most), default=1.0)
