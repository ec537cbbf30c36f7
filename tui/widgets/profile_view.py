"""One line from the side: ground, supports with eyes and driven depth, cables with sag, wire, gates, and a station ruler."""

from collections.abc import Iterator
from dataclasses import replace
from math import ceil, floor

from tui.base.theme import PLAIN_SIGNS, SIGNS, urgency
from tui.widgets.canvas import Canvas, Run
from tui.widgets.picture import ProfilePicture, ProfileSupport
from tui.widgets.picture_view import PictureView, Thing
from tui.widgets.viewport import CELL_ASPECT, Bounds, Point, Viewport, bounds_of, fit, round_length

RULER_ROWS = 2
EXAGGERATIONS = (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
_MARGIN = (4, 2)


class ProfileView(PictureView[ProfilePicture]):
    """A profile that pans and zooms along the line; heights are drawn as tall as the space allows, and the picture says so."""

    EMPTY = "No ground measured on this line yet."

    def frame(self, picture: ProfilePicture, width: int, height: int) -> Viewport:
        """The whole line."""
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

    def paint(self, picture: ProfilePicture, viewport: Viewport) -> list[list[Run]]:
        """Rows of the profile and its ruler."""
        return paint_profile(picture, viewport, self.chosen, self.plain)

    def things(self, picture: ProfilePicture) -> Iterator[Thing]:
        """Supports and gates by their whole height, then cables."""
        for support in picture.supports:
            yield support.id, (_foot(support), (support.station_ft, support.top_ft))
        for gate in picture.gates:
            middle = (gate.start_ft + gate.end_ft) / 2
            yield gate.id, ((middle, gate.bottom_ft), (middle, gate.top_ft))
        yield from ((cable.id, cable.points) for cable in picture.cables)


def profile_bounds(picture: ProfilePicture) -> Bounds:
    """First and last station, lowest and highest level of all that is drawn."""
    points: list[Point] = list(picture.ground)
    for support in picture.supports:
        points += [_foot(support), (support.station_ft, support.top_ft)]
    for gate in picture.gates:
        points += [(gate.start_ft, gate.bottom_ft), (gate.end_ft, gate.top_ft)]
    return bounds_of(points, least_ft=4.0)


def frame_profile(bounds: Bounds, width: int, height: int) -> Viewport:
    """A viewport for all of `bounds` above the ruler, heights as tall as the space allows."""
    rows = max(height - RULER_ROWS, 1)
    feet = (bounds[2] - bounds[0]) / max(width - 2 * _MARGIN[0], 1)
    return fit(bounds, width, rows, _MARGIN, _exaggeration(feet, bounds, rows))


def paint_profile(picture: ProfilePicture, viewport: Viewport, chosen: str | None = None, plain: bool = False) -> list[list[Run]]:
    """Rows of the profile: wire, then ground, cables, gates and supports, then marks and labels, then the ruler."""
    canvas = Canvas(viewport, plain)
    for piece in picture.wire:
        canvas.polyline(piece, "wire", dash=1)
    canvas.polyline(picture.ground, "ground", weight=2)
    for cable in picture.cables:
        canvas.polyline(cable.points, "chosen-line" if chosen and cable.id == chosen else "cable")
    _draw_gates(canvas, picture)
    for support in picture.supports:
        _draw_support(canvas, support, support.id == chosen)
    _say_scale(canvas, picture)
    _label_profile(canvas, picture, chosen)
    return canvas.rows() + ruler(viewport, plain)


def ruler(viewport: Viewport, plain: bool = False) -> list[list[Run]]:
    """Two rows: a line with ticks at round stations, and their numbers in feet."""
    strip = Canvas(replace(viewport, height=RULER_ROWS), plain)
    strip.put(0, 0, ("-" if plain else "─") * viewport.width, "scale")
    step = round_length(viewport.feet_per_cell * 14)
    first, last = viewport.to_world((0, 0))[0], viewport.to_world((viewport.width - 1, 0))[0]
    for number in range(ceil(first / step), floor(last / step) + 1):
        column = floor(viewport.to_cell((number * step, 0))[0])
        text = f"{number * step:g} ft"
        strip.put(column, 0, "+" if plain else "┬", "scale")
        if column - len(text) // 2 >= 0 and column - len(text) // 2 + len(text) <= viewport.width:
            strip.put(column - len(text) // 2, 1, text, "scale")
    return strip.rows()


def _exaggeration(feet_per_cell: float, bounds: Bounds, rows: int) -> float:
    """The tallest round exaggeration at which every level fits in `rows`; 1 where none does."""
    room = max(rows - 2 * _MARGIN[1], 1)
    most = feet_per_cell * CELL_ASPECT * room / (bounds[3] - bounds[1])
    return max((times for times in EXAGGERATIONS if times <= most), default=1.0)


def _draw_gates(canvas: Canvas, picture: ProfilePicture) -> None:
    for gate in picture.gates:
        low, high = (gate.start_ft, gate.bottom_ft), (gate.end_ft, gate.top_ft)
        canvas.polyline((low, (high[0], low[1]), high, (low[0], high[1])), "gate", closed=True)
        canvas.line(low, high, "gate", dash=1)


def _draw_support(canvas: Canvas, support: ProfileSupport, chosen: bool) -> None:
    """The post above ground, dotted below it as deep as it is driven, and its eyes."""
    at = support.station_ft
    canvas.line(_foot(support), (at, support.ground_ft), "post", dash=1)
    canvas.line((at, support.ground_ft), (at, support.top_ft), "chosen-line" if chosen else "post", weight=3 if chosen else 2)
    for level in support.eyes_ft:
        canvas.mark((at, level), "o", "chosen" if chosen else "eye")


def _say_scale(canvas: Canvas, picture: ProfilePicture) -> None:
    times = canvas.viewport.exaggeration
    sag = f", sag of that {picture.sag_times:g}x more" if picture.cables and picture.sag_times != 1 else ""
    canvas.put(0, 0, f"heights drawn {f'{times:g}x' if times != 1 else 'true'}{sag} ", "scale")


def _label_profile(canvas: Canvas, picture: ProfilePicture, chosen: str | None) -> None:
    signs = PLAIN_SIGNS if canvas.plain else SIGNS
    for support in sorted(picture.supports, key=lambda support: (support.id != chosen, urgency(support.state))):
        above = (support.station_ft, support.top_ft + canvas.viewport.feet_per_row)
        if support.id == chosen:
            canvas.text(above, f"[{chosen}]", "chosen", centred=True, must=True)
        else:
            urgent = support.state in ("stop", "fix")
            canvas.text(above, support.id + signs.get(support.state, ""), support.state if urgent else "label", centred=True)
    for gate in picture.gates:
        middle = ((gate.start_ft + gate.end_ft) / 2, (gate.bottom_ft + gate.top_ft) / 2)
        picked = gate.id == chosen
        canvas.text(middle, f"[{gate.id}]" if picked else gate.id, "chosen" if picked else "gate", centred=True, must=picked)
    for cable in picture.cables:
        if chosen and cable.id == chosen:
            canvas.text(cable.points[len(cable.points) // 2], f"[{chosen}]", "chosen", centred=True)
            break
    for label in picture.labels:
        canvas.text(label.pos, label.text, label.role, centred=True)


def _foot(support: ProfileSupport) -> Point:
    return support.station_ft, support.ground_ft - (support.depth_ft or 0.0)
