"""On which page the client's copy ends: its pieces one below another, each as high as it may be at most.

On paper every piece stands where it does here or before that, so that a copy which ends in time here does so on paper.
"""

import xml.etree.ElementTree as ET
from collections.abc import Iterable, Iterator
from itertools import pairwise
from typing import NamedTuple

from engine.paper.client.paper_heights import PAGE_HIGH_PT, PAGE_WIDE_PT, part_pt, row_pts

LEAST_PT = 90.0
"""What the foot of a page loses where columns break on it: a heading and the longest point under it."""


class Unbroken(NamedTuple):
    """What isn't broken. `stays`: on one page with the next; `heads_pt`: of the table it is a row of, on a new page they stand again.
    `columns`: it is broken all the same, between its points."""

    high_pt: float
    stays: bool = False
    heads_pt: float = 0.0
    columns: bool = False


def last_page(markup: str, from_pt: float, letters: float = 1.0) -> int:
    """The page, from 1, on which some elements end that begin so far down the first one, in letters of so large a share of the usual."""
    page, down_pt = 1, from_pt
    for group in _groups(pieces(markup, letters)):
        high_pt = sum(piece.high_pt for piece in group)
        left_pt = PAGE_HIGH_PT - down_pt
        if high_pt <= left_pt:
            down_pt += high_pt
        elif group[-1].columns and left_pt > high_pt - group[-1].high_pt + LEAST_PT * letters:
            page, down_pt = page + 1, high_pt - (left_pt - LEAST_PT * letters)
        else:
            page, down_pt = page + 1, high_pt + group[0].heads_pt
    return page


def _groups(found: Iterable[Unbroken]) -> Iterator[list[Unbroken]]:
    group: list[Unbroken] = []
    for piece in found:
        group.append(piece)
        if not piece.stays:
            yield group
            group = []


def pieces(markup: str, letters: float = 1.0) -> Iterator[Unbroken]:
    """The pieces of some elements; words that say how many more there are stay with what is before them."""
    wide_pt = PAGE_WIDE_PT / letters
    found = [piece for part in ET.fromstring(f"<body>{markup}</body>") for piece in _pieces_of(part, wide_pt)]
    for (piece, _), (_, follows) in pairwise([*found, (Unbroken(0.0), False)]):
        yield Unbroken(piece.high_pt * letters, piece.stays or follows, piece.heads_pt * letters, piece.columns)


def _pieces_of(part: ET.Element, wide_pt: float) -> Iterator[tuple[Unbroken, bool]]:
    """Each with whether it stays with what is before it."""
    class_ = part.get("class", "")
    if part.tag == "section" and class_ != "short":
        for inside in part:
            yield from _pieces_of(inside, wide_pt)
    elif part.tag == "table":
        heads_pt, *rows_pt = row_pts(part, wide_pt)
        yield Unbroken(heads_pt, stays=bool(rows_pt)), False
        yield from ((Unbroken(high_pt, heads_pt=heads_pt), False) for high_pt in rows_pt)
    elif part.tag == "ul":
        yield from ((Unbroken(part_pt(point, wide_pt)), False) for point in part)
        yield Unbroken(6.0), True
    else:
        yield Unbroken(part_pt(part, wide_pt), part.tag == "h2", columns=class_ == "care"), class_ == "more"
