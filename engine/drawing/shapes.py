"""What a drawing is made of: lines, areas, circles, marks and words in feet, each with the role it plays, and what can be chosen in it.

A point is `(east_ft, north_ft)` in a plan and a corner, `(station_ft, level_ft)` in a profile and an apron, and feet from the left post
and above its ground in a gate.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeVar

from engine.calc.geometry.ground import Profile, breaks_between, level_at_ft
from engine.calc.geometry.plane import Point

Role = Literal[
    "ground", "pole", "bearer", "sleeve", "sleeve wanted", "eye", "top", "cable", "mesh", "wire", "hem", "leaf",
    "post", "gate", "bay length", "loop", "station",
]  # fmt: skip
"""A `bearer` is a tree or wall that carries the eyes, a `hem` the lower edge of the hanging wire; a `top` is a post's by the
levels of its own line, also where another line meets it."""
State = Literal["stop", "fix", "note", "done", "planned"]
STATES: tuple[State, ...] = ("stop", "fix", "note", "done", "planned")
MET = "met"
"""The group of a post that a line meets: another line's, or its own first post where it closes."""


@dataclass(frozen=True)
class Stroke:
    """A line through points. `id` is the thing it draws, `group` what that is part of: its cable loop, or its bay."""

    role: Role
    points: tuple[Point, ...]
    id: str = ""
    group: str = ""


@dataclass(frozen=True)
class Area:
    """What lies inside a line that closes; `kind` tells areas of one role apart."""

    role: Role
    points: tuple[Point, ...]
    id: str = ""
    kind: str = ""


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
    """Words at a place, about the thing `id`; `along` is the run they are written beside."""

    role: Role
    pos: Point
    text: str
    id: str = ""
    group: str = ""
    state: State = "planned"
    rank: int = 0
    along: tuple[Point, ...] = ()


Shape = Stroke | Area | Mark | Words
ShapeT = TypeVar("ShapeT", Stroke, Area, Mark, Words)


@dataclass(frozen=True)
class Drawing:
    """Shapes; what can be chosen, as an id and its point or polyline, in the order it is stepped through; and what is said over it all."""

    shapes: tuple[Shape, ...]
    picks: tuple[tuple[str, tuple[Point, ...]], ...] = ()
    says: tuple[str, ...] = ()

    def of(self, kind: type[ShapeT], *roles: Role) -> list[ShapeT]:
        """The shapes of a kind that play one of these roles, or any."""
        return [shape for shape in self.shapes if isinstance(shape, kind) and (not roles or shape.role in roles)]


def run_between(points: Sequence[Point], from_ft: float, to_ft: float) -> tuple[Point, ...]:
    """The part of a line from the side between two stations."""
    run = Profile(tuple(station for station, _ in points), tuple(level for _, level in points))
    return tuple((at, level_at_ft(run, at)) for at in (from_ft, *breaks_between(run, from_ft, to_ft), to_ft))
