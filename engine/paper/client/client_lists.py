"""The lists of the client's copy: rows as markup with their heights, so many of them as there is room for, and how many more there are."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from typing import NamedTuple

from engine.calc.phrases import counted
from engine.paper.client.paper_heights import POINT_WIDE_PT, high_pt
from engine.paper.client.shared_room import cut_to
from engine.paper.markup import element, escaped

Columns = Sequence[tuple[str, int]]
MOST_ROWS = 90
"""Of a list: no more fit."""


class ToldList(NamedTuple):
    """All rows of a list, the first of them as markup, and what each of those adds to the height, pt."""

    total: int
    rows: tuple[str, ...]
    heights_pt: tuple[float, ...]


def points_of(said: Sequence[tuple[str, str]], *, brief: bool) -> ToldList:
    """Sentences, cut to two lines, with the reason that was given, cut to one; `brief`: one line of each and no reason."""
    rows = tuple(_point(says, "" if brief else reason, 1 if brief else 2) for says, reason in islice(said, MOST_ROWS))
    return ToldList(len(said), rows, tuple(map(high_pt, rows)))


def _point(says: str, reason: str, lines: int) -> str:
    why = cut_to(f"Reason given: {reason}", 1, POINT_WIDE_PT) if reason else ""
    return element("li", escaped(" ".join(filter(None, (cut_to(says, lines, POINT_WIDE_PT), why)))))


def rows_of(columns: Columns, said: Iterable[tuple[str, ...]], count: int) -> ToldList:
    """Rows of a table; every cell but those of names is short already."""
    rows = tuple(element("tr", *(element("td", escaped(cell)) for cell in cells)) for cells in islice(said, MOST_ROWS))
    heads_pt = high_pt(table_of(columns, ()))
    return ToldList(count, rows, tuple(high_pt(table_of(columns, (row,))) - heads_pt for row in rows))


def table_of(columns: Columns, rows: Sequence[str]) -> str:
    """A table whose columns are as wide as they say, whatever stands in them."""
    heads = element("tr", *(element("th", escaped(name), scope="col", style=f"width:{share}%") for name, share in columns))
    return element("table", element("thead", heads), element("tbody", *rows) if rows else "")


def list_of(told: ToldList, shown: int, one: str, many: str, where: str = "the office's record lists") -> Iterator[str]:
    """The first so many points, and how many more there are."""
    if shown:
        yield element("ul", *told.rows[:shown])
    yield from more_of(told, shown, one, many, where)


def more_of(told: ToldList, shown: int, one: str, many: str, where: str) -> Iterator[str]:
    """How many more there are than are shown; nothing where all are."""
    if left := told.total - shown:
        them = "it" if left == 1 else "them"
        more = counted(left, f"more {one}" if shown else one, f"more {many}" if shown else many)
        yield element("p", escaped(f"{'And ' if shown else ''}{more}: {where} {them}."), class_="more")
