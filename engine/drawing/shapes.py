"""What a drawing is made of: lines, areas, circles, marks and words in feet, each with the role it plays, and what can be chosen in it.

A point is `(east_ft, north_ft)` in a plan and a corner, `(station_ft, level_ft)` in a profile and an apron, and feet from the left post
and above its ground in a gate.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import pairwise
from math import cos, pi, sin
from typing import Literal, TypeVar

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import Profile, breaks_between, level_at_ft
from engine.calc.geometry.plane import Point

Role = Literal[
    "fence", "bare", "surveyed", "point", "post", "planned", "moved", "brace", "foot", "swing", "leaf", "shut", "gate",
    "tree", "wall", "boundary", "keepout", "yard", "bay length", "line", "going", "goes from", "goes to", "known place", "old sleeve",
    "frame", "arm", "pull", "latch", "hinge", "hinge side", "drop rod", "ground sleeve", "hook", "diagonal",
    "face wire", "size", "apron", "infill", "stake", "fastened",
    "ground", "pole", "bearer", "sleeve", "sleeve wanted", "eye", "top", "cable", "mesh", "wire", "hem", "loop", "station",
    "house", "deck", "buried",
]  # fmt: skip
"""A tape starts from a `known place`; an `old sleeve` stays in the ground where no post stands any more. A `bare` line has no supports
yet; `planned` is where a post that was `moved` was to stand, `going` what a change would do to it. A `bearer` is a tree or wall that
carries the eyes, a `hem` the lower edge of the hanging wire; a `top` is a post's by the levels of its own line, also where another line
meets it; a `wall` is a face as it was measured, the `house` what is behind it; a `frame` is no more than what a drawing shows."""
State = Literal["stop", "fix", "note", "done", "planned"]
STATES: tuple[State, ...] = ("stop", "fix", "note", "done", "planned")
LINE_RANK, LENGTH_RANK = 13, 15
"""Of names in a plan: those of posts of the line come after those of corners and ends; lengths of bays matter least, unless a drawing is
about them."""
MET = "met"
"""The group of a post that a line meets: another line's, or its own first post where it closes."""


@dataclass(frozen=True)
class Stroke:
    """A line through points. `id` is the thing it draws, `group` what that is part of: its cable loop, or its bay; `kind` tells lines
    of one role apart."""

    role: Role
    points: tuple[Point, ...]
    id: str = ""
    group: str = ""
    kind: str = ""


@dataclass(frozen=True)
class Area:
    """What lies inside a line that closes; `kind` tells areas of one role apart."""

    role: Role
    points: tuple[Point, ...]
    id: str = ""
    kind: str = ""


@dataclass(frozen=True)
class Circle:
    """A full circle."""

    role: Role
    centre: Point
    radius_ft: float


@dataclass(frozen=True)
class Arc:
    """Part of a circle round `centre`, from `start` to `end` by the shorter way."""

    role: Role
    centre: Point
    start: Point
    end: Point


@dataclass(frozen=True)
class Mark:
    """A sign at a place; `kind` tells marks of one role apart. Of marks and words the lowest `rank` matters most."""

    role: Role
    pos: Point
    id: str = ""
    group: str = ""
    kind: str = ""
    state: State = "planned"
    rank: int = 0


@dataclass(frozen=True)
class Words:
    """Words at a place, about the thing `id`; `kind` tells words of one role apart. `along` is the run they are written beside, `side` a
    place that lies to one side of it."""

    role: Role
    pos: Point
    text: str
    id: str = ""
    group: str = ""
    state: State = "planned"
    kind: str = ""
    rank: int = 0
    along: tuple[Point, ...] = ()
    side: Point | None = None


Shape = Stroke | Area | Circle | Arc | Mark | Words
ShapeT = TypeVar("ShapeT", Stroke, Area, Circle, Arc, Mark, Words)
Pick = tuple[str, tuple[Point, ...]]
"""A thing that can be chosen, and the point or polyline where it is."""


@dataclass(frozen=True)
class Drawing:
    """Shapes, what can be chosen in them, and what is said over it all. From one that shows a single thing, `id`, one steps to others;
    one that is about a part of what it holds opens on `opens_on`."""

    shapes: tuple[Shape, ...]
    picks: tuple[Pick, ...] = ()
    says: tuple[str, ...] = ()
    id: str = ""
    steps: tuple[str, ...] = ()
    opens_on: tuple[Point, ...] = ()

    def of(self, kind: type[ShapeT], *roles: Role) -> list[ShapeT]:
        """The shapes of a kind that play one of these roles, or any."""
        return [shape for shape in self.shapes if isinstance(shape, kind) and (not roles or shape.role in roles)]


def path_of(shape: Shape) -> tuple[Point, ...]:
    """The line that a shape is drawn by, an arc in short straight pieces; a mark, a circle and words have none."""
    match shape:
        case Stroke():
            return shape.points
        case Area():
            return (*shape.points, *shape.points[:1])
        case Arc():
            (x, y), (ax, ay), (bx, by) = shape.centre, shape.start, shape.end
            turns = [(cos(step * pi / 16), sin(step * pi / 16)) for step in range(9)]
            return tuple((x + c * (ax - x) + s * (bx - x), y + c * (ay - y) + s * (by - y)) for c, s in turns)
        case _:
            return ()


def runs_of(shapes: Iterable[Shape], at: Callable[[Point], Point]) -> Iterator[tuple[Point, Point]]:
    """The straight runs that shapes are drawn by, where a screen or a page has them."""
    for shape in shapes:
        yield from pairwise(map(at, path_of(shape)))


def middle_of(points: Sequence[Point]) -> Point:
    """The middle of the bounds of points."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def run_between(points: Sequence[Point], from_ft: float, to_ft: float) -> tuple[Point, ...]:
    """The part of a line from the side between two stations."""
    run = Profile(tuple(station for station, _ in points), tuple(level for _, level in points))
    return tuple((at, level_at_ft(run, at)) for at in (from_ft, *breaks_between(run, from_ft, to_ft), to_ft))
