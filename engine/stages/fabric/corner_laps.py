"""The apron round corners: how far two aprons lap on the inside of a turn, and the piece that closes the wedge on its outside."""

from collections.abc import Iterator, Mapping
from itertools import pairwise, repeat
from math import ceil, cos, radians, sin, tan

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point, azimuth_deg, travel
from engine.calc.large_libraries import shapely
from engine.calc.remember import remembered, remembered_columns
from engine.stages.fabric.aprons import BayApron
from engine.stages.layout.stage import Bay, Layout, Support
from engine.stages.survey.stage import Survey

Ring = tuple[Point, ...]

LOOKED_BESIDE_FT = 1.0
"""How far off a corner is looked for a yard."""
BESIDE_FT = 2 * LOOKED_BESIDE_FT
"""A yard that doesn't come so near a corner isn't looked at."""
SHARPEST_DEG = 150.0
"""A turn sharper than this is no corner but a fence that comes back."""


@dataclass(frozen=True)
class CornerLap:
    """The apron at one turn. It lies `inside` the turn (two aprons lap: slit one, lay it over the other by `lap_in` along the cable),
    `outside` (a wedge `open_in` wide at its outer edge is closed by a piece `piece_in` long and wide), or on `both` sides where no yard
    or two yards tell."""

    support: str
    turn_deg: float
    apron_in: float
    side: str
    lap_in: float
    open_in: float
    piece_in: tuple[float, float]


def corner_laps(survey: Survey, layout: Layout, aprons: Mapping[str, BayApron], corner_deg: float, lap_in: float) -> tuple[CornerLap, ...]:
    """Every turn of `corner_deg` or more between two bays with wire. The apron lies on the dogs' side, which is where a yard is."""
    corners = [(before, after) for before, after in _corners(layout, corner_deg) if before.id in aprons and after.id in aprons]
    laps = _lap(
        repeat(_yards(tuple(yard.ring for yard in survey.yards.values() if len(yard.ring) > 2))),
        repeat(lap_in),
        [layout.supports[before.from_id] for before, _ in corners],
        [layout.supports[before.to_id] for before, _ in corners],
        [aprons[before.id] for before, _ in corners],
        [aprons[after.id] for _, after in corners],
    )
    return tuple(lap for lap in laps if lap is not None)


def _corners(layout: Layout, corner_deg: float) -> Iterator[tuple[Bay, Bay]]:
    """Neighbouring bays of each line with a corner between them, round the start of a closed one too."""
    turned = {name for name, support in layout.supports.items() if corner_deg <= abs(support.turn_deg) <= SHARPEST_DEG}
    for line in layout.lines.values():
        bays = [layout.bays[name] for name in line.bays]
        yield from ((before, after) for before, after in pairwise([*bays, *bays[:1]]) if before.to_id == after.from_id in turned)


@dataclass(frozen=True)
class _Yard:
    """A yard as a polygon, and how far it reaches west, south, east and north; like no other, so that it is found by what it is."""

    polygon: "shapely.Polygon"
    bounds: tuple[float, float, float, float]

    __eq__ = object.__eq__
    __hash__ = object.__hash__

    def near(self, spot: Point) -> bool:
        """Whether it may hold what lies beside a corner."""
        (east, north), (west, south, far_east, far_north) = spot, self.bounds
        return west - BESIDE_FT <= east <= far_east + BESIDE_FT and south - BESIDE_FT <= north <= far_north + BESIDE_FT


@remembered
def _yards(rings: tuple[Ring, ...]) -> tuple[_Yard, ...]:
    return tuple(map(_yard, rings))


@remembered
def _yard(ring: Ring) -> _Yard:
    polygon = shapely.Polygon(ring)
    return _Yard(polygon, polygon.bounds)


@remembered_columns
def _lap(yards: tuple[_Yard, ...], lap_in: float, start: Support, post: Support, before: BayApron, after: BayApron) -> CornerLap | None:
    turn, apron_in = abs(post.turn_deg), min(before.apron_in[-1], after.apron_in[0])
    if apron_in <= 0:
        return None
    half = radians(turn / 2)
    open_in = 2 * apron_in * sin(half)
    piece = (float(ceil(apron_in * cos(half) + lap_in)), float(ceil(open_in + 2 * lap_in)))
    side = _side(start.xy, post.xy, post.turn_deg, tuple([yard for yard in yards if yard.near(post.xy)]))
    return CornerLap(post.id, turn, apron_in, side, apron_in * tan(half), open_in, piece)


@remembered
def _side(before: Point, at: Point, turn_deg: float, yards: tuple[_Yard, ...]) -> str:
    """Whether a yard lies inside the turn, outside it, or both or neither."""
    inward = azimuth_deg(before, at) + turn_deg / 2 + (90 if turn_deg > 0 else -90)
    spots = (travel(at, way % 360, LOOKED_BESIDE_FT) for way in (inward, inward + 180))
    holds = [bool(shapely.contains_xy([yard.polygon for yard in yards], *spot).any()) for spot in spots]
    return "both" if holds[0] == holds[1] else "inside" if holds[0] else "outside"
