"""The apron along one bay: ground, bottom cable, lower edge of the wire, and below it the apron of every foot, infill and stakes."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import floor

from tui.widgets.canvas import Canvas, Run
from tui.widgets.picture_view import PictureView, Thing
from tui.widgets.profile_view import RULER_ROWS, frame_profile, ruler
from tui.widgets.viewport import Bounds, Point, Viewport, bounds_of

FOOT_ROWS = 3
"""Rows below the ruler: apron, infill, stakes."""
HEAD = 7
"""Cells that the name of such a row takes."""


@dataclass(frozen=True)
class ApronFoot:
    """One spot of a bay: what is written there, and in which role (`label`, `fix` where it is short, `stop` where it is a hole)."""

    station_ft: float
    text: str
    role: str = "label"


@dataclass(frozen=True)
class ApronPicture:
    """One bay from the side. `lower` is the lower edge of the hanging wire; `pieces` are infill pieces as (from, to, id); `stakes` and
    `fastened` are stations; `bays` are all that can be stepped through."""

    bay: str
    ends: tuple[str, str]
    ground: tuple[Point, ...]
    cable: tuple[Point, ...]
    lower: tuple[Point, ...]
    feet: tuple[ApronFoot, ...]
    pieces: tuple[tuple[float, float, str], ...] = ()
    stakes: tuple[float, ...] = ()
    fastened: tuple[float, ...] = ()
    bays: tuple[str, ...] = ()


class ApronView(PictureView[ApronPicture]):
    """A bay as wide as the space; `[` and `]` go to the bay before and after."""

    EMPTY = "No bay with wire yet."

    def frame(self, picture: ApronPicture, width: int, height: int) -> Viewport:
        """The whole bay, heights as tall as the space allows."""
        return frame_apron(picture, width, height)

    def moved(self, held: Viewport, width: int, height: int) -> Viewport:
        """The held stretch above the rows of figures."""
        return replace(held, width=width, height=max(height - RULER_ROWS - FOOT_ROWS, 1))

    def paint(self, picture: ApronPicture, viewport: Viewport) -> list[list[Run]]:
        """Rows of the bay, its ruler and its figures."""
        return paint_apron(picture, viewport, self.plain)

    def things(self, picture: ApronPicture) -> Iterator[Thing]:
        """The bay by its cable, its supports by their places."""
        yield picture.ends[0], (picture.cable[0],)
        yield picture.ends[1], (picture.cable[-1],)
        yield picture.bay, picture.cable

    def watch_picture(self, before: ApronPicture | None, now: ApronPicture | None) -> None:
        """Another bay is shown whole."""
        if before is None or now is None or before.bay != now.bay:
            self.held = None

    def action_step(self, by: int) -> None:
        """The next or the previous bay."""
        if self.picture is not None and self.picture.bays:
            bays = self.picture.bays
            self.choose(bays[(bays.index(self.picture.bay) + by) % len(bays)])


def frame_apron(picture: ApronPicture, width: int, height: int) -> Viewport:
    """A viewport for the whole bay, beside the names of the rows below it."""
    left, bottom, right, top = _bounds(picture)
    aside_ft = (right - left) * HEAD / max(width - 2 * HEAD, 1)
    return frame_profile((left - aside_ft, bottom, right, top), width, max(height - FOOT_ROWS, RULER_ROWS + 1))


def _bounds(picture: ApronPicture) -> Bounds:
    return bounds_of([*picture.ground, *picture.cable, *picture.lower], least_ft=2.0)


def paint_apron(picture: ApronPicture, viewport: Viewport, plain: bool = False) -> list[list[Run]]:
    """Rows of the bay: wire down from the cable at every foot, ground, cable, posts, then the ruler and the rows of figures."""
    canvas = Canvas(viewport, plain)
    hung = dict(picture.lower)
    for station, level in picture.cable:
        if station in hung:
            canvas.line((station, level), (station, hung[station]), "wire", dash=1)
    canvas.polyline(picture.lower, "wire", dash=2)
    canvas.polyline(picture.ground, "ground", weight=2)
    canvas.polyline(picture.cable, "cable")
    for name, eye, foot in zip(picture.ends, (picture.cable[0], picture.cable[-1]), (picture.ground[0], picture.ground[-1]), strict=True):
        canvas.line(foot, eye, "post", weight=3)
        canvas.mark(eye, "o", "eye")
        canvas.text((eye[0], eye[1] + viewport.feet_per_row), name, "label", centred=True)
    times = viewport.exaggeration
    canvas.put(0, 0, f"heights drawn {times:g}x " if times != 1 else "heights drawn true ", "scale")
    return canvas.rows() + ruler(viewport, plain) + _figures(picture, viewport, plain)


def _figures(picture: ApronPicture, viewport: Viewport, plain: bool) -> list[list[Run]]:
    """Three rows: inches of apron, the worst first where there isn't room for all; infill pieces; stakes and fastened spots."""
    strip = Canvas(replace(viewport, height=FOOT_ROWS), plain)
    for row, word in enumerate(("apron", "infill", "stakes")):
        strip.put(0, row, word, "scale")
    taken: list[tuple[int, int]] = [(0, HEAD - 1)]
    for foot in sorted(picture.feet, key=lambda foot: ("stop", "fix", "label").index(foot.role)):
        column = _column(viewport, foot.station_ft) - len(foot.text) // 2
        last = column + len(foot.text)
        if last < viewport.width and all(last < low or column > high for low, high in taken):
            taken.append((column, last))
            strip.put(column, 0, foot.text, foot.role)
    for start, end, name in picture.pieces:
        low, wide = max(_column(viewport, start), HEAD), _column(viewport, end) - _column(viewport, start)
        strip.put(low, 1, f"[{name.center(wide - 2, '=')}]" if wide > len(name) + 1 else name, "fix")
    for station in picture.stakes:
        strip.put(_column(viewport, station), 2, "v", "label")
    for station in picture.fastened:
        strip.put(_column(viewport, station), 2, "#", "label")
    return strip.rows()


def _column(viewport: Viewport, station_ft: float) -> int:
    return floor(viewport.to_cell((station_ft, 0.0))[0])
