"""The names on the plan of the record: where each may stand on paper, px, and how it is written."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from math import hypot
from typing import NamedTuple

from engine.calc.geometry.plane import Point
from engine.drawing.in_view import place_in_view
from engine.drawing.name_places import Name, NameSpot, Taken, outward, place_names, spots_round, turned_spot
from engine.drawing.shapes import Circle, Drawing, Mark, Role, Words, runs_of
from engine.paper.drawings.drawing_sheet import LETTER_PX, PlanSheet, upright_deg, wide_px, word

CLASSES: dict[Role, str] = {
    **{"post": "post", "yard": "yard", "bay length": "bay", "gate": "small", "wall": "small", "house": "small", "tree": "small"},
    **{"keepout": "small keepword", "deck": "small", "buried": "small keepword", "known place": "small known", "old sleeve": "small"},
}
"""What is named on paper, and how."""
SIZES: dict[str, Point] = {"post": (6.3, 9.5), "yard": (5.8, 11.0)}
SMALL = (LETTER_PX, 8.5)
"""Width of a letter and height of a line, px."""
BASELINE = 0.33
LENGTH_RANK = 8
"""A length matters more on paper than on a screen, which has a table of them beside it."""
MARK_PX, CLEAR_PX = 4.5, 1.5
TREE_PX = 6.0
"""How large a tree is drawn at least: its ring shows round the mark of eyes in it."""
AWAY: dict[Role, Point] = {"tree": (7.0, 6.0), "yard": (4.0, 4.0)}
ROOM_PX = (6.5, 5.5)
RINGS: dict[Role, int] = {"post": 6, "bay length": 0, "gate": 6}
OFF_PX: dict[Role, tuple[float, ...]] = {
    **{"bay length": (-9.0, 9.0, -15.0, 15.0), "gate": (24.0, 14.0, -24.0, -14.0), "wall": (9.0, -9.0), "buried": (-8.0, 8.0)}
}
"""How far outside of their run words lie that lie along it; inside where it is less than nothing."""
SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
TOLD_LENGTHS: tuple[Role, ...] = ("bay length", "gate")
AREAS: tuple[Role, ...] = ("keepout", "deck", "house", "yard")
NO_LINES: tuple[Role, ...] = ("yard", "surveyed", "going")


class PlanNames(NamedTuple):
    """What is written on a plan, and whether it says how long every bay is that it shows."""

    written: tuple[str, ...]
    lengths: bool


def plan_names(sheet: PlanSheet, drawing: Drawing, taken_up: Sequence[NameSpot]) -> PlanNames:
    """Every name that finds a spot, what matters most first, the lengths of all bays that are on the sheet or of none; `taken_up` is what
    is on it besides the drawing."""
    lined = (shape for shape in drawing.shapes if shape.role not in NO_LINES)
    taken = Taken(NameSpot(0.0, 0.0, sheet.width_px, sheet.height_px), runs_of(lined, sheet.at), (CLEAR_PX, CLEAR_PX))
    for there in (*taken_up, *_marks(sheet, drawing)):
        taken.add(there)
    named = [words for words in drawing.of(Words, *CLASSES) if not (words.role == "tree" and words.kind == "bearer")]
    free = taken.copy()
    placed = _placed(sheet, [*_with_lengths(sheet, named)], taken)
    left_out = any(spot is None and words.role in TOLD_LENGTHS and _is_whole(sheet, words) for words, spot in placed)
    if left_out:
        placed = _placed(sheet, [words for words in named if words.role != "bay length"], free)
    return PlanNames(tuple(_written(words, spot) for words, spot in placed if spot is not None), not left_out)


def _with_lengths(sheet: PlanSheet, named: Sequence[Words]) -> Iterator[Words]:
    """A bay is on the sheet with both its ends; a gate's length stands behind its name."""
    lengths = {frozenset(words.along): words.text for words in named if words.role == "bay length" and _is_whole(sheet, words)}
    gates = {frozenset(words.along) for words in named if words.role == "gate"}
    for words in named:
        run = frozenset(words.along)
        if words.role == "gate" and run in lengths:
            yield replace(words, text=f"{words.text}, {lengths[run]}")
        elif words.role != "bay length" or (run in lengths and run not in gates):
            yield words


