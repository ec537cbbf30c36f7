"""Stage 2, layout: where every support stands, the bays between them, and how a crew sets them out."""

from collections.abc import Mapping
from dataclasses import dataclass

from engine.calc.plane import Point
from engine.checklist import Item
from engine.findings import Finding
from engine.job.fence import PostKind, SupportKind
from engine.job.job import Job
from engine.stages.survey import Survey

READS = (
    "rules", "structures", "trees", "obstacles", "utilities", "boundaries", "decks", "fence", "lines", "gates", "posts", "log",
)  # fmt: skip


@dataclass(frozen=True)
class Support:
    """One support where it stands today: planned place plus its moves.

    `station_ft`, `offset_ft` (right of the line positive) are on its own `line`. `kind` is its work (line, corner, end, gate, tee);
    `support` what carries the eyes; `at` the tree or structure. `turn_deg` is the turn of the cables there, right positive.
    `gate` is set for a gate post. `planned` is the place in the accepted (or proposed) plan before moves.
    """

    id: str
    line: str
    station_ft: float
    offset_ft: float
    kind: PostKind
    support: SupportKind
    at: str | None
    east_ft: float
    north_ft: float
    level_ft: float
    turn_deg: float
    gate: str | None
    planned: Point
    moved: bool

    @property
    def xy(self) -> Point:
        """East and north, ft."""
        return (self.east_ft, self.north_ft)


@dataclass(frozen=True)
class Bay:
    """The space between two neighbouring supports of a line, or a gate's opening when `gate` is set.

    `start_ft`/`end_ft` are stations on `line`; `plan_ft` is level, `slope_ft` straight between the ground at both supports.
    """

    id: str
    line: str
    from_id: str
    to_id: str
    start_ft: float
    end_ft: float
    plan_ft: float
    slope_ft: float
    rise_ft: float
    gate: str | None


@dataclass(frozen=True)
class LineLayout:
    """The supports and bays of a line in order. A closed line's last bay ends on its first support."""

    line: str
    length_ft: float
    supports: tuple[str, ...]
    bays: tuple[str, ...]


@dataclass(frozen=True)
class TapeTie:
    """Two tapes that set a support out, with the angle between them; `check` is a third tape where there is a point for it."""

    support: str
    from_a: str
    tape_a_ft: float
    from_b: str
    tape_b_ft: float
    angle_deg: float
    check: tuple[str, float] | None


@dataclass(frozen=True)
class StringLine:
    """A string pulled between two supports with those to set along it: (support, distance along, offset right)."""

    line: str
    from_id: str
    to_id: str
    length_ft: float
    along: tuple[tuple[str, float, float], ...]


@dataclass(frozen=True)
class Clearance:
    """Distance of a support inside a boundary (negative: over it), with the survey's standard error."""

    support: str
    boundary: str
    inside_ft: float
    sigma_ft: float
    setback_ft: float


@dataclass(frozen=True)
class KeepOut:
    """Ground where nothing may be driven; `id` names its source (`utility:gas`, `tree:oak`, `obstacle:rock1`, `log:7`)."""

    id: str
    kind: str
    polygon: tuple[Point, ...]
    why: str


@dataclass(frozen=True)
class Layout:
    """The whole set-out. `accepted` is whether the job holds a plan; otherwise this is the proposal."""

    accepted: bool
    supports: Mapping[str, Support]
    bays: Mapping[str, Bay]
    lines: Mapping[str, LineLayout]
    ties: Mapping[str, TapeTie]
    strings: tuple[StringLine, ...]
    diagonals: tuple[tuple[str, str, float], ...]
    clearances: tuple[Clearance, ...]
    keep_outs: tuple[KeepOut, ...]
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]


def layout(job: Job, survey: Survey) -> Layout:
    raise NotImplementedError
