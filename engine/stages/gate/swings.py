"""The leaves of a gate swung over the ground: the line's own, and what was shot beside it."""

from collections.abc import Callable, Sequence
from itertools import groupby

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import breaks_between, level_at_ft, levels_at_ft
from engine.calc.geometry.many_places import stations_along_ft
from engine.calc.geometry.plane import Point, azimuth_deg, travel
from engine.calc.geometry.terrain import levels_between
from engine.calc.large_libraries import ArrayLike, Floats, np, shapely
from engine.calc.statics.gate_leaf import swing_clearance
from engine.calc.tolerances import TOUCHING_FT
from engine.job.model.base import Side
from engine.job.model.fence import Gate
from engine.job.model.rules import GateRules
from engine.stages.gate.gate_leaves import Leaf, NearLine, Opening, hung_on
from engine.stages.layout.line_tracks import place_on

CLEAR_IN = 0.5
"""A leaf that passes this far over the ground swings clear: common practice, no source."""
ARC_STEP_DEG = 15
SIDES: tuple[Side, Side] = ("left", "right")
ANGLE_STEP_DEG = 3
TENTHS = 10
"""How finely the ground below a leaf is looked at: every so many degrees, and at each tenth of its width."""


@dataclass(frozen=True)
class LeafSwing:
    """One leaf swung from shut to square open: its least clearance over the ground (in), where, and its tip's arc, every 15 degrees."""

    least_in: float
    at_deg: float
    at_ft: float
    clear: bool
    arc: tuple[Point, ...]


@dataclass(frozen=True)
class Swing:
    """Each leaf of a gate swung to one side, seen walking along the line; `worst` is the number of the leaf that clears least.

    `raise_in` is how much higher the leaves have to hang to swing clear. `known_share` of what they sweep lies between levels that were
    shot; over the rest the ground counts as that of the line's nearest point.
    """

    side: Side
    leaves: tuple[LeafSwing, ...]
    worst: int
    raise_in: float
    known_share: float

    @property
    def of_worst(self) -> LeafSwing:
        """The leaf that clears least."""
        return self.leaves[self.worst - 1]

    @property
    def least_in(self) -> float:
        """The least clearance of any leaf."""
        return self.of_worst.least_in

    @property
    def clear(self) -> bool:
        """Whether every leaf passes over the ground."""
        return self.of_worst.clear


@dataclass(frozen=True)
class _Ground:
    """Spots with levels round an opening: on the line, and beside it; the line's own ground further off."""

    spots: tuple[Point, ...]
    levels_ft: tuple[float, ...]
    own: Callable[[Floats, Floats], ArrayLike]

    def levels(self, east: Floats, north: Floats) -> ArrayLike:
        own = self.own(east, north)
        if not self.spots:
            return own
        between, known = levels_between(self.spots, self.levels_ft, east, north)
        return np.where(known, between, own)

    def known(self, leaf: Leaf, turns: Side) -> float:
        """Share of what a leaf sweeps that lies between spots."""
        return float(levels_between(self.spots, self.levels_ft, *_swept(leaf, turns))[1].mean()) if self.spots else 0.0


def swings_of(gate: Gate, rules: GateRules, opening: Opening, leaves: Sequence[Leaf]) -> tuple[Swing, ...]:
    """The leaves swung to the left and to the right of the line, from shut to square open.

    The bottom edge is level, a bottom gap over the highest ground of the opening. Between the line and level shots beside it, of the
    stretch within two leaf widths of the opening, the ground runs straight across the triangles between shots; where there are none it
    counts as that of the line's nearest point.

    Raises: OutOfRange where the edge would be over 5 ft up.
    """
    ground = _ground(opening)
    return tuple(_swing(side, gate, rules, opening, leaves, ground) for side in SIDES)


