"""The fence: materials, lines, gates, yards and the accepted plan of posts."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from engine.job.base import Feet, Id, LineEnd, LongFeet, Part, Side, SignedFeet, Text

Meets = Literal["structure", "tree", "line", "itself", "free"]
PostKind = Literal["line", "corner", "end", "gate", "tee"]
SupportKind = Literal["driven", "tree", "structure"]


class Fence(Part):
    """Height and the stock the fence is made of, by stock id."""

    height_ft: Annotated[LongFeet, Field(ge=3, le=8)] = 6.0
    cable: Id = "cable-3-32"
    post: Id = "post-8"
    sleeve: Id = "sleeve-30"
    brace: Id = "brace-8"
    wire: Id | None = None
    mesh: Id | None = None
    gate_tube: Id = "gate-tube"


class Line(Part):
    """One continuous run of fence through points, and what each end meets.

    `start_at` and `end_at` name the structure, tree or other line that the end meets. A closed loop names its first point again
    as its last and meets itself at both ends.
    """

    points: Annotated[tuple[Id, ...], Field(min_length=2, max_length=500)]
    start_meets: Meets = "free"
    start_at: Id | None = None
    end_meets: Meets = "free"
    end_at: Id | None = None
    note: Text = ""

    @model_validator(mode="after")
    def _ends(self) -> "Line":
        for end, meets, at in (("start", self.start_meets, self.start_at), ("end", self.end_meets, self.end_at)):
            if meets in ("structure", "tree", "line") and at is None:
                raise ValueError(f'{end}_meets is "{meets}", so {end}_at must name it')
            if meets in ("free", "itself") and at is not None:
                raise ValueError(f'{end}_at names "{at}" but {end}_meets is "{meets}"')
        closed = self.points[0] == self.points[-1]
        if closed != (self.start_meets == "itself") or closed != (self.end_meets == "itself"):
            raise ValueError('a line that comes back to its first point meets "itself" at both ends, and no other line does')
        if closed and len(self.points) < 4:
            raise ValueError("a closed line needs at least three different points")
        return self

    @property
    def closed(self) -> bool:
        """Whether the line comes back to its first point."""
        return self.start_meets == "itself"


class Gate(Part):
    """A gate in a line: `station_ft` is its post nearer the line's start; `opens` is seen walking along the line."""

    line: Id
    station_ft: Feet
    leaf_width_ft: Annotated[LongFeet, Field(ge=2, le=12)] = 5.0
    leaves: Annotated[int, Field(ge=1, le=2)] = 1
    hinge: LineEnd = "start"
    opens: Side = "left"
    note: Text = ""


class Yard(Part):
    """An area the fence encloses, known by one point inside it."""

    inside: Id
    name: Text = ""
    note: Text = ""


class Post(Part):
    """One support of the accepted plan, where it was meant to stand; `offset_ft` is square off the line, right of it positive.

    `at` names the tree or structure that carries the eyes where no post is driven. A post at a meeting of lines belongs to one.
    """

    line: Id
    station_ft: Feet
    offset_ft: SignedFeet = 0.0
    kind: PostKind
    support: SupportKind = "driven"
    at: Id | None = None
