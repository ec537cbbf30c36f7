"""The fence: materials, lines, gates, yards, whole layouts beside the job's own, and the accepted plan of posts."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from engine.job.model.base import AgainstItself, Feet, Id, LineEnd, LongFeet, Part, Side, SignedFeet, Text
from engine.job.model.shots import LevelShot

Meets = Literal["structure", "tree", "line", "itself", "free"]
PostKind = Literal["line", "corner", "end", "gate", "tee"]
SupportKind = Literal["driven", "tree", "structure"]
SurfaceKind = Literal["slab", "paving", "deck", "steps"]


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


class FenceLine(Part):
    """One continuous run of fence through points, and what each end meets. `start_at` and `end_at` name the structure, tree or other line
    that the end meets. A closed loop names its first point again as its last and meets itself at both ends."""

    points: Annotated[tuple[Id, ...], Field(min_length=2, max_length=500)]
    start_meets: Meets = "free"
    start_at: Id | None = None
    end_meets: Meets = "free"
    end_at: Id | None = None
    note: Text = ""

    @model_validator(mode="after")
    def _ends(self) -> "FenceLine":
        for end, meets, at in (("start", self.start_meets, self.start_at), ("end", self.end_meets, self.end_at)):
            if meets in ("structure", "tree", "line") and at is None:
                raise AgainstItself(f"{end}_at", f'{end}_meets is "{meets}", so {end}_at must name it')
            if meets in ("free", "itself") and at is not None:
                raise AgainstItself(f"{end}_meets", f'{end}_at names "{at}" but {end}_meets is "{meets}"')
        closed = self.points[0] == self.points[-1]
        if closed != (self.start_meets == "itself") or closed != (self.end_meets == "itself"):
            says = 'a line that comes back to its first point meets "itself" at both ends, and no other line does'
            raise AgainstItself("start_meets", says)
        if closed and len(self.points) < 4:
            raise AgainstItself("points", "a closed line needs at least three different points")
        return self

    @property
    def closed(self) -> bool:
        """Whether the line comes back to its first point."""
        return self.start_meets == "itself"


WIDEST_LEAF_FT = 12
"""A wider gate has two leaves."""


class Gate(Part):
    """A gate in a line: `station_ft` is its post nearer the line's start; `opens` is seen walking along the line. `height_ft` is that of
    its top over the ground, where it isn't as high as the fence beside it."""

    line: Id
    station_ft: Feet
    leaf_width_ft: Annotated[LongFeet, Field(ge=2, le=WIDEST_LEAF_FT)] = 5.0
    height_ft: Annotated[LongFeet, Field(ge=2, le=10)] | None = None
    leaves: Annotated[int, Field(ge=1, le=2)] = 1
    hinge: LineEnd = "start"
    opens: Side = "left"
    note: Text = ""


class Surface(Part):
    """Hard ground or a floor that a stretch of a line runs over, walking from `from_ft` to `to_ft` along it.

    A deck's floor is level, `height_ft` above the ground where the stretch begins; `rail_ft` is a rail's height over it. Steps are
    treads of one depth that fill the stretch and share out the rise of the ground between its ends; the first riser stands at the
    lower end. A post there stands on a base plate, but is driven in paving (lifted for it) and where `drive_through` says so.
    """

    line: Id
    from_ft: Feet
    to_ft: LongFeet
    kind: SurfaceKind
    height_ft: Feet = 0.0
    rail_ft: Annotated[LongFeet, Field(ge=2, le=8)] | None = None
    open_under: bool = True
    tread_count: Annotated[int, Field(ge=1, le=100)] | None = None
    drive_through: bool = False
    note: Text = ""

    @model_validator(mode="after")
    def _shape(self) -> "Surface":
        _runs_on(self.from_ft, self.to_ft)
        if self.kind != "deck" and (self.height_ft > 0 or self.rail_ft is not None):
            raise AgainstItself("height_ft", f"height_ft and rail_ft are a deck's, and this is {self.kind}")
        if (self.kind == "steps") != (self.tread_count is not None):
            raise AgainstItself("tread_count", "tread_count is needed for steps, and only for them")
        return self

    @property
    def driven(self) -> bool:
        """Whether a post may be driven there."""
        return self.drive_through or self.kind == "paving"


class HeightChange(Part):
    """A stretch of a line where the fence is of another height; it changes at the supports nearest to the two ends."""

    line: Id
    from_ft: Feet
    to_ft: LongFeet
    height_ft: Annotated[LongFeet, Field(ge=3, le=8)]
    note: Text = ""

    @model_validator(mode="after")
    def _shape(self) -> "HeightChange":
        _runs_on(self.from_ft, self.to_ft)
        return self


def _runs_on(from_ft: float, to_ft: float) -> None:
    if to_ft <= from_ft:
        raise AgainstItself("from_ft", "to_ft has to lie further along the line than from_ft")


class Yard(Part):
    """An area the fence encloses, known by one place inside it: a point that was measured, or where the ground was chosen."""

    inside: Id | None = None
    east_ft: SignedFeet | None = None
    north_ft: SignedFeet | None = None
    name: Text = ""
    note: Text = ""

    @model_validator(mode="after")
    def _one_place(self) -> "Yard":
        chosen = (self.east_ft is None, self.north_ft is None)
        if chosen[0] != chosen[1]:
            raise AgainstItself("north_ft" if chosen[1] else "east_ft", "a place inside it is east_ft together with north_ft")
        if (self.inside is None) == chosen[0]:
            raise AgainstItself("inside", "give a point inside it, or east_ft and north_ft of a place there")
        return self


LAYOUT_TABLES = ("fence", "lines", "surfaces", "heights", "gates", "yards")
"""Tables of a job that say where its fence goes and what it is made of; the level shots of its lines go with them. Each has a
field in an `Alternative`, so that a layout that is kept holds it; a figure to compare is one of `LayoutFigures`."""


class Alternative(Part):
    """A whole layout, in tables of the same names as the job's. `levels` are its level shots, which are taken along its own lines."""

    note: Text = ""
    fence: Fence = Fence.model_construct()
    lines: dict[Id, FenceLine] = {}
    surfaces: dict[Id, Surface] = {}
    heights: dict[Id, HeightChange] = {}
    gates: dict[Id, Gate] = {}
    yards: dict[Id, Yard] = {}
    levels: dict[Id, LevelShot] = {}


class Post(Part):
    """One support of the accepted plan, where it was meant to stand; `offset_ft` is square off the line, right of it positive.

    A station is less than 0 where the post stands before the start of its line. `meant_ft` is the station at which an earlier plan had it,
    of which it was moved away since: the turn, the gate or the other line's end there is its own.

    `at` names the tree or structure that carries the eyes where no post is driven, or the surface that its base plate stands on. A post at
    a meeting of lines belongs to one.
    """

    line: Id
    station_ft: SignedFeet
    offset_ft: SignedFeet = 0.0
    kind: PostKind
    support: SupportKind = "driven"
    at: Id | None = None
    meant_ft: SignedFeet | None = None
