"""Every place the figures show where a dog could get out of its yard."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import shapely

from engine.calc.lengths import format_ft_in, format_in
from engine.calc.plane import Point, distance_ft
from engine.job.job import Job
from engine.job.people import Dog
from engine.stages.fabric import Fabric
from engine.stages.gate import Gates, GateWork
from engine.stages.layout import Layout, Support
from engine.stages.parts.aprons import BayApron, is_filled
from engine.stages.parts.dogs import least_gap_in
from engine.stages.parts.tracks import ENDS, what_meets
from engine.stages.survey import Survey

AT_YARD_FT = 3.0
"""A place this near to a yard's edge is on it."""
SAME_SPOT_FT = 1.0
"""A gap and a line's end this near together are one way out."""
TOUCHES_IN = 0.5
"""Less than this between a post and what the line meets is no gap."""
DRAWN_OFF_IN = 6.0
"""A support on a wall or a tree that is drawn no further than this off it stands on it."""


@dataclass(frozen=True)
class WayOut:
    """A place a dog could get out: where, how big (in), and what closes it. Largest first."""

    where: str
    subject: str
    opening_in: float
    closes_with: str


@dataclass(frozen=True)
class _Place:
    """A possible way out before the dogs are asked: `over_in` is what passes by rule where there is no dog."""

    way: WayOut
    spot: Point
    over_in: float
    dug: bool = False


def ways_out(job: Job, survey: Survey, layout: Layout, fabric: Fabric, gates: Gates) -> tuple[WayOut, ...]:
    """Every place where the smallest dog of that yard could get out, largest first.

    A place on no yard's edge, or on that of a yard without dogs, counts for every dog of the job; without any dog every gap over the
    rule counts. A dog that digs gets through any gap under the wire. What the crew read or ticked wins over what was worked out.
    Arguments: job; results of earlier stages, ft and in.
    Returns: ways out; openings in inches.
    Source: judgement, common practice, no source: see engine.stages.parts.dogs.
    Valid for: gaps that the figures know of; a yard is walked all the same.
    """
    places = (
        *_under_wire(job, layout, fabric),
        *_at_gates(job, layout, gates),
        *_open_yards(survey),
        *_open_ends(job, survey, layout),
        *_at_walls(job, survey, layout),
    )
    least_in = _least_gaps(job, survey)
    passed = [place.way for place in places if _passes(place, *least_in(place.spot))]
    return tuple(sorted(passed, key=lambda way: -way.opening_in))


def _passes(place: _Place, dog_in: float | None, digs: bool) -> bool:
    if dog_in is None:
        return place.way.opening_in > place.over_in
    return place.way.opening_in >= (0.0 if place.dug and digs else dog_in)


def _least_gaps(job: Job, survey: Survey) -> Callable[[Point], tuple[float | None, bool]]:
    """For a spot the smallest gap that a dog of its yard gets through, and whether one of them digs."""
    edges = {name: shapely.LinearRing(yard.ring) for name, yard in survey.yards.items() if len(yard.ring) > 2}

    def at(spot: Point) -> tuple[float | None, bool]:
        here = {name for name, edge in edges.items() if shapely.distance(edge, shapely.Point(spot)) <= AT_YARD_FT}
        dogs = [dog for dog in job.dogs.values() if dog.yard is None or dog.yard in here]
        asked: list[Dog] = dogs if here and dogs else list(job.dogs.values())
        return least_gap_in(asked), any(dog.digs for dog in asked)

    return at


def _under_wire(job: Job, layout: Layout, fabric: Fabric) -> Iterator[_Place]:
    for name, apron in fabric.bays.items():
        if apron.hole_in and not is_filled(job, name):
            bay = layout.bays[name]
            at = format_ft_in(apron.least_at_ft)
            closes = f"{format_ft_in(apron.infill_ft)} of infill ringed to the wire, or the dip filled"
            way = WayOut(f"under the wire, {bay.from_id} to {bay.to_id} at {at}", name, apron.hole_in, closes)
            yield _Place(way, _along(layout, name, apron), 0.0, dug=True)


def _along(layout: Layout, name: str, apron: BayApron) -> Point:
    """Place of a bay's worst spot, between its supports."""
    bay = layout.bays[name]
    (e1, n1), (e2, n2) = layout.supports[bay.from_id].xy, layout.supports[bay.to_id].xy
    share = (apron.least_at_ft - apron.stations_ft[0]) / (apron.stations_ft[-1] - apron.stations_ft[0])
    return (e1 + share * (e2 - e1), n1 + share * (n2 - n1))


