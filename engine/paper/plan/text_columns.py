"""Tables as plain text that stays inside the width of a terminal: what is too wide stands below, or goes on in the next line."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import zip_longest
from re import compile as pattern
from textwrap import wrap

from engine.paper.built_tables import Table

WIDTH = 80
LONG = 34
"""Letters of a column that are kept beside others; more of it goes on in lines below, as wide as there is room."""
GAP = 2
_IN_LENGTH = pattern(r"(?<=[\d']) (?=\d)")
_KEPT = "\N{NO-BREAK SPACE}"


def table_lines(table: Table, width: int = WIDTH) -> Iterator[str]:
    """A table without its title; columns for which there is no room beside the others stand below, under the same names. A column that
    says nothing in any row is left out, and so is a row that says only its name."""
    rows = [tuple(" ".join(cell.split()) for cell in row) for row in table.rows]
    columns = [at for at in range(len(table.columns)) if at == 0 or any(row[at] for row in rows)]
    for number, group in enumerate(_groups(table, rows, columns, width)):
        yield from ("",) if number else ()
        wide = _widths(table, rows, group, width)
        heads = [tuple(table.columns)] if any(table.columns) else []
        for row in (*heads, *(row for row in rows if len(group) == 1 or any(row[at] for at in group[1:]))):
            yield from _row([row[at] for at in group], wide)


def _natural(table: Table, rows: Sequence[Sequence[str]], at: int) -> int:
    return max(len(table.columns[at]), *(len(row[at]) for row in rows), 1)


def _long(width: int) -> int:
    return min(LONG, (width - GAP) // 2)


def _groups(table: Table, rows: Sequence[Sequence[str]], columns: Sequence[int], width: int) -> Iterator[list[int]]:
    first, *others = columns
    wanted = {at: min(_natural(table, rows, at), _long(width)) for at in columns}
    group = [first]
    for at in others:
        if len(group) > 1 and sum(wanted[one] + GAP for one in group) + wanted[at] > width:
            yield group
            group = [first]
        group.append(at)
    yield group


def _widths(table: Table, rows: Sequence[Sequence[str]], group: Sequence[int], width: int) -> list[int]:
    """What each column takes; room that is left goes to long ones, the last first."""
    natural = [_natural(table, rows, at) for at in group]
    wide = [min(one, _long(width)) for one in natural]
    for at in reversed(range(len(group))):
        left = width - sum(wide) - GAP * (len(group) - 1)
        wide[at] += max(0, min(left, natural[at] - wide[at]))
    return wide


def _row(cells: Sequence[str], wide: Sequence[int]) -> Iterator[str]:
    parts = [_wrap(cell, size) for cell, size in zip(cells, wide, strict=True)]
    for lines in zip_longest(*parts, fillvalue=""):
        yield (" " * GAP).join(cell.ljust(size) for cell, size in zip(lines, wide, strict=True)).rstrip()


def underlined(title: str) -> Iterator[str]:
    """A title over a line."""
    yield from (title, "-" * len(title))


def wrapped(sentences: Iterable[str], indent: int = 0, width: int = WIDTH) -> Iterator[str]:
    """Sentences, each on lines of its own; from its second line on it stands in by so many letters."""
    for says in sentences:
        yield from _wrap(says, width, " " * indent) or ("",)


def _wrap(says: str, width: int, indent: str = "") -> list[str]:
    """Lines of words; a length is never torn apart."""
    lines = wrap(_IN_LENGTH.sub(_KEPT, says), width, subsequent_indent=indent, break_on_hyphens=False)
    return [line.replace(_KEPT, " ") for line in lines]
