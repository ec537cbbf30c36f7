"""The apron round corners: how far two aprons lap on the inside of a turn, and the piece that closes the wedge on its outside."""

from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import ceil, cos, radians, sin, tan

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point, azimuth_deg, travel
from engine.calc.large_libraries import shapely
from engine.calc.remember import remembered
from engine.stages.fabric.aprons import BayApron
from engine.stages.layout.stage import Bay, Layout
from engine.stages.survey.stage import Survey

Ring = tuple[Point, ...]

LOOKED_BESIDE_FT = 1.0
"""How far off a corner is looked for a yard."""
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
    yards = tuple(yard.ring for yard in survey.yards.values() if len(yard.ring) > 2)
    return tuple(lap for before, after in _corners(layout) if (lap := _lap(layout, yards, aprons, before, after, corner_deg, lap_in)))


def _corners(layout: Layout) -> Iterator[tuple[Bay, Bay]]:
    """Neighbouring bays of each line, round the start of a closed one too."""
    for line in layout.lines.values():
        bays = [layout.bays[name] for name in line.bays]
        yield from ((before, after) for before, after in pairwise([*bays, *bays[:1]]) if before.to_id == after.from_id)


def _lap(
    layout: Layout, yards: tuple[Ring, ...], aprons: Mapping[str, BayApron], before: Bay, after: Bay, corner_deg: float, lap_in: float
) -> CornerLap | None:
    post = layout.supports[before.to_id]
    turn = abs(post.turn_deg)
    if before.id not in aprons or after.id not in aprons or not corner_deg <= turn <= SHARPEST_DEG:
        return None
    apron_in = min(aprons[before.id].apron_in[-1], aprons[after.id].apron_in[0])
    if apron_in <= 0:
        return None
    half = radians(turn / 2)
    open_in = 2 * apron_in * sin(half)
    piece = (float(ceil(apron_in * cos(half) + lap_in)), float(ceil(open_in + 2 * lap_in)))
    side = _side(layout.supports[before.from_id].xy, post.xy, post.turn_deg, yards)
    return CornerLap(post.id, turn, apron_in, side, apron_in * tan(half), open_in, piece)


@remembered
def _side(before: Point, at: Point, turn_deg: float, yards: tuple[Ring, ...]) -> str:
    """Whether a yard lies inside the turn, outside it, or both or neither."""
    inward = azimuth_deg(before, at) + turn_deg / 2 + (90 if turn_deg > 0 else -90)
    spots = (travel(at, way % 360, LOOKED_BESIDE_FT) for way in (inward, inward + 180))
    holds = [bool(shapely.contains_xy(_polygons(yards), *spot).any()) for spot in spots]
    return "both" if holds[0] == holds[1] else "inside" if holds[0] else "outside"


@remembered
def _polygons(yards: tuple[Ring, ...]) -> "list[shapely.Polygon]":
    return [shapely.Polygon(ring) for ring in yards]
