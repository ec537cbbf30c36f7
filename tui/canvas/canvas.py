"""A canvas of braille dots, or of plain characters, that turns shapes in world feet into rows of text. Knows no terminal."""

import math
import unicodedata
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import cycle, islice, pairwise
from typing import NamedTuple

from tui.canvas.tracing import clip, is_steep, polar, squares_inside, trace
from tui.canvas.viewport import CELL_ASPECT, Point, Viewport


class Tinted(NamedTuple):
    """The role of what is drawn in a cell, if anything is, and that of the tint it is drawn on."""

    role: str | None
    tint: str


Look = str | Tinted | None
Run = tuple[str, Look]
Dash = int | tuple[int, ...]
"""So many dots drawn and as many left out; or drawn, left out, drawn, left out, in turn."""

_PLAIN_STROKES = {"wall": "#", "chosen-line": "#"}
PLAIN_EVERY = 4
_WEAK = " .:~,"
"""Plain characters that any other is drawn over."""
_QUARTERS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
_WHOLE = 0b1111
_FULL = ("█", "▒", "#", "=")
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
        self._fills: list[tuple[str, str | None]] = [(" ", None)] * cells
        self._tints: list[str | None] = [None] * cells
        self._glyphs: list[str | None] = [None] * cells
        self._glyph_roles: list[str | None] = [None] * cells
        self._across, self._down = (1, 1) if plain else (2, 4)

    def copy(self) -> "Canvas":
        """Another of the same, to draw on over this one."""
        other = Canvas(self.viewport, self.plain)
        other._dots, other._strokes, other._dot_roles = self._dots.copy(), self._strokes.copy(), self._dot_roles.copy()
        other._fills, other._tints = self._fills, self._tints
        other._glyphs, other._glyph_roles = self._glyphs.copy(), self._glyph_roles.copy()
        return other

    def line(self, a: Point, b: Point, role: str, dash: Dash = 0, weight: int = 1, plain: str = "") -> None:
        """A straight line, 1 to 3 dots wide as `weight` says, whole or by dashes; `plain` is its plain character, or
        those for a flat one and a steep one, else it is that of its slope."""
        clipped = clip(self._grid(a), self._grid(b), self._across * self.viewport.width, self._down * self.viewport.height)
        if clipped is None:
            return
        steep = is_steep(*clipped)
        stroke = self._stroke(a, b, role, bool(dash)) if not plain else plain[-1] if self._is_steep(a, b) else plain[0]
        inked = _inked(0 if self.plain and len(plain) == 1 else dash, self.plain)
        for x, y in trace(*clipped):
            if not inked[(y if steep else x) % len(inked)]:
                continue
            for offset in (0,) if self.plain else _offsets(steep, x, weight):
                self._ink(x + offset * steep, y + offset * (not steep), role, stroke)

    def polyline(self, points: Sequence[Point], role: str, dash: Dash = 0, weight: int = 1, closed: bool = False, plain: str = "") -> None:
        """Lines through `points`, back to the first when `closed`."""
        for a, b in pairwise([*points, *points[:1]] if closed else points):
            self.line(a, b, role, dash, weight, plain)

    def hatch(self, polygon: Sequence[Point], role: str, every: int = 6) -> None:
        """Slanting rows of dots, `every` dots apart, inside a polygon; plain, of slashes below what else is drawn."""
        corners = [self._grid(point) for point in polygon]
        for y, columns in squares_inside(corners, self._across * self.viewport.width, self._down * self.viewport.height):
            for x in columns:
                if (x + y) % (PLAIN_EVERY if self.plain else every):
                    continue
                if self.plain:
                    self._fills[y * self.viewport.width + x] = ("/", role)
                else:
                    self._ink(x, y, role, "")

    def fill(self, polygon: Sequence[Point], role: str, char: str = "", thin: bool = False) -> None:
        """A polygon made solid below lines that come later: by quarters of a cell, or with `char` in every cell that is half inside; one so
        `thin` that it could slip between them has its rim filled too."""
        corners = [(2 * column, 2 * row) for column, row in map(self.viewport.to_cell, polygon)]
        wide, high = 2 * self.viewport.width, 2 * self.viewport.height
        inside = [(x, y) for y, columns in squares_inside(corners, wide, high) for x in columns]
        if thin:
            rims = (clip(a, b, wide - 1, high - 1) for a, b in pairwise((*corners, *corners[:1])))
            inside += [square for rim in rims if rim for square in trace(*rim)]
        quarters: dict[int, int] = {}
        for x, y in inside:
            cell = y // 2 * self.viewport.width + x // 2
            quarters[cell] = quarters.get(cell, 0) | 1 << 2 * (y % 2) + x % 2
        for cell, bits in quarters.items():
            if not char:
                self._fills[cell] = (_QUARTERS[bits], role)
                self._dots[cell] = 0 if bits == _WHOLE else self._dots[cell]
            elif bits.bit_count() > 1:
                self._fills[cell] = (char, role)

    def is_solid(self, column: int, row: int, length: int) -> bool:
        """Whether these cells are full of nothing but fill."""
        if not (column >= 0 and column + length <= self.viewport.width and 0 <= row < self.viewport.height):
            return False
        cells = range(row * self.viewport.width + column, row * self.viewport.width + column + length)
        return all(self._fills[cell][0] in _FULL and not self._dots[cell] and self._glyphs[cell] is None for cell in cells)

    def tint(self, polygon: Sequence[Point], role: str) -> None:
        """A polygon's cells on ground of another colour."""
        for row, columns in squares_inside([*map(self.viewport.to_cell, polygon)], self.viewport.width, self.viewport.height):
            for column in columns:
                self._tints[row * self.viewport.width + column] = role

    def beads(self, points: Sequence[Point], char: str, role: str, every: int) -> None:
        """One character again and again along a line, where its cells are free."""
        cells = [cell for a, b in pairwise(map(self.viewport.to_cell, points)) for cell in self._cells_along(a, b)]
        for column, row in islice(dict.fromkeys(cells), every // 2, None, every):
            if self._is_free(column, row, 1) and self._fills[row * self.viewport.width + column][0] not in _FULL:
                self.put(column, row, char, role)

    def _cells_along(self, a: Point, b: Point) -> Iterator[tuple[int, int]]:
        clipped = clip(a, b, self.viewport.width, self.viewport.height)
        return trace(*clipped) if clipped else iter(())

    def arc(self, centre: Point, start: Point, end: Point, role: str) -> None:
        """A curve round `centre` from `start` to `end` by the shorter way; where the radii differ it runs from one to the other."""
        first, last = polar(centre, start), polar(centre, end)
        turn = (last[1] - first[1] + math.pi) % (2 * math.pi) - math.pi
        self._sweep(centre, first, (last[0], first[1] + turn), role)

    def circle(self, centre: Point, radius_ft: float, role: str, brackets: str = "") -> None:
        """A full circle; a small plain one is a pair of brackets."""
        if self.plain and brackets and radius_ft < 2 * self.viewport.feet_per_cell:
            column, row = self.cell(centre)
            self._ink(column - 1, row, role, brackets[0])
            self._ink(column + 1, row, role, brackets[1])
        else:
            self._sweep(centre, (radius_ft, 0.0), (radius_ft, 2 * math.pi), role)

    def mark(self, pos: Point, char: str, role: str) -> bool:
        """One character over the dots at `pos`; False when it is out of view or the cell is claimed."""
        column, row = self.cell(pos)
        if not self._is_free(column, row, 1):
            return False
        self.put(column, row, char, role)
        return True

    def text(self, pos: Point, text: str, role: str, centred: bool = False, must: bool = False) -> bool:
        """A label by `pos` at the clearest free spot, or `centred` on it where that is free; False when there is no spot. A label keeps one
        cell away from every other mark and label beside it. With `must` it is written over what is there."""
        column, row = self.cell(pos)
        if not (0 <= column < self.viewport.width and 0 <= row < self.viewport.height):
            return False
        length = len(cells_of(text))
        spots = [spot for spot in _spots(column, row, length, centred) if self._fits(*spot, length)]
        free = [spot for spot in spots if self._is_free(spot[0] - 1, spot[1], length + 2)]
        if not free and not (must and spots):
            return False
        best = min(free or spots[:1], key=lambda spot: 0 if centred else self._inked(spot, length))
        self.put(*best, text, role)
        return True

    def put(self, column: int, row: int, text: str, role: str) -> None:
        """Characters straight into cells, over all else; what falls outside is cut off."""
        for offset, char in enumerate(cells_of(text)):
            if 0 <= column + offset < self.viewport.width and 0 <= row < self.viewport.height:
                index = row * self.viewport.width + column + offset
                self._glyphs[index], self._glyph_roles[index] = char, role

    def wipe(self, column: int, row: int, length: int) -> None:
        """Take marks and words out of cells, so that what is below shows again."""
        start = row * self.viewport.width + column
        self._glyphs[start : start + length] = [None] * length

    def rows(self) -> list[list[Run]]:
        """The picture as rows of (text, role) runs; the role is None where nothing is drawn."""
        width = self.viewport.width
        return [self._row(row * width, (row + 1) * width) for row in range(self.viewport.height)]

    def _row(self, start: int, stop: int) -> list[Run]:
        """A row cell by cell, those in a row that look alike in one run."""
        runs: list[Run] = []
        text, last = "", None
        drawn = self._strokes if self.plain else self._dots
        for glyph, glyph_role, ink, ink_role, fill, tint in zip(
            self._glyphs[start:stop], self._glyph_roles[start:stop], drawn[start:stop], self._dot_roles[start:stop],
            self._fills[start:stop], self._tints[start:stop], strict=True,
        ):  # fmt: skip
            if glyph is not None:
                char, role = glyph, glyph_role
            elif ink and ink != " ":
                char, role = ink if isinstance(ink, str) else chr(0x2800 + ink), ink_role
            else:
                char, role = fill
            look = role if tint is None else Tinted(role, tint)
            if not char or (text and look == last):
                text += char
            else:
                if text:
                    runs.append((text, last))
                text, last = char, look
        return [*runs, (text, last)]

    def _ink(self, x: int, y: int, role: str, stroke: str) -> None:
        column, row = x // self._across, y // self._down
        if not (0 <= column < self.viewport.width and 0 <= row < self.viewport.height):
            return
        index = row * self.viewport.width + column
        self._dots[index] |= _BITS[y % 4][x % 2]
        self._dot_roles[index] = role
        self._strokes[index] = _joined(self._strokes[index], stroke)

    def _stroke(self, a: Point, b: Point, role: str, dashed: bool) -> str:
        """The plain character of a line's slope."""
        if dashed:
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

    def _is_steep(self, a: Point, b: Point) -> bool:
        """Whether a line looks rather upright than flat."""
        (left, top), (right, bottom) = self.viewport.to_cell(a), self.viewport.to_cell(b)
        return abs(bottom - top) * CELL_ASPECT > abs(right - left)

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

    def cell(self, point: Point) -> tuple[int, int]:
        """The cell that a point is in."""
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


@lru_cache(maxsize=2048)
def cells_of(text: str) -> tuple[str, ...]:
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
    return tuple(cells)


def _spots(column: int, row: int, length: int, centred: bool) -> list[tuple[int, int]]:
    """Where a label may go, best first."""
    middle = column - length // 2
    if centred:
        return [(middle + aside, row + down) for aside in (0, length // 2 + 1, -length // 2 - 1) for down in (0, 1, -1)]
    right, left = column + 2, column - length - 1
    beside = [(right, row), (middle, row - 1), (middle, row + 1), (left, row)]
    return [*beside, *((side, row + up) for up in (-1, 1) for side in (column + 1, column - length))]


def _joined(there: str, stroke: str) -> str:
    """The plain character where `stroke` is drawn over `there`: a solid line hides dots, crossing lines make a plus."""
    if there in (*_WEAK, stroke) or stroke in "#()":
        return stroke
    return there if stroke in _WEAK else "+"


def _inked(dash: Dash, plain: bool) -> tuple[bool, ...]:
    """Which dots of a line are drawn, again and again; plain, every other character of a dashed one."""
    if not dash:
        return (True,)
    lengths = (1, 1) if plain else (dash, dash) if isinstance(dash, int) else dash
    return tuple(drawn for drawn, dots in zip(cycle((True, False)), lengths, strict=False) for _ in range(dots))


def _offsets(steep: bool, x: int, weight: int) -> tuple[int, ...]:
    """Sideways steps that thicken a line; a steep one grows first within its own column of cells."""
    first = -1 if steep and x % 2 else 1
    return (0, first, -first)[:weight]
