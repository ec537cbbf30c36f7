"""A canvas of braille dots, or of plain characters, that turns shapes in world feet into rows of text. Knows no terminal."""

import math
import unicodedata
from collections.abc import Iterator, Sequence
from itertools import pairwise

from tui.widgets.viewport import CELL_ASPECT, Point, Viewport

Run = tuple[str, str | None]

_PLAIN_STROKES = {"wall": "#", "chosen-line": "#"}
_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))


class Canvas:
    """Lines, shapes, marks and labels on a grid of cells.

    Later lines lie over earlier ones. Marks and labels lie over lines, and the first to claim a cell keeps it: draw what
    matters most first. `plain` draws with `- | / \\ + .` (and `#` for walls and the chosen line) instead of dots.
    """

    def __init__(self, viewport: Viewport, plain: bool = False) -> None:
        self.viewport = viewport
        self.plain = plain
        cells = viewport.width * viewport.height
        self._dots = [0] * cells
        self._strokes = [" "] * cells
        self._dot_roles: list[str | None] = [None] * cells
        self._glyphs: list[str | None] = [None] * cells
        self._glyph_roles: list[str | None] = [None] * cells
        self._across, self._down = (1, 1) if plain else (2, 4)

    def copy(self) -> "Canvas":
        """Another of the same, to draw on over this one."""
        other = Canvas(self.viewport, self.plain)
        other._dots, other._strokes, other._dot_roles = self._dots.copy(), self._strokes.copy(), self._dot_roles.copy()
        other._glyphs, other._glyph_roles = self._glyphs.copy(), self._glyph_roles.copy()
        return other

    def line(self, a: Point, b: Point, role: str, dash: int = 0, weight: int = 1) -> None:
        """A straight line, 1 to 3 dots wide as `weight` says; with `dash`, so many dots drawn and as many left out."""
        clipped = _clip(self._grid(a), self._grid(b), self._across * self.viewport.width, self._down * self.viewport.height)
        if clipped is None:
            return
        stroke = self._stroke(a, b, role, dash)
        steep = _is_steep(*clipped)
        on = 1 if self.plain else dash
        for x, y in _trace(*clipped):
            if dash and (y if steep else x) // on % 2:
                continue
            for offset in (0,) if self.plain else _offsets(steep, x, weight):
                self._ink(x + offset * steep, y + offset * (not steep), role, stroke)

    def polyline(self, points: Sequence[Point], role: str, dash: int = 0, weight: int = 1, closed: bool = False) -> None:
        """Lines through `points`, back to the first when `closed`."""
        for a, b in pairwise([*points, *points[:1]] if closed else points):
            self.line(a, b, role, dash, weight)

    def hatch(self, polygon: Sequence[Point], role: str, every: int = 6) -> None:
        """Slanting rows of dots, `every` dots apart, inside a polygon."""
        corners = [self._grid(point) for point in polygon]
        low = max(min((y for _, y in corners), default=0), 0)
        high = min(max((y for _, y in corners), default=0), self._down * self.viewport.height)
        slant = 2 if self.plain else 1
        for y in range(math.floor(low), math.ceil(high)):
            for left, right in _inside(corners, y + 0.5):
                for x in range(max(math.ceil(left), 0), min(math.ceil(right), self._across * self.viewport.width)):
                    if (x + slant * y) % every == 0:
                        self._ink(x, y, role, ".")

    def arc(self, centre: Point, start: Point, end: Point, role: str) -> None:
        """A curve round `centre` from `start` to `end` by the shorter way; where the radii differ it runs from one to the other."""
        first, last = _polar(centre, start), _polar(centre, end)
        turn = (last[1] - first[1] + math.pi) % (2 * math.pi) - math.pi
        self._sweep(centre, first, (last[0], first[1] + turn), role)

    def circle(self, centre: Point, radius_ft: float, role: str) -> None:
        """A full circle."""
        self._sweep(centre, (radius_ft, 0.0), (radius_ft, 2 * math.pi), role)

    def mark(self, pos: Point, char: str, role: str) -> bool:
        """One character over the dots at `pos`; False when it is out of view or the cell is claimed."""
        column, row = self._cell(pos)
        if not self._is_free(column, row, 1):
            return False
        self.put(column, row, char, role)
        return True

    def text(self, pos: Point, text: str, role: str, centred: bool = False, must: bool = False) -> bool:
        """A label by `pos` at the clearest free spot, or `centred` on it where that is free; False when there is no spot.

        A label keeps one cell away from every other mark and label beside it. With `must` it is written over what is there.
        """
        column, row = self._cell(pos)
        if not (0 <= column < self.viewport.width and 0 <= row < self.viewport.height):
            return False
        length = len(_cells(text))
        spots = [spot for spot in _spots(column, row, length, centred) if self._fits(*spot, length)]
        free = [spot for spot in spots if self._is_free(spot[0] - 1, spot[1], length + 2)]
        if not free and not (must and spots):
            return False
        best = min(free or spots[:1], key=lambda spot: 0 if centred else self._inked(spot, length))
        self.put(*best, text, role)
        return True

    def put(self, column: int, row: int, text: str, role: str) -> None:
        """Characters straight into cells, over all else; what falls outside is cut off."""
        for offset, char in enumerate(_cells(text)):
            if 0 <= column + offset < self.viewport.width and 0 <= row < self.viewport.height:
                index = row * self.viewport.width + column + offset
                self._glyphs[index], self._glyph_roles[index] = char, role

    def rows(self) -> list[list[Run]]:
        """The picture as rows of (text, role) runs; the role is None where nothing is drawn."""
        width = self.viewport.width
        return [_runs(self._look(row * width + column) for column in range(width)) for row in range(self.viewport.height)]

    def _look(self, index: int) -> Run:
        glyph = self._glyphs[index]
        if glyph is not None:
            return glyph, self._glyph_roles[index]
        if self.plain:
            return self._strokes[index], self._dot_roles[index]
        dots = self._dots[index]
        return (chr(0x2800 + dots), self._dot_roles[index]) if dots else (" ", None)

    def _ink(self, x: int, y: int, role: str, stroke: str) -> None:
        column, row = x // self._across, y // self._down
        if not (0 <= column < self.viewport.width and 0 <= row < self.viewport.height):
            return
        index = row * self.viewport.width + column
        self._dots[index] |= _BITS[y % 4][x % 2]
        self._dot_roles[index] = role
        self._strokes[index] = _joined(self._strokes[index], stroke)

    def _stroke(self, a: Point, b: Point, role: str, dash: int) -> str:
        """The plain character a line is drawn with."""
        if dash:
            return "."
        (left, top), (right, bottom) = self.viewport.to_cell(a), self.viewport.to_cell(b)
        across, down = right - left, (bottom - top) * CELL_ASPECT
        if role in _PLAIN_STROKES:
            return _PLAIN_STROKES[role]
        if abs(down) < 0.5 * abs(across):
            return "-"
        if abs(down) > 2.5 * abs(across):
            return "|"
        return "\\" if across * down > 0 else "/"

    def _sweep(self, centre: Point, first: Point, last: Point, role: str) -> None:
        """Draw from polar (radius, angle) `first` to `last`, in steps of about a cell."""
        length = max(first[0], last[0]) * abs(last[1] - first[1])
        steps = min(max(math.ceil(length / self.viewport.feet_per_cell), 8), 120)
        rim = []
        for step in range(steps + 1):
            radius = first[0] + (last[0] - first[0]) * step / steps
            angle = first[1] + (last[1] - first[1]) * step / steps
            rim.append((centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)))
        self.polyline(rim, role)

    def _grid(self, point: Point) -> Point:
        column, row = self.viewport.to_cell(point)
        return column * self._across, row * self._down

    def _cell(self, point: Point) -> tuple[int, int]:
        column, row = self.viewport.to_cell(point)
        return math.floor(column), math.floor(row)

    def _fits(self, column: int, row: int, length: int) -> bool:
        return column >= 0 and column + length <= self.viewport.width and 0 <= row < self.viewport.height

    def _is_free(self, column: int, row: int, length: int) -> bool:
        """Whether no glyph stands in these cells; cells off the sides count as free, a row out of view does not."""
        if not 0 <= row < self.viewport.height or column >= self.viewport.width or column + length <= 0:
            return False
        start, stop = max(column, 0), min(column + length, self.viewport.width)
        return all(self._glyphs[row * self.viewport.width + at] is None for at in range(start, stop))

    def _inked(self, spot: tuple[int, int], length: int) -> int:
        start = spot[1] * self.viewport.width + spot[0]
        return sum(role is not None for role in self._dot_roles[start : start + length])


