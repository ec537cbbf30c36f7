"""Lists of the crew's sheets that no item of the job stands behind: what to load, what to cut, and what went otherwise than planned."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from engine.calc.lengths import format_ft_in
from engine.job.model.job import Job
from engine.paper.crew.cut_lists import ORDER, CutList, CutPiece, cut_lists
from engine.paper.load_list import ESTIMATE_RULE, RULE, estimated_load, estimated_words, load_list
from engine.paper.markup import element, escaped
from engine.paper.pack_words import load_words, on_truck_words
from engine.walk import Walk

LOG_ROWS = 16
BOX_CELL = element("td", element("span", "", class_="box"), class_="box-cell")
LOAD_HEADS = ("", "first in", "what", "load", "on the truck already")
LOG_HEADS = ("when", "by", "post or place", "what: rock, moved, added, left out, tree, cut off", "how far, which way", "entered")
CUT_HEADS = ("", "cut", "piece", "for", "length", "left on it")
CUT_KINDS = (None, None, None, None, "right long", "right")
GROUND = "What the ground did to the plan changes bays, loops, braces and cuts: have it entered, and print anew before the next stage."


def load_markup(job: Job, walk: Walk) -> Iterator[str]:
    """Group by group in truck order, pieces and packs; by what was said where no layout says more."""
    loads = [
        (one.group, one.row.name, load_words(one.row, one.kind), on_truck_words(one.row, one.kind))
        for one in load_list(job, walk.takeoff).rows
    ]
    estimated = [(group, row.name, estimated_words(row), "") for group, row in estimated_load(job, walk.takeoff)]
    if not loads and not estimated:
        return
    yield element("p", f"{ESTIMATE_RULE} {RULE}" if estimated else RULE, class_="says")
    rows, before = [], ""
    for place, (group, *cells) in enumerate(estimated or loads, 1):
        if group != before:
            before = group
            rows.append(_group(group, len(LOAD_HEADS)))
        rows.append(element("tr", BOX_CELL, *(element("td", escaped(says)) for says in (f"{place}", *cells))))
    yield _ticks(LOAD_HEADS, [None] * len(LOAD_HEADS), ["\n".join(rows)])


def log_markup() -> str:
    """Where a rock or a moved post is written down, in the words that the log asks for."""
    row = element("tr", *(element("td", "") for _ in LOG_HEADS[1:]), BOX_CELL, class_="write")
    return element("p", GROUND, class_="says") + _ticks(LOG_HEADS, [None] * len(LOG_HEADS), ["\n".join([row] * LOG_ROWS)], "ticks book log")


def cuts_markup(job: Job, walk: Walk) -> Iterator[str]:
    """A table a thing that is cut."""
    lists = cut_lists(job, walk)
    if lists:
        yield element("p", ORDER, class_="says")
    for one in lists:
        yield element("h3", escaped(f"{one.title}: {one.stock}"))
        yield element("p", escaped(one.says), class_="says")
        yield _cut_table(one)


def _cut_table(cuts: CutList) -> str:
    """Roll after roll, each under its own head and not torn apart; what no roll is long enough for comes last."""
    bodies = []
    for roll, pieces in groupby(cuts.pieces, key=lambda piece: piece.roll):
        says = f"{cuts.held_in} {roll} of {cuts.rolls}" if roll else f"no {cuts.held_in} is long enough"
        bodies.append("\n".join((_group(says, len(CUT_HEADS)), *map(_cut, pieces))))
    return _ticks(CUT_HEADS, CUT_KINDS, bodies, "ticks rolls")


def _cut(piece: CutPiece) -> str:
    """Its box, or how far it is already."""
    left = format_ft_in(piece.left_ft) if piece.roll else ""
    cells = (f"{piece.cut or ''}", piece.name, piece.use, format_ft_in(piece.length_ft), left)
    box = element("td", escaped(piece.done), class_="box-cell done") if piece.done else BOX_CELL
    return element("tr", box, *(element("td", escaped(says), class_=kind) for says, kind in zip(cells, CUT_KINDS[1:], strict=True)))


def _group(says: str, columns: int) -> str:
    return element("tr", element("th", escaped(says), colspan=columns, scope="colgroup"), class_="group")


def _ticks(heads: Sequence[str], kinds: Sequence[str | None], bodies: Sequence[str], class_: str = "ticks") -> str:
    """A table of rows that are markup already; rows of one body stay together where a page holds them."""
    cells = (element("th", escaped(says), scope="col", class_=kind) for says, kind in zip(heads, kinds, strict=True))
    return element("table", element("thead", element("tr", *cells)), *(element("tbody", body) for body in bodies), class_=class_)
