"""The names of a plan on the screen: what is named, in which colour, and where each may stand, in cells."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain, pairwise
from math import ceil, floor, hypot

from engine.calc.geometry.plane import Point
from engine.drawing.in_view import place_in_view
from engine.drawing.name_places import Name, NameSpot, Taken, outward, overlap, place_names, spots_round
from engine.drawing.shapes import LENGTH_RANK, LINE_RANK, Drawing, Role, Shape, Words, runs_of
from tui.base.theme import SIGNS
from tui.canvas.canvas import Canvas, cells_of
from tui.canvas.ink import URGENT, Lettering
from tui.canvas.tracing import stretches
from tui.canvas.viewport import Viewport

CLEAR = (0.0, 0.25)
"""How far names keep from lines, in cells, beside the half a cell at either end: a line is up to three dots thick."""
BESIDE = (1.5, 0.5)
"""From the middle of a mark's cell to a name beside it: one cell is left free between them, none above and below."""
RINGS, FAR_RINGS, ZONE_RINGS, CHOSEN_RINGS = 2, 3, 5, 7
"""How far off names may stand: right beside what they name, or not at all; those of gates, of corners and ends and of what needs work a
row further, those of buried lines beyond the zone round them; the chosen thing's wherever there is room."""
BAY_CELLS = 20.0
"""How long a bay looks before its length is written, unless the drawing is about it."""
MARKED: tuple[Role, ...] = ("post", "tree", "going")
SOLIDS: tuple[Role, ...] = ("house", "deck")
AREAS: tuple[Role, ...] = ("keepout", "yard", *SOLIDS)
"""What is named in its middle, solids in a gap of theirs."""


def taken_by(viewport: Viewport, shapes: Iterable[Shape]) -> Taken:
    """The view with the lines in it."""
    return Taken(NameSpot(-0.5, 0.0, viewport.width + 0.5, float(viewport.height)), runs_of(shapes, viewport.to_cell), CLEAR)


Written = tuple[tuple[Words, NameSpot], ...]
Marks = Mapping[int, Sequence[tuple[int, str]]]
"""The marks in every row: their column, and of what they are."""


def write_names(canvas: Canvas, drawing: Drawing, letterings: Mapping[Role, Lettering], taken: Taken, marks: Marks) -> Written:
    """All names that find a spot, and where they stand: those of solids in them where they fit, then the others round about."""
    texts = sorted(_texts(drawing, letterings), key=lambda one: one[0].rank)
    wides = [len(cells_of(text)) for _, text, _ in texts]
    placed = [_gap(canvas, words, wide) if words.role in SOLIDS else None for (words, _, _), wide in zip(texts, wides, strict=True)]
    for spot in placed:
        if spot is not None:
            taken.add(spot)
    left = [at for at, spot in enumerate(placed) if spot is None]
    names = [Name(texts[at][0].rank, _own(texts[at][0], wides[at], canvas.viewport, marks)) for at in left]
    for at, spot in zip(left, place_names(names, taken), strict=True):
        placed[at] = spot
    written = [(words, text, colour, spot) for (words, text, colour), spot in zip(texts, placed, strict=True) if spot is not None]
    for _, text, colour, spot in written:
        canvas.put(ceil(spot.left), floor(spot.top), text, colour)
    return tuple((words, spot) for words, _, _, spot in written)


def _own(words: Words, wide: int, viewport: Viewport, marks: Marks) -> Iterator[NameSpot]:
    """The spots for words, and for a mark's name those alone where it can't be taken for another mark's."""
    spots = _spots(viewport, words, wide, _rings(words))
    return (spot for spot in spots if not _is_anothers(words, wide, spot, marks)) if words.role in MARKED else spots


def _is_anothers(words: Words, wide: int, spot: NameSpot, marks: Marks) -> bool:
    left, row = ceil(spot.left), floor(spot.top)
    for at, room in ((row, 2), (row - 1, 0), (row + 1, 0)):
        for column, name in marks.get(at, ()):
            if left - room <= column < left + wide + room and name != words.id:
                return True
    return False


def _rings(words: Words) -> int:
    matters = words.state in URGENT or words.role == "gate" or (words.role == "post" and words.rank < LINE_RANK)
    return FAR_RINGS if matters else RINGS


def _gap(canvas: Canvas, words: Words, wide: int) -> NameSpot | None:
    """Where a solid's name fits in it, in its widest row."""
    corners = [canvas.viewport.to_cell(point) for point in words.along]
    runs = [
        (right - left, row, (left + right) / 2)
        for row in range(max(floor(min(y for _, y in corners)), 0), min(ceil(max(y for _, y in corners)), canvas.viewport.height))
        for left, right in stretches(corners, row + 0.5)
    ]
    spots = (_whole(NameSpot(middle - wide / 2, row, middle + wide / 2, row + 1), wide) for _, row, middle in sorted(runs, reverse=True))
    return next((spot for spot in spots if canvas.is_solid(ceil(spot.left) - 1, floor(spot.top), wide + 2)), None)