def _cells(text: str) -> list[str]:
    """The text cut into cells: a wide character is followed by an empty cell, an accent joins the cell before it, control
    characters show as `?`."""
    cells: list[str] = []
    for char in text:
        if unicodedata.category(char) in ("Cc", "Cs", "Co", "Cn", "Zl", "Zp"):
            cells.append("?")
        elif unicodedata.category(char) in ("Mn", "Me", "Cf"):
            if cells and unicodedata.category(char) != "Cf":
                cells[-1] += char
        else:
            cells.append(char)
            if unicodedata.east_asian_width(char) in "WF":
                cells.append("")
    return cells


def _spots(column: int, row: int, length: int, centred: bool) -> list[tuple[int, int]]:
    """Where a label may go, best first."""
    middle = column - length // 2
    if centred:
        return [(middle + aside, row + down) for aside in (0, length // 2 + 1, -length // 2 - 1) for down in (0, 1, -1)]
    right, left = column + 2, column - length - 1
    beside = [(right, row), (middle, row - 1), (middle, row + 1), (left, row)]
    return [*beside, *((side, row + up) for up in (-1, 1) for side in (column + 1, column - length))]


def _runs(looks: Iterator[Run]) -> list[Run]:
    runs: list[tuple[list[str], str | None]] = []
    for text, role in looks:
        if runs and (runs[-1][1] == role or not text):
            runs[-1][0].append(text)
        else:
            runs.append(([text], role))
    return [("".join(parts), role) for parts, role in runs]


def _joined(there: str, stroke: str) -> str:
    """The plain character where `stroke` is drawn over `there`: a solid line hides dots, crossing lines make a plus."""
    if there in (" ", ".", stroke) or stroke == "#":
        return stroke
    return there if stroke == "." else "+"


def _is_steep(a: Point, b: Point) -> bool:
    return abs(b[1] - a[1]) > abs(b[0] - a[0])


def _offsets(steep: bool, x: int, weight: int) -> tuple[int, ...]:
    """Sideways steps that thicken a line; a steep one grows first within its own column of cells."""
    first = -1 if steep and x % 2 else 1
    return (0, first, -first)[:weight]


def _trace(a: Point, b: Point) -> Iterator[tuple[int, int]]:
    """Whole grid positions along a line, one a step of its longer way, both ends included."""
    steps = max(math.ceil(max(abs(b[0] - a[0]), abs(b[1] - a[1]))), 1)
    for step in range(steps + 1):
        part = step / steps
        yield math.floor(a[0] + (b[0] - a[0]) * part), math.floor(a[1] + (b[1] - a[1]) * part)


def _clip(a: Point, b: Point, width: float, height: float) -> tuple[Point, Point] | None:
    """The part of a line inside `0..width`, `0..height`; None when it passes by."""
    across, down = b[0] - a[0], b[1] - a[1]
    start, stop = 0.0, 1.0
    for step, room in ((-across, a[0]), (across, width - a[0]), (-down, a[1]), (down, height - a[1])):
        if step == 0:
            if room < 0:
                return None
        elif step < 0:
            start = max(start, room / step)
        else:
            stop = min(stop, room / step)
    if start > stop:
        return None
    return (a[0] + across * start, a[1] + down * start), (a[0] + across * stop, a[1] + down * stop)


def _inside(corners: Sequence[Point], y: float) -> Iterator[tuple[float, float]]:
    """Stretches of the level `y` inside a polygon, by the even-odd rule."""
    crossings = sorted(
        a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]) for a, b in pairwise([*corners, *corners[:1]]) if (a[1] <= y) != (b[1] <= y)
    )
    return zip(crossings[::2], crossings[1::2], strict=True)


def _polar(centre: Point, point: Point) -> Point:
    across, up = point[0] - centre[0], point[1] - centre[1]
    return math.hypot(across, up), math.atan2(up, across)
