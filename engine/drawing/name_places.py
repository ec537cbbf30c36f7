"""Where names are written: each at the first of its spots that lies on no other name, on no mark and across no line, what matters most
first. One law for screen and page: both say in their own units (cells, pixels; x to the right, y down) what is there and what is wanted."""

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from math import ceil, cos, floor, hypot, radians, sin
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point

SQUARES = 24
"""The frame is looked up in so many squares along its longer side."""
ROUND = ((1.0, 0.0), (0.0, -1.0), (0.0, 1.0), (-1.0, 0.0), (1.0, -1.0), (1.0, 1.0), (-1.0, -1.0), (-1.0, 1.0))


class NameSpot(NamedTuple):
    """Where words would lie: their bounds, and their corners where they lie turned."""

    left: float
    top: float
    right: float
    bottom: float
    corners: tuple[Point, ...] = ()


@dataclass(frozen=True)
class Name:
    """Words that want a spot, the best first; the lowest `rank` matters most."""

    rank: int
    spots: Iterable[NameSpot]


class Taken:
    """A frame with what lies in it: lines, from which names keep `clear` (across, down), and marks."""

    def __init__(self, frame: NameSpot, lines: Iterable[tuple[Point, Point]], clear: Point = (0.0, 0.0)) -> None:
        self.frame, self.clear = frame, clear
        self._side = max(frame.right - frame.left, frame.bottom - frame.top, 1.0) / SQUARES
        self._lines: dict[tuple[int, int], list[tuple[NameSpot, Point, Point]]] = {}
        self._spots: dict[tuple[int, int], list[NameSpot]] = {}
        grown = _grown(frame, clear)
        for a, b in lines:
            self._add_line(a, b, grown)

    def copy(self) -> "Taken":
        """Another of the same, its lines shared, to put marks and names in."""
        other = Taken(self.frame, (), self.clear)
        other._lines = self._lines
        other._spots = {square: [*spots] for square, spots in self._spots.items()}
        return other

    def add(self, spot: NameSpot) -> None:
        """A mark or a name that lies there now."""
        for square in self._squares(spot):
            self._spots.setdefault(square, []).append(spot)

    def is_free(self, spot: NameSpot) -> bool:
        """Whether words can lie there: inside the frame, on nothing, across no line."""
        frame, (across, down) = self.frame, self.clear
        left, top, right, bottom, corners = spot
        if left < frame.left or top < frame.top or right > frame.right or bottom > frame.bottom:
            return False
        side, spots, lines = self._side, self._spots, self._lines
        low, high, first, last = left - across, right + across, top - down, bottom + down
        near: NameSpot | None = None
        for row in range(floor(first / side), floor(last / side) + 1):
            for column in range(floor(low / side), floor(high / side) + 1):
                for other in spots.get((column, row), ()):
                    beside = other[0] >= right or left >= other[2] or other[1] >= bottom or top >= other[3]
                    if not beside and (not (corners or other.corners) or overlap(spot, other)):
                        return False
                for bounds, a, b in lines.get((column, row), ()):
                    if bounds[0] <= high and low <= bounds[2] and bounds[1] <= last and first <= bounds[3]:
                        near = near or _grown(spot, self.clear)
                        if crosses(near, a, b):
                            return False
        return True

    def _add_line(self, a: Point, b: Point, frame: NameSpot) -> None:
        """In pieces no longer than a square, those in the frame."""
        if not _bounds_meet(_bounds((a, b)), frame):
            return
        (ax, ay), (bx, by) = a, b
        pieces = max(ceil(hypot(bx - ax, by - ay) / self._side), 1)
        last = a
        for piece in range(1, pieces + 1):
            there = (ax + (bx - ax) * piece / pieces, ay + (by - ay) * piece / pieces)
            bounds = _bounds((last, there))
            if _bounds_meet(bounds, frame):
                for square in self._squares(bounds):
                    self._lines.setdefault(square, []).append((bounds, last, there))
            last = there

    def _squares(self, spot: NameSpot) -> Iterator[tuple[int, int]]:
        side = self._side
        for down in range(floor(spot.top / side), floor(spot.bottom / side) + 1):
            for across in range(floor(spot.left / side), floor(spot.right / side) + 1):
                yield across, down


def place_names(names: Sequence[Name], taken: Taken) -> list[NameSpot | None]:
    """A spot for every name, in the order given, or None for one that is left out; `taken` holds them all then."""
    placed: list[NameSpot | None] = [None] * len(names)
    for at in sorted(range(len(names)), key=lambda one: names[one].rank):
        spot = next((spot for spot in names[at].spots if taken.is_free(spot)), None)
        if spot is not None:
            placed[at] = spot
            taken.add(spot)
    return placed


