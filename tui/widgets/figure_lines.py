"""A table of words on as many cells as there are: what has no room beside the rest goes on below, and nothing is cut."""

import re
from collections.abc import Callable, Iterator, Sequence
from itertools import accumulate
from typing import NamedTuple

from rich.cells import cell_len, chop_cells

LEAST_ROOM = 14
"""A pane that is narrower is drawn as if it were so wide."""
INDENT = 10
"""The most that what stands below a row stands in."""
BESIDE_IS_WORTH = 1.25
"""So many lines to one are worth all columns beside each other, under their heads: judgement."""
_BREAK = re.compile(r" (?<!\d )(?<!' )(?<!from )| (?<!from )(?!\d|(?:m|mm|cm|ft|lb|kg)\b)")
"""Between words, but inside no length, not before a unit, and not between `from` and what that is."""

Cells = Sequence[str]


class Bands(NamedTuple):
    """Which columns of a table stand beside each other and how wide each is; those for which there is no room stand below, in words."""

    beside: tuple[int, ...]
    below: tuple[int, ...]
    widths: tuple[int, ...]
    room: int = 0
    """The cells of a line where a row takes several; nothing where each takes one."""

    @property
    def across(self) -> int:
        """How wide the table is."""
        return self.room or sum(self.widths) + 2 * len(self.widths)


def laid_out(rows: Callable[[], Sequence[Cells]], widths: Sequence[int], room: int) -> Bands:
    """How a table stands, `rows` with its heads: on one line a row where there is room; else with cells on several lines, or the last
    columns below the others in words where that takes far fewer lines."""
    every = tuple(range(len(widths)))
    if sum(widths) + 2 * len(widths) <= room:
        return Bands(every, (), tuple(widths))
    heads, *read = rows()
    least = [max(map(_longest, column)) for column in zip(heads, *read, strict=True)]
    count = _fitting(widths, room)
    below = Bands(every[:count], every[count:], tuple(min(width, room - 2) for width in widths), room)
    if sum(least) + 2 * len(least) > room:
        return below
    beside = Bands(every, (), _narrowed(widths, least, room - 2 * len(widths)), room)
    lines = [sum(_about(row, heads, bands) for row in (heads, *read)) for bands in (beside, below)]
    return beside if lines[0] <= lines[1] * BESIDE_IS_WORTH else below


def height(cells: Cells, heads: Cells, bands: Bands) -> int:
    """How many lines a row takes."""
    high = max(
        (sum(1 for _ in _broken(cells[at], bands.widths[at])) for at in bands.beside if len(cells[at]) * 2 > bands.widths[at]), default=1
    )
    words = in_words(cells, heads, bands)
    return high + (sum(1 for _ in _broken(words, _room_below(bands))) if words else 0)


def in_words(cells: Cells, heads: Cells, bands: Bands) -> str:
    """What stands below, with the heads of its columns; nothing below the heads themselves."""
    if cells is heads:
        return ""
    return "; ".join(f"{heads[at]}: {cells[at]}" if heads[at] else cells[at] for at in bands.below if cells[at])


def row_lines(cells: Cells, heads: Cells, aligned: Sequence[str], bands: Bands) -> Iterator[str]:
    """The lines of a row, each as wide as its table."""
    broken = [list(_broken(cells[at], bands.widths[at])) for at in bands.beside]
    for nth in range(max(map(len, broken), default=1)):
        cut = (lines[nth] if nth < len(lines) else "" for lines in broken)
        parts = (placed(word, aligned[at], bands.widths[at]) for at, word in zip(bands.beside, cut, strict=True))
        line = "".join(f" {part} " for part in parts)
        yield line + " " * (bands.across - cell_len(line))
    if below := in_words(cells, heads, bands):
        for words in _broken(below, _room_below(bands)):
            line = " " * (_indent(bands.widths) + 1) + words
            yield line + " " * (bands.across - cell_len(line))


def _room_below(bands: Bands) -> int:
    return max(bands.room - _indent(bands.widths) - 2, 1)


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


def _fitting(widths: Sequence[int], room: int) -> int:
    """How many columns have room beside each other; one at least."""
    return max(sum(1 for taken in accumulate(width + 2 for width in widths) if taken <= room), 1)


def _narrowed(widths: Sequence[int], least: Sequence[int], room: int) -> tuple[int, ...]:
    """The widest columns narrower, to one width, as far as their words go, until all have room beside each other."""
    most = max(widths)
    while sum(narrow := [max(min(width, most), fewest) for width, fewest in zip(widths, least, strict=True)]) > room:
        most -= 1
    return tuple(narrow)


def _about(row: Cells, heads: Cells, bands: Bands) -> int:
    """About as many lines as a row takes."""
    high = max(-(-len(row[at]) // max(bands.widths[at], 1)) for at in bands.beside)
    return max(high, 1) + -(-len(in_words(row, heads, bands)) // _room_below(bands))
