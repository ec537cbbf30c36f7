"""Small layouts and surveys built straight from spots on the ground, for the stages that come after layout."""

from collections.abc import Mapping, Sequence
from itertools import accumulate, pairwise
from math import hypot
from typing import NamedTuple

from engine.calc.geometry.ground import Profile
from engine.calc.geometry.plane import Point
from engine.job.model.fence import PostKind, SupportKind
from engine.stages.layout.keep_outs import KeepOutId
from engine.stages.layout.stage import Bay, KeepOut, Layout, LineLayout, Support
from engine.stages.survey.stage import LineSurvey, Survey

LIGHT = {name: {"weight_lb": 1e-6} for name in ("wire-48", "wire-36", "mesh-48", "mesh-36")}
"""Wire and mesh that weigh nothing to speak of."""


class Spot(NamedTuple):
    """Where a support stands and what it is."""

    id: str
    east_ft: float
    north_ft: float = 0.0
    kind: PostKind = "line"
    level_ft: float = 0.0
    support: SupportKind = "driven"


def layout_of(lines: Mapping[str, Sequence[Spot]], gates: Mapping[str, str] | None = None, keep_outs: Sequence[KeepOut] = ()) -> Layout:
    """A layout of lines through spots; a line that ends on its first spot is closed; a spot named twice belongs to the first line."""
    supports: dict[str, Support] = {}
    bays: dict[str, Bay] = {}
    laid: dict[str, LineLayout] = {}
    for line, spots in lines.items():
        stations = _stations_ft(spots)
        for spot, station in zip(spots, stations, strict=True):
            supports.setdefault(spot.id, _support(line, spot, station))
        names = []
        for (a, start), (b, end) in pairwise(zip(spots, stations, strict=True)):
            bay = _bay(line, a, b, start, end, gates or {})
            bays[bay.id] = bay
            names.append(bay.id)
        ids = tuple(dict.fromkeys(spot.id for spot in spots))
        laid[line] = LineLayout(line, stations[-1] if stations else 0.0, ids, tuple(names))
    return Layout(True, supports, bays, laid, {}, (), (), (), tuple(keep_outs), (), ())


def survey_of(layout: Layout, ground: Mapping[str, Profile] | None = None) -> Survey:
    """A survey with the lines of a layout; ground straight between the supports unless given."""
    lines = {}
    for name, line in layout.lines.items():
        bays = [layout.bays[bay] for bay in line.bays]
        ends = [layout.supports[bays[0].from_id], *(layout.supports[bay.to_id] for bay in bays)]
        stations = (bays[0].start_ft, *(bay.end_ft for bay in bays))
        profile = (ground or {}).get(name) or Profile(stations, tuple(end.level_ft for end in ends))
        lines[name] = LineSurvey(name, (), tuple(end.xy for end in ends), line.length_ft, profile, len(stations))
    return Survey({}, {}, (), 0, (), (), lines, {}, None, (), ())


def row(count: int, bay_ft: float, first: PostKind = "end", last: PostKind = "end") -> list[Spot]:
    """Spots P1, P2, ... due east on flat ground, the first at the origin."""
    kinds: list[PostKind] = [first, *["line"] * (count - 2), last]
    return [Spot(f"P{n + 1}", n * bay_ft, 0.0, kind) for n, kind in enumerate(kinds)]


def square(east_ft: float, north_ft: float, half_ft: float, record: str = "rock") -> KeepOut:
    """A square keep-out about a place."""
    low_e, high_e, low_n, high_n = east_ft - half_ft, east_ft + half_ft, north_ft - half_ft, north_ft + half_ft
    polygon: tuple[Point, ...] = ((low_e, low_n), (high_e, low_n), (high_e, high_n), (low_e, high_n))
    return KeepOut(KeepOutId("obstacle", record), "obstacle", polygon, "the rock")


def _stations_ft(spots: Sequence[Spot]) -> list[float]:
    legs = [hypot(b.east_ft - a.east_ft, b.north_ft - a.north_ft) for a, b in pairwise(spots)]
    return list(accumulate(legs, initial=0.0)) if spots else []


def _support(line: str, spot: Spot, station_ft: float) -> Support:
    return Support(
        id=spot.id,
        line=line,
        station_ft=station_ft,
        offset_ft=0.0,
        kind=spot.kind,
        support=spot.support,
        at=None if spot.support == "driven" else "oak",
        east_ft=spot.east_ft,
        north_ft=spot.north_ft,
        level_ft=spot.level_ft,
        turn_deg=0.0,
        gate=None,
        planned=(spot.east_ft, spot.north_ft),
        meant=(spot.east_ft, spot.north_ft),
        moved=False,
    )


def _bay(line: str, a: Spot, b: Spot, start_ft: float, end_ft: float, gates: Mapping[str, str]) -> Bay:
    plan_ft, rise_ft = end_ft - start_ft, b.level_ft - a.level_ft
    name = f"{a.id}-{b.id}"
    return Bay(name, line, a.id, b.id, start_ft, end_ft, plan_ft, hypot(plan_ft, rise_ft), rise_ft, gates.get(name))
