"""Where a brace foot goes: the spot nearest the wanted distance that is clear, within reach of the stock brace, and inside its bay."""

from collections.abc import Sequence
from itertools import chain, islice, repeat
from math import inf

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import Profile, level_at_ft
from engine.calc.geometry.plane import Point, travel
from engine.calc.limits import OutOfRange
from engine.calc.remember import ByParts, remembered_columns
from engine.calc.statics.brace import Brace, brace_forces
from engine.calc.tolerances import ROUNDING_COUNT
from engine.job.model.rules import BraceRules
from engine.stages.bracing.what_pulls import StateName
from engine.stages.layout.stage import KeepOut
from engine.stages.posts.adjoining import keep_outs_at

STEP_IN = 3.0
"""A foot is moved in steps of this: common practice, no source."""


@dataclass(frozen=True)
class BraceSite:
    """A brace to be placed: the post's place and level, which way it leans, what it holds, and the ground under it.

    `toward` is the support at the other end of its arm, None for a brace inside a bend. Stations on `profile` count from the post;
    `forward` is whether the foot lies towards rising stations; `room_ft` the length of the bay. `state` is the one whose pull it holds.
    """

    toward: str | None
    post: Point
    level_ft: float
    azimuth_deg: float
    pull_lbf: float
    pull_height_ft: float
    band_height_ft: float
    profile: Profile
    state: StateName = "pulled"
    forward: bool = True
    room_ft: float = inf


@dataclass(frozen=True)
class Foot:
    """One place for a foot: distance from the post, ground level, forces, the length of brace it takes, and the keep-out it stands in."""

    stand: BraceSite
    distance_ft: float
    point: Point
    level_ft: float
    forces: Brace
    length_ft: float
    keep_out: KeepOut | None

    def __hash__(self) -> int:
        """Of a few fields: feet are looked up often and are seldom alike."""
        return hash((self.point, self.distance_ft, self.level_ft))

    @property
    def in_bay(self) -> bool:
        """Whether it stands short of the next support."""
        return self.distance_ft < self.stand.room_ft


def best_feet(stands: Sequence[BraceSite], rules: BraceRules, keep_outs: tuple[KeepOut, ...], stock_ft: float) -> list[Foot | None]:
    """The best foot for each brace, tried every 3 in within the tolerance of the wanted distance.

    Best is clear of keep-outs first, then within the bay, then within reach of the stock brace, then nearest to the wanted distance,
    of two the one nearer to the post. The length of the brace includes what is driven.
    Returns: a foot for each stand; None where the ground is as high as the band at every distance above 0.
    Source: common practice, no source, for the distance; engine.calc.statics.brace for the forces.
    Valid for: ground known along the line; off the line it is taken as level.
    """
    wanted = _wanted(stands, repeat(rules))
    feet = _first_tried(stands, wanted, keep_outs_at(wanted, keep_outs), repeat(rules))
    unfit = [at for at, foot in enumerate(feet) if foot is None or any(_rank(foot, stock_ft))]
    sites = [stands[at] for at in unfit]
    others = _others(sites, repeat(rules))
    areas = iter(keep_outs_at([*chain.from_iterable(others)], keep_outs))
    found = ByParts(tuple(islice(areas, len(row))) for row in others)
    best = _best(sites, [feet[at] for at in unfit], others, found, repeat(rules), repeat(stock_ft))
    for at, foot in zip(unfit, best, strict=True):
        feet[at] = foot
    return feet


@remembered_columns
def _wanted(stand: BraceSite, rules: BraceRules) -> Point:
    return travel(stand.post, stand.azimuth_deg, rules.foot_ft)


@remembered_columns
def _first_tried(stand: BraceSite, wanted: Point, keep_out: KeepOut | None, rules: BraceRules) -> Foot | None:
    """The foot at the wanted distance: mostly no other is worked out."""
    return _foot(stand, rules.foot_ft, wanted, keep_out, rules)


@remembered_columns
def _others(stand: BraceSite, rules: BraceRules) -> tuple[Point, ...]:
    return tuple([travel(stand.post, stand.azimuth_deg, distance_ft) for distance_ft in _distances_ft(rules)])


@remembered_columns
def _best(
    stand: BraceSite, first: Foot | None, points: Sequence[Point], keep_outs: Sequence[KeepOut | None], rules: BraceRules, stock_ft: float
) -> Foot | None:
    """The best of all, by what stands at its own spots: a keep-out anywhere else changes nothing here."""
    spots = zip(_distances_ft(rules), points, keep_outs, strict=True)
    feet = (first, *(_foot(stand, distance_ft, point, area, rules) for distance_ft, point, area in spots))
    return min((foot for foot in feet if foot), key=lambda foot: _rank(foot, stock_ft), default=None)


def farthest_ft(rules: BraceRules) -> float:
    """How far from its post a foot is looked for."""
    return max((rules.foot_ft, *_distances_ft(rules)))


def _distances_ft(rules: BraceRules) -> list[float]:
    """Distances to try besides the wanted one, ever further from it, nearer to the post before further out."""
    steps = int(rules.foot_tolerance_in / STEP_IN + ROUNDING_COUNT)
    return [rules.foot_ft + side * step * STEP_IN / 12 for step in range(1, steps + 1) for side in (-1, 1)]


def _foot(stand: BraceSite, distance_ft: float, point: Point, keep_out: KeepOut | None, rules: BraceRules) -> Foot | None:
    level_ft = level_at_ft(stand.profile, distance_ft if stand.forward else -distance_ft)
    try:
        forces = brace_forces(stand.pull_lbf, stand.pull_height_ft, stand.band_height_ft, distance_ft, stand.level_ft - level_ft)
    except OutOfRange:
        return None
    return Foot(stand, distance_ft, point, level_ft, forces, forces.length_ft + rules.foot_depth_in / 12, keep_out)


def _rank(foot: Foot, stock_ft: float) -> tuple[bool, bool, bool]:
    """Worse is greater; of equals `min` keeps the first tried."""
    return (foot.keep_out is not None, not foot.in_bay, foot.length_ft > stock_ft)
