"""Straight lines and areas on a grid: which of its squares they go through."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from tui.canvas.viewport import Point


def is_steep(a: Point, b: Point) -> bool:
    """Whether a line goes further down than across."""
    return abs(b[1] - a[1]) > abs(b[0] - a[0])


def trace(a: Point, b: Point) -> Iterator[tuple[int, int]]:
    """Whole grid positions along a line, one a step of its longer way, both ends included."""
    steps = max(math.ceil(max(abs(b[0] - a[0]), abs(b[1] - a[1]))), 1)
    for step in range(steps + 1):
        part = step / steps
        yield math.floor(a[0] + (b[0] - a[0]) * part), math.floor(a[1] + (b[1] - a[1]) * part)


def clip(a: Point, b: Point, width: float, height: float) -> tuple[Point, Point] | None:
    """The part of a line inside `0..width`, `0..height`; None when it passes by."""
    across, down = b[0] - a[0], b[1] - a[1]
    start, stop = 0.0, 1.0
    for step, room in ((-across, a[0]), (across, width - a[0]), (-down, a[1]), (down, height - a[1])):
        if step == 0:
            if room < 0:
                return None
        elif step < 0:
            start = max(start, room / step)
        else:
            stop = min(stop, room / step)
    if start > stop:
        return None
    return (a[0] + across * start, a[1] + down * start), (a[0] + across * stop, a[1] + down * stop)


def stretches(corners: Sequence[Point], y: float) -> Iterator[tuple[float, float]]:
    """Stretches of the level `y` inside a polygon, by the even-odd rule."""
    crossings = sorted(
        a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]) for a, b in pairwise([*corners, *corners[:1]]) if (a[1] <= y) != (b[1] <= y)
    )
    return zip(crossings[::2], crossings[1::2], strict=True)


def squares_inside(corners: Sequence[Point], width: int, height: int) -> Iterator[tuple[int, range]]:
    """Rows and their columns, of a grid so wide and high, whose middles lie inside a polygon."""
    low = max(min((y for _, y in corners), default=0), 0)
    high = min(max((y for _, y in corners), default=0), height)
    for y in range(math.floor(low), math.ceil(high)):
        for left, right in stretches(corners, y + 0.5):
            yield y, range(max(math.ceil(left - 0.5), 0), min(math.ceil(right - 0.5), width))


def polar(centre: Point, point: Point) -> Point:
    """Radius and angle of a point round a centre."""
    across, up = point[0] - centre[0], point[1] - centre[1]
    return math.hypot(across, up), math.atan2(up, across)
