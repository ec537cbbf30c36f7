"""A table of words on as many cells as there are: what has no room beside the rest goes on below, and nothing is cut."""

import re
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from rich.cells import cell_len, chop_cells

LEAST_ROOM = 14
"""A pane that is narrower is drawn as if it were so wide."""
INDENT = 10
"""The most that a row's further lines stand in."""
_BREAK = re.compile(r" (?<!\d )(?<!' )(?<!from )| (?<!from )(?!\d|(?:m|mm|cm|ft|lb|kg)\b)")
"""Between words, but inside no length, not before a unit, and not between `from` and what that is."""

Cells = Sequence[str]


class Bands(NamedTuple):
    """Which columns of a table stand beside each other, on one line or on several, and how wide each is."""

    bands: tuple[tuple[int, ...], ...]
    widths: tuple[int, ...]
    room: int = 0
    """The cells of a line where a row takes several; nothing where each takes one."""

    @property
    def across(self) -> int:
        """How wide the table is."""
        return self.room or sum(self.widths) + 2 * len(self.widths)


def laid_out(rows: Callable[[], Sequence[Cells]], widths: Sequence[int], room: int) -> Bands:
    """How a table stands, `rows` with its heads: on one line a row where there is room; else with cells on several lines, or columns
    below each other, whichever takes fewer lines."""
    every = (tuple(range(len(widths))),)
    if sum(widths) + 2 * len(widths) <= room:
        return Bands(every, tuple(widths))
    read = rows()
    least = [max(map(_longest, column)) for column in zip(*read, strict=True)]
    bands = _folded(widths, room)
    below = Bands(bands, tuple(min(width, room - 2 - _indent(widths) * (at not in bands[0])) for at, width in enumerate(widths)), room)
    if sum(least) + 2 * len(least) > room:
        return below
    beside = Bands(every, _narrowed(widths, least, room - 2 * len(widths)), room)
    return min((beside, below), key=lambda layout: sum(_about(row, layout) for row in read))


def height(cells: Cells, layout: Bands) -> int:
    """How many lines a row takes; those in which nothing would stand are left out, but for the first."""
    return sum(_band_height(cells, band, layout) for band in layout.bands if _shows(cells, band, layout))


def row_lines(cells: Cells, aligned: Sequence[str], layout: Bands) -> Iterator[str]:
    """The lines of a row, each as wide as its table."""
    for band in layout.bands:
        if not _shows(cells, band, layout):
            continue
        before = " " * _indent(layout.widths) * (band != layout.bands[0])
        broken = [list(_broken(cells[at], layout.widths[at])) for at in band]
        for nth in range(max(map(len, broken), default=1)):
            words = (lines[nth] if nth < len(lines) else "" for lines in broken)
            parts = (placed(word, aligned[at], layout.widths[at]) for at, word in zip(band, words, strict=True))
            line = before + "".join(f" {part} " for part in parts)
            yield line + " " * (layout.across - cell_len(line))


def _shows(cells: Cells, band: Sequence[int], layout: Bands) -> bool:
    return band == layout.bands[0] or any(cells[at] for at in band)


def _band_height(cells: Cells, band: Sequence[int], layout: Bands) -> int:
    return max((sum(1 for _ in _broken(cells[at], layout.widths[at])) for at in band if len(cells[at]) * 2 > layout.widths[at]), default=1)


def placed(cell: str, align: str, width: int) -> str:
    """A cell as its column stands."""
    if align == "left" and cell.isascii() and len(cell) <= width:
        return cell.ljust(width)
    spare = max(width - cell_len(cell), 0)
    before = spare if align == "right" else spare // 2 if align == "center" else 0
    return f"{' ' * before}{cell}{' ' * (spare - before)}"


def _longest(cell: str) -> int:
    """How wide the widest is that isn't parted."""
    return max(map(len, _pieces(cell)))


def _pieces(cell: str) -> list[str]:
    return _BREAK.split(cell) if " " in cell else [cell]


def _broken(cell: str, width: int) -> Iterator[str]:
    """A cell on as many lines as it takes; a word that is wider than its column goes on below, too."""
    if len(cell) * 2 <= width or cell_len(cell) <= width:
        yield cell
        return
    line, taken = "", -1
    for piece in _pieces(cell):
        wide = len(piece) if piece.isascii() else cell_len(piece)
        if line and taken + 1 + wide > width:
            yield line
            line, taken = piece, wide
        else:
            line, taken = f"{line} {piece}" if line else piece, taken + 1 + wide
        while taken > width:
            first, *rest = chop_cells(line, width)
            yield first
            line = "".join(rest)
            taken = cell_len(line)
    yield line


def _indent(widths: Sequence[int]) -> int:
    return min(widths[0] + 2, INDENT)


def _folded(widths: Sequence[int], room: int) -> tuple[tuple[int, ...], ...]:
    """As many columns on a line as have room there."""
    bands, taken = [[0]], widths[0] + 2
    for at, width in enumerate(widths[1:], 1):
        if taken + width + 2 > room:
            bands.append([])
            taken = _indent(widths)
        bands[-1].append(at)
        taken += width + 2
    return tuple(map(tuple, bands))


def _narrowed(widths: Sequence[int], least: Sequence[int], room: int) -> tuple[int, ...]:
    """The widest columns narrower, to one width, as far as their words go, until all have room beside each other."""
    most = max(widths)
    while sum(narrow := [max(min(width, most), fewest) for width, fewest in zip(widths, least, strict=True)]) > room:
        most -= 1
    return tuple(narrow)


def _about(row: Cells, layout: Bands) -> int:
    """About as many lines as a row takes."""
    return sum(max(-(-len(row[at]) // max(layout.widths[at], 1)) for at in band) for band in layout.bands)