def _is_whole(sheet: PlanSheet, words: Words) -> bool:
    """Whether the run that words lie along is on the sheet from end to end."""
    return all(map(sheet.shows, words.along))


def _placed(sheet: PlanSheet, named: Sequence[Words], taken: Taken) -> list[tuple[Words, NameSpot | None]]:
    names = [Name(LENGTH_RANK if words.role == "bay length" else words.rank, _spots(sheet, words)) for words in named]
    return list(zip(named, place_names(names, taken), strict=True))


def _says(words: Words) -> str:
    return f"gate {words.text}" if words.role == "gate" else words.text


def _size(words: Words) -> Point:
    letter, high = SIZES.get(CLASSES[words.role], SMALL)
    return (wide_px(words.text) if words.role == "bay length" else len(_says(words)) * letter), high


def _written(words: Words, spot: NameSpot) -> str:
    """Upright, or turned as its spot is."""
    x, y = (spot.left + spot.right) / 2, (spot.top + spot.bottom) / 2
    turn = upright_deg(spot.corners[0], spot.corners[1]) if spot.corners else 0.0
    return word((x, y + BASELINE * _size(words)[1]), _says(words), CLASSES[words.role], turn, about=(x, y))


def _spots(sheet: PlanSheet, words: Words) -> Iterator[NameSpot]:
    """Along its run, or in the middle of its area, then round about; a post that isn't on the sheet isn't named on it."""
    wide, high = _size(words)
    run = () if words.role == "post" else words.along
    place = place_in_view(words.pos, run, sheet.frame.bounds, words.role in AREAS)
    if place is None:
        return
    at = sheet.at(place)
    if words.role in OFF_PX:
        for a, b in pairwise(words.along):
            yield from _beside(sheet, words, a, b)
    if words.role in AREAS:
        yield NameSpot(at[0] - wide / 2, at[1] - high / 2, at[0] + wide / 2, at[1] + high / 2)
    across, up = outward(words.pos, words.along[:2], words.side)
    yield from spots_round(at, wide, high, AWAY.get(words.role, ROOM_PX), (across, -up), RINGS.get(words.role, 3))


def _beside(sheet: PlanSheet, words: Words, start: Point, end: Point) -> Iterator[NameSpot]:
    """Beside a run that is long enough for them, where it is on the sheet."""
    wide, high = _size(words)
    (ax, ay), (bx, by) = sheet.at(start), sheet.at(end)
    long_px = hypot(bx - ax, by - ay)
    east, north = outward(words.pos, (start, end), words.side)
    if words.role == "bay length" and long_px <= wide:
        yield from spots_round(((ax + bx) / 2, (ay + by) / 2), wide, high, ROOM_PX, (east, -north), 3)
    if long_px <= wide + (0 if words.role == "bay length" else 8):
        return
    off = (east, -north) if east or north else ((by - ay) / long_px, -(bx - ax) / long_px)
    for share in (share for share in SHARES if abs(share - 0.5) * long_px <= (long_px - wide) / 2):
        x, y = ax + share * (bx - ax), ay + share * (by - ay)
        for off_px in OFF_PX[words.role]:
            yield turned_spot((x + off_px * off[0], y + off_px * off[1]), wide, high, upright_deg((ax, ay), (bx, by)))


def _marks(sheet: PlanSheet, drawing: Drawing) -> Iterator[NameSpot]:
    for mark in drawing.of(Mark, "post", "planned", "known place", "old sleeve", "foot"):
        yield _round(sheet.at(mark.pos), MARK_PX)
    for tree in drawing.of(Circle, "tree"):
        yield _round(sheet.at(tree.centre), max(TREE_PX, tree.radius_ft * sheet.px_per_ft))


def _round(at: Point, off: float) -> NameSpot:
    return NameSpot(at[0] - off, at[1] - off, at[0] + off, at[1] + off)