def spots_round(at: Point, wide: float, high: float, away: Point, outward: Point = (0.0, 0.0), rings: int = 2) -> Iterator[NameSpot]:
    """Spots for words round a place, `away` (across, down) from it, those first that lie `outward`: right beside it, then a little further
    aside, then ever further off."""
    ways = _ways(round(outward[0], 1), round(outward[1], 1))
    for ring in range(rings):
        off = max(ring - 1, 0) * high
        for across, down in ways:
            if ring == 1 and not across:
                continue
            aside = away[0] / 3 if across and down else away[0]
            x = at[0] + across * (aside + wide / 2 + ring * away[0] * 2 / 3)
            y = at[1] + down * (away[1] + high / 2 + off)
            yield NameSpot(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)


@lru_cache(maxsize=512)
def _ways(across: float, down: float) -> tuple[Point, ...]:
    """Ways round a place, those first that lie that way."""
    return tuple(sorted(ROUND, key=lambda way: -(way[0] * across + way[1] * down) / hypot(*way)))


def turned_spot(middle: Point, wide: float, high: float, turn_deg: float) -> NameSpot:
    """A spot round its middle, turned clockwise."""
    (x, y), turn = middle, radians(turn_deg)
    along, off = (cos(turn) * wide / 2, sin(turn) * wide / 2), (-sin(turn) * high / 2, cos(turn) * high / 2)
    signs = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    corners = tuple((x + s * along[0] + t * off[0], y + s * along[1] + t * off[1]) for s, t in signs)
    return NameSpot(*_bounds(corners)[:4], corners)


def outward(at: Point, along: Sequence[Point], side: Point | None) -> Point:
    """The way square off a run at a place of it, away from what lies to its `side`; nothing where neither is known."""
    if len(along) < 2 or side is None:
        return (0.0, 0.0)
    (ax, ay), (bx, by) = along[0], along[-1]
    run = hypot(bx - ax, by - ay)
    if not run:
        away = hypot(at[0] - side[0], at[1] - side[1]) or 1.0
        return ((at[0] - side[0]) / away, (at[1] - side[1]) / away)
    off = (-(by - ay) / run, (bx - ax) / run)
    sign = 1.0 if off[0] * (side[0] - at[0]) + off[1] * (side[1] - at[1]) <= 0 else -1.0
    return (sign * off[0], sign * off[1])


def overlap(one: NameSpot, other: NameSpot) -> bool:
    """Whether two spots share ground; to touch is not to overlap."""
    if not (one.left < other.right and other.left < one.right and one.top < other.bottom and other.top < one.bottom):
        return False
    return not (one.corners or other.corners) or not _apart(_corners(one), _corners(other))


def crosses(spot: NameSpot, a: Point, b: Point) -> bool:
    """Whether a line runs into a spot."""
    if not _bounds_meet(_bounds((a, b)), spot):
        return False
    (ax, ay), across, down = a, b[0] - a[0], b[1] - a[1]
    sides = [across * (y - ay) - down * (x - ax) for x, y in _corners(spot)]
    if min(sides) > 0 or max(sides) < 0:
        return False
    return not spot.corners or not _parted(spot.corners, (a, b), spot.corners)


def _grown(spot: NameSpot, by: Point) -> NameSpot:
    across, down = by
    return NameSpot(
        spot.left - across, spot.top - down, spot.right + across, spot.bottom + down, _grown_corners(spot.corners, across, down)
    )


def _grown_corners(corners: tuple[Point, ...], along: float, off: float) -> tuple[Point, ...]:
    if not corners:
        return ()
    (ax, ay), (bx, by), _, (dx, dy) = corners
    long, high = hypot(bx - ax, by - ay) or 1.0, hypot(dx - ax, dy - ay) or 1.0
    u, v = ((bx - ax) * along / long, (by - ay) * along / long), ((dx - ax) * off / high, (dy - ay) * off / high)
    signs = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return tuple((x + s * u[0] + t * v[0], y + s * u[1] + t * v[1]) for (x, y), (s, t) in zip(corners, signs, strict=True))


def _bounds(points: Sequence[Point]) -> NameSpot:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return NameSpot(min(xs), min(ys), max(xs), max(ys))


def _bounds_meet(one: NameSpot, other: NameSpot) -> bool:
    return one.left <= other.right and other.left <= one.right and one.top <= other.bottom and other.top <= one.bottom


def _corners(spot: NameSpot) -> tuple[Point, ...]:
    return spot.corners or ((spot.left, spot.top), (spot.right, spot.top), (spot.right, spot.bottom), (spot.left, spot.bottom))


def _apart(one: Sequence[Point], other: Sequence[Point]) -> bool:
    """Whether a straight line goes between two outlines that bulge everywhere: then one along a side of either does."""
    return _parted(one, other, one) or _parted(one, other, other)


def _parted(one: Sequence[Point], other: Sequence[Point], sides: Sequence[Point]) -> bool:
    for (ax, ay), (bx, by) in zip(sides, (*sides[1:], sides[0]), strict=True):
        across, down = by - ay, ax - bx
        first, second = [x * across + y * down for x, y in one], [x * across + y * down for x, y in other]
        if max(first) <= min(second) or max(second) <= min(first):
            return True
    return False
