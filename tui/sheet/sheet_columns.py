"""How a sheet's columns stand side by side in the room there is. Pure: no widget, no terminal."""

from collections.abc import Sequence

from rich.cells import cell_len, set_cell_size

from engine.calc.frozen import dataclass
from engine.sheets.sheet import SheetPart

GAP = 2
SIGN = 2
"""Cells before a row's name: the sign of its worst finding, and a blank."""
LEAST = 24
"""Words that may be shown in part keep so many cells."""


@dataclass(frozen=True)
class Fitted:
    """Columns that show: their numbers in order and their widths; those that gave way; and whether more stand to the right."""

    shown: tuple[int, ...]
    widths: tuple[int, ...]
    dropped: tuple[int, ...]
    more: bool = False

    def starts(self) -> tuple[int, ...]:
        """The cell at which each shown column starts."""
        at, found = SIGN, []
        for width in self.widths:
            found.append(at)
            at += width + GAP
        return tuple(found)

    def column_at(self, x: int) -> int | None:
        """The column a click is in; the gap after a column belongs to it."""
        for column, start, width in zip(self.shown, self.starts(), self.widths, strict=True):
            if x < start + width + GAP:
                return column
        return None


def fit(part: SheetPart, room: int, cursor: int) -> Fitted:
    """Columns that fit: those that give way soonest go first; where what may not go is too wide, the columns round the cursor stay."""
    widths = [_width(part, at) for at in range(len(part.columns))]
    shown = list(range(len(part.columns)))
    for at in sorted(shown, key=lambda at: -part.columns[at].drops):
        if _needs(widths, shown) <= room or part.columns[at].drops == 0:
            break
        shown.remove(at)
    dropped = tuple(at for at in range(len(part.columns)) if at not in shown)
    for at in sorted(shown, key=lambda at: -widths[at]):
        over, least = _needs(widths, shown) - room, LEAST if part.columns[at].long else widths[at]
        if over > 0:
            widths[at] = max(widths[at] - over, least)
    seen = _window(shown, widths, room, cursor)
    return Fitted(seen, tuple(widths[at] for at in seen), dropped, len(seen) < len(shown))


def _window(shown: Sequence[int], widths: Sequence[int], room: int, cursor: int) -> tuple[int, ...]:
    """Of columns that may not go, the name and as many beside each other as fit, the cursor's among them."""
    name, rest = shown[0], list(shown[1:])
    first = last = rest.index(cursor) if cursor in rest else 0
    while last + 1 < len(rest) and _needs(widths, [name, *rest[first : last + 2]]) <= room:
        last += 1
    while first > 0 and _needs(widths, [name, *rest[first - 1 : last + 1]]) <= room:
        first -= 1
    return (name, *rest[first : last + 1])


def full_width(part: SheetPart) -> int:
    """How wide a part is with all its columns, none of them cut."""
    return _needs([_width(part, at) for at in range(len(part.columns))], range(len(part.columns))) + GAP


def _needs(widths: Sequence[int], shown: Sequence[int]) -> int:
    return SIGN + sum(widths[at] + GAP for at in shown) - GAP


def _width(part: SheetPart, at: int) -> int:
    return max(cell_len(part.columns[at].head), *(cell_len(row.cells[at].words) for row in part.rows), 1)


def in_cells(words: str, size: int, right: bool) -> str:
    """Words in so many cells, cut with a sign where they are longer."""
    over = cell_len(words) - size
    if over > 0:
        return f"{set_cell_size(words, size - 1)}…"
    return f"{' ' * -over}{words}" if right else f"{words}{' ' * -over}"