def _at_gates(job: Job, layout: Layout, gates: Gates) -> Iterator[_Place]:
    rules = job.rules.gate
    for name, work in gates.gates.items():
        spot = layout.supports[work.latch_post].xy
        under_in = _read(job, name, "bottom_gap", work.bottom_gap_most_in)
        under = WayOut(f"under gate {name}", name, under_in, "a trimmed rail, or a strip of wire below it")
        yield _Place(under, spot, rules.bottom_gap_max_in)
        beside_in = _beside_in(work, _read(job, name, "opening", work.opening_ft))
        beside = WayOut(f"beside gate {name}", name, beside_in, "a wider leaf, or a post nearer")
        yield _Place(beside, spot, rules.gap_in + rules.opening_tolerance_in)


def _read(job: Job, gate: str, what: str, worked_out: float) -> float:
    tick = job.checks.get(f"gate.{gate}.{what}")
    return worked_out if tick is None or tick.reading is None else tick.reading


def _beside_in(work: GateWork, opening_ft: float) -> float:
    """All the gap of the opening on one side of the leaf."""
    return 12 * (opening_ft - sum(leaf.width_ft for leaf in work.leaves))


def _open_yards(survey: Survey) -> Iterator[_Place]:
    for name, yard in survey.yards.items():
        if yard.gap_ft is not None and yard.gap_ends is not None:
            where = f"yard {name} doesn't close, {format_ft_in(yard.gap_ft)} open"
            yield _Place(WayOut(where, name, 12 * yard.gap_ft, "a line across the gap"), yard.gap_ends[0], 0.0)


def _open_ends(job: Job, survey: Survey, layout: Layout) -> Iterator[_Place]:
    """Free ends of lines, unless every yard is known to close or where it doesn't."""
    known = survey.yards and all(yard.closed or yard.gap_ft is not None for yard in survey.yards.values())
    if known:
        return
    gaps = [end for yard in survey.yards.values() if yard.gap_ends for end in yard.gap_ends]
    for name, line in layout.lines.items():
        for end, index in zip(ENDS, (0, -1), strict=True):
            if not line.supports or what_meets(job.lines[name], end)[0] != "free":
                continue
            post = layout.supports[line.supports[index]]
            if all(distance_ft(post.xy, gap) > SAME_SPOT_FT for gap in gaps):
                away_in = 12 * _nearest_ft(job, survey, layout, name, post)
                where = f"line {name} ends free at {post.id}"
                yield _Place(WayOut(where, post.id, away_in, "a line on to a wall, a tree or the next line"), post.xy, TOUCHES_IN)


def _nearest_ft(job: Job, survey: Survey, layout: Layout, name: str, post: Support) -> float:
    """From a line's free end to the nearest wall, other line or other end of its own line."""
    others = [shapely.LineString(line.path) for other, line in survey.lines.items() if other != name]
    walls = [wall for wall in (_wall(job, survey, structure) for structure in job.structures) if wall is not None]
    row = layout.lines[name].supports
    far = [shapely.Point(layout.supports[end].xy) for end in (row[0], row[-1]) if end != post.id]
    return min((float(shapely.distance(thing, shapely.Point(post.xy))) for thing in (*others, *walls, *far)), default=0.0)


def _wall(job: Job, survey: Survey, structure: str) -> shapely.Geometry | None:
    path = [survey.points[name].xy for name in job.structures[structure].points if name in survey.points]
    return shapely.LineString(path) if len(set(path)) > 1 else None


def _at_walls(job: Job, survey: Survey, layout: Layout) -> Iterator[_Place]:
    """Between a line's last support and the wall or tree that the line meets, until the house is ticked as closed."""
    if "punch.job.house_closed" in job.checks:
        return
    for name, line in layout.lines.items():
        for end, index in zip(ENDS, (0, -1), strict=True):
            meets, at = what_meets(job.lines[name], end)
            if not line.supports or at is None or meets not in ("structure", "tree"):
                continue
            post = layout.supports[line.supports[index]]
            away_in = 12 * _off_ft(job, survey, meets, at, post.xy)
            if away_in > (TOUCHES_IN if post.support == "driven" else DRAWN_OFF_IN):
                where = f"between {post.id} and {at}"
                closes = f"wire and mesh carried {format_in(away_in)} past {post.id} and fixed to {at}"
                yield _Place(WayOut(where, post.id, away_in, closes), post.xy, TOUCHES_IN)


def _off_ft(job: Job, survey: Survey, meets: str, at: str, spot: Point) -> float:
    """Distance of a spot from a wall's face or a tree's bark; 0 where that has no place."""
    if meets == "structure":
        wall = _wall(job, survey, at) if at in job.structures else None
        return 0.0 if wall is None else float(shapely.distance(wall, shapely.Point(spot)))
    tree = job.trees.get(at)
    if tree is None or tree.point not in survey.points:
        return 0.0
    return max(0.0, distance_ft(spot, survey.points[tree.point].xy) - tree.diameter_in / 24)
