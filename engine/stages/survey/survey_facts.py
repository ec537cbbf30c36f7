"""What the survey gives, as frozen records; `engine.stages.survey.stage` fills them and hands them on."""

from collections.abc import Mapping, Sequence
from itertools import accumulate, pairwise

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import Profile, level_at_ft
from engine.calc.geometry.plane import Point, distance_ft
from engine.calc.measuring.adjust import Ellipse
from engine.checklist import Item
from engine.findings import Finding
from engine.job.model.base import FEET_PLACES
from engine.job.model.fence import SurfaceKind


@dataclass(frozen=True)
class PlacedPoint:
    """A point with its place, its standard error (long half axis of its ellipse) and the ellipse; a known point has none: all 0."""

    name: str
    east_ft: float
    north_ft: float
    sigma_ft: float
    ellipse: Ellipse
    how: str

    @property
    def xy(self) -> Point:
        """East and north, ft."""
        return (self.east_ft, self.north_ft)


@dataclass(frozen=True)
class ShotFit:
    """One measured value against the adjusted points; `residual` is measured less computed, in ft (degrees for a bearing); of one
    that doesn't fit, how far the others say it is off.

    `redundancy` is the share of it that the other shots check: 0 nothing does, 1 they fix it alone.
    """

    shot: str
    method: str
    part: str
    residual: float
    redundancy: float
    standardised: float | None
    fits: bool
    says: str


@dataclass(frozen=True)
class LegTraverse:
    """A chain of legs that closes on its start or on another known point, by the compass rule."""

    points: tuple[str, ...]
    length_ft: float
    lat_error_ft: float
    dep_error_ft: float
    misclosure_ft: float
    precision: float | None


@dataclass(frozen=True)
class PacedCheck:
    """A paced distance against the distance between the adjusted points."""

    shot: str
    from_point: str
    to_point: str
    paced_ft: float
    measured_ft: float


@dataclass(frozen=True)
class Floor:
    """Hard ground, a deck or steps that a line runs over. `levels_ft` are those of a raised deck's floor or of each tread in order of
    stations, none where the floor follows the ground; `driven` is whether posts may be driven there; `area` are
    the corners of the ground it keeps clear otherwise."""

    surface: str
    kind: SurfaceKind
    from_ft: float
    to_ft: float
    levels_ft: tuple[float, ...] = ()
    lift_ft: float = 0.0
    rail_ft: float | None = None
    open_under: bool = False
    driven: bool = False
    area: tuple[Point, ...] = ()

    def flats(self) -> tuple[tuple[float, float, float], ...]:
        """Its level pieces: (from, to, level), ft."""
        count, wide_ft = len(self.levels_ft), self.to_ft - self.from_ft
        edges = [self.from_ft + wide_ft * n / count for n in range(count)] + [self.to_ft]
        return tuple(zip(edges, edges[1:], self.levels_ft, strict=False))

    def rise_ft(self, ground: Profile) -> float:
        """Rise of the ground from end to end, ft."""
        return level_at_ft(ground, self.to_ft) - level_at_ft(ground, self.from_ft)


def line_stations_ft(path: Sequence[Point]) -> tuple[float, ...]:
    """Stations of a line's points: run by run to as many places as a job file has, so that what lies past a new way is one length further
    on, and stands to the bit where it stood."""
    runs_ft = (round(distance_ft(a, b), FEET_PLACES) for a, b in pairwise(path))
    return tuple([round(station_ft, FEET_PLACES) for station_ft in accumulate(runs_ft, initial=0.0)])


@dataclass(frozen=True)
class LineSurvey:
    """A line on the ground: its path through points, length, ground profile (flat at 0 where nothing was shot), and its floors. `beside` is
    ground that was shot beside it: (station, offset, level), ft, right of the line positive."""

    name: str
    vertices: tuple[str, ...]
    path: tuple[Point, ...]
    length_ft: float
    profile: Profile
    level_shots: int
    floors: tuple[Floor, ...] = ()
    beside: tuple[tuple[float, float, float], ...] = ()


@dataclass(frozen=True)
class YardArea:
    """An area closed by lines, gates and walls round the yard's point; where it doesn't close, the gap and its two ends."""

    name: str
    closed: bool
    ring: tuple[Point, ...]
    area_ft2: float
    perimeter_ft: float
    gap_ft: float | None
    gap_ends: tuple[Point, Point] | None
    floor_needed_ft2: float


@dataclass(frozen=True)
class Survey:
    """Everything the survey gives. `unplaced` maps a point that can't be fixed to the shot that would fix it, in words."""

    points: Mapping[str, PlacedPoint]
    unplaced: Mapping[str, str]
    fits: tuple[ShotFit, ...]
    degrees_of_freedom: int
    traverses: tuple[LegTraverse, ...]
    paced: tuple[PacedCheck, ...]
    lines: Mapping[str, LineSurvey]
    yards: Mapping[str, YardArea]
    suited_height_ft: float | None
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]