def _ground(opening: Opening) -> _Ground:
    line = opening.line
    own = _own(line)
    if not line.beside:
        return _Ground((), (), own)
    between = breaks_between(line.profile, line.near_ft, line.far_ft)
    on_line = sorted({line.near_ft, 0.0, opening.long_ft, line.far_ft, *between, *(at for at, _, _ in line.beside if at <= line.far_ft)})
    rows = [*((station, 0.0, level_at_ft(line.profile, station)) for station in on_line), *line.beside]
    spots: dict[Point, float] = {}
    for station, offset, level in rows:
        spot = place_on(line.path, station - line.path_ft, offset)
        if all(abs(spot[0] - e) > TOUCHING_FT or abs(spot[1] - n) > TOUCHING_FT for e, n in spots):
            spots[spot] = level
    return _Ground(tuple(spots), tuple(spots.values()), own)


def _own(line: NearLine) -> Callable[[Floats, Floats], ArrayLike]:
    """The ground of the line's nearest point; one level where no shot lies higher than another."""
    low_ft, high_ft = min(line.profile.levels_ft), max(line.profile.levels_ft)
    if low_ft == high_ft:
        return lambda _east, _north: low_ft
    run = shapely.ops.substring(shapely.LineString(line.path), line.near_ft - line.path_ft, line.far_ft - line.path_ft)
    path = [at for at, _ in groupby(run.coords)]

    def own(east: Floats, north: Floats) -> Floats:
        stations_ft = stations_along_ft(path, np.column_stack([east.ravel(), north.ravel()]))
        return levels_at_ft(line.profile, line.near_ft + stations_ft).reshape(east.shape)

    return own


def _swing(side: Side, gate: Gate, rules: GateRules, opening: Opening, leaves: Sequence[Leaf], ground: _Ground) -> Swing:
    bottom_ft = opening.highest_ft + rules.bottom_gap_in / 12
    swung: list[LeafSwing] = []
    shares = []
    for (hinge, _), leaf in zip(hung_on(gate, opening), leaves, strict=True):
        level_ft = opening.start_level_ft if hinge is opening.start else opening.end_level_ft
        turns = _as_seen(side, ahead=hinge is opening.start)
        shut_deg = azimuth_deg(leaf.hinge, leaf.latch)
        clears = swing_clearance(leaf.hinge, shut_deg, leaf.width_ft, bottom_ft - level_ft, turns, ground.levels, level_ft)
        at = (clears.least_in, clears.at_angle_deg, clears.at_radius_ft)
        swung.append(LeafSwing(*at, clear=clears.least_in >= CLEAR_IN, arc=_arc(leaf, turns)))
        shares.append(ground.known(leaf, turns))
    worst = min(range(len(swung)), key=lambda number: swung[number].least_in)
    raise_in = max(0.0, CLEAR_IN - swung[worst].least_in)
    return Swing(side, tuple(swung), worst=worst + 1, raise_in=raise_in, known_share=min(shares))


def _swept(leaf: Leaf, turns: Side) -> tuple[Floats, Floats]:
    """Places all over what a leaf sweeps."""
    sign = 1 if turns == "right" else -1
    turned = np.radians(azimuth_deg(leaf.hinge, leaf.latch) + sign * np.arange(ANGLE_STEP_DEG, 91.0, ANGLE_STEP_DEG))
    radii = np.linspace(0.1, 1.0, TENTHS) * leaf.width_ft
    return leaf.hinge[0] + np.outer(np.sin(turned), radii), leaf.hinge[1] + np.outer(np.cos(turned), radii)


def _as_seen(side: Side, *, ahead: bool) -> Side:
    """A side of the line as one at the hinge sees it who looks along the shut leaf, which runs ahead along the line or back."""
    return side if ahead else SIDES[1 - SIDES.index(side)]


def _arc(leaf: Leaf, turns: Side) -> tuple[Point, ...]:
    shut_deg = azimuth_deg(leaf.hinge, leaf.latch)
    sign = 1 if turns == "right" else -1
    return tuple(travel(leaf.hinge, shut_deg + sign * angle, leaf.width_ft) for angle in range(0, 91, ARC_STEP_DEG))


def stations_to_shoot_ft(opening: Opening) -> tuple[float, float, float]:
    """How far along the opening level shots a leaf's width off it make the ground under a swing known: at both posts, and midway."""
    return 0.0, opening.long_ft / 2, opening.long_ft