def write_chosen(
    canvas: Canvas, drawing: Drawing, letterings: Mapping[Role, Lettering], taken: Taken, written: Written, chosen: str
) -> None:
    """The chosen thing's name, once, in brackets, where only lines and marks keep it off; names that it comes to lie on give way."""
    abouts = [one for one in drawing.of(Words) if one.role in letterings and chosen in (one.id, one.group)]
    for about in sorted(abouts, key=lambda one: one.rank):
        text = f"[{chosen}] {about.text}" if about.role == "bay length" and about.id == chosen else f"[{chosen}]"
        wide = len(cells_of(text))
        own = [_whole(_middled(spot, wide), wide) for words, spot in written if words is about]
        others = [other for words, other in written if words is not about]
        near = [spot for spot in (*own, *_spots(canvas.viewport, about, wide, FAR_RINGS)) if taken.is_free(spot)]
        anywhere = (spot for spot in _spots(canvas.viewport, about, wide, CHOSEN_RINGS) if taken.is_free(spot))
        clear = (spot for spot in near if not any(overlap(other, spot) for other in others))
        spot = next(chain(clear, near, anywhere), None)
        if spot is not None:
            break
    else:
        return
    for words, other in written:
        if words is about or (words.id == chosen and words.role != "bay length") or overlap(other, spot):
            canvas.wipe(ceil(other.left), floor(other.top), floor(other.right) - ceil(other.left))
    canvas.put(ceil(spot.left), floor(spot.top), text, "chosen")


def _middled(spot: NameSpot, wide: int) -> NameSpot:
    middle = (spot.left + spot.right) / 2
    return NameSpot(middle - wide / 2, spot.top, middle + wide / 2, spot.bottom)


def _texts(drawing: Drawing, letterings: Mapping[Role, Lettering]) -> Iterator[tuple[Words, str, str]]:
    """Words with what is written for them, and its colour."""
    for one in drawing.of(Words):
        if one.role in letterings:
            lettering = letterings[one.role]
            colour = one.state if one.state in URGENT else lettering.kinds.get(one.kind, lettering.colour)
            yield one, one.text + SIGNS[one.state], colour


def _spots(viewport: Viewport, words: Words, wide: int, rings: int) -> Iterator[NameSpot]:
    """Where words may stand, in whole cells, half a cell free at either end."""
    inner = words.role == "bay length"
    if words.rank >= LENGTH_RANK and rings == RINGS and len(words.along) > 1 and _looks_long(viewport, *words.along[:2]) < BAY_CELLS:
        return
    place: Point | None = words.pos
    if words.role in (*AREAS, "buried"):
        place = place_in_view(words.pos, words.along, _bounds(viewport), words.role in AREAS)
    column, row = (-1.0, -1.0) if place is None else viewport.to_cell(place)
    if not (0 <= column < viewport.width and 0 <= row < viewport.height):
        return
    at = (floor(column) + 0.5, floor(row) + 0.5)
    if words.role in AREAS:
        yield from (
            _whole(NameSpot(at[0] - wide / 2, at[1] + down - 0.5, at[0] + wide / 2, at[1] + down + 0.5), wide) for down in (0, 1, -1)
        )
    elif words.role == "buried":
        yield from _beside_line(viewport, words, wide)
    off = (0.0, 0.0)
    if words.side is not None:
        across, up = outward(words.pos, words.along[:2], words.side)
        off = (-across, up) if inner else (across, -up)
    for spot in spots_round(at, wide, 1.0, BESIDE, off, rings):
        yield _whole(spot, wide)


def _looks_long(viewport: Viewport, a: Point, b: Point) -> float:
    return hypot(b[0] - a[0], b[1] - a[1]) / viewport.feet_per_cell


def _beside_line(viewport: Viewport, words: Words, wide: int) -> Iterator[NameSpot]:
    """Beside a long line, at shares of each of its stretches."""
    for a, b in pairwise(map(viewport.to_cell, words.along)):
        if hypot(b[0] - a[0], b[1] - a[1]) > wide:
            for share in (0.5, 0.25, 0.75, 0.1, 0.9, 0.375, 0.625):
                at = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
                if 0 <= at[0] < viewport.width and 0 <= at[1] < viewport.height:
                    near = (floor(at[0]) + 0.5, floor(at[1]) + 0.5)
                    yield from (_whole(spot, wide) for spot in spots_round(near, wide, 1.0, BESIDE, rings=ZONE_RINGS))


def _whole(spot: NameSpot, wide: int) -> NameSpot:
    left, top = floor(spot.left + 0.5), floor(spot.top + 0.5)
    return NameSpot(left - 0.5, float(top), left + wide + 0.5, top + 1.0)


def _bounds(viewport: Viewport) -> tuple[float, float, float, float]:
    """West, south, east and north of what is in view, ft."""
    (west, north), (east, south) = viewport.to_world((0, 0)), viewport.to_world((viewport.width, viewport.height))
    return west, south, east, north
