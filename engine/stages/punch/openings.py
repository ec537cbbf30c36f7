"""Where a dog could get out, before anybody asks which dog: under the fence, round its ends, over it, at gates, through open yards."""

from collections.abc import Iterable, Iterator
from itertools import chain
from math import ceil
from typing import Literal

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point, distance_ft
from engine.calc.large_libraries import shapely
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.tolerances import MEETS_FT, NO_GAP_IN, ONE_OPENING_FT
from engine.checklist import Checklist, is_done
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.stock_table import fabric_ids
from engine.job.model.tick_facts import At, Size, TickFacts
from engine.stages.fabric.aprons import BayApron
from engine.stages.fabric.stage import Fabric
from engine.stages.gate.stage import Gates, GateWork
from engine.stages.layout.line_tracks import ENDS, what_meets
from engine.stages.layout.stage import Layout, Support
from engine.stages.made_of import fabric_on
from engine.stages.punch.way_key import WayKey
from engine.stages.survey.stage import Survey

WayKind = Literal["under", "round", "over", "gate", "yard"]


@dataclass(frozen=True)
class ClosingPiece:
    """Something of the stock that closes a way out: how much of it, in the unit of its take-off row."""

    stock: str
    amount: float
    unit: str


@dataclass(frozen=True)
class Place:
    """A possible way out: `over_in` is what passes by rule where there is no dog, `dug` whether one that digs makes it wider."""

    kind: WayKind
    key: WayKey
    where: str
    subject: str
    opening_in: float
    closes_with: str
    spot: Point
    line: str
    station_ft: float | None
    pieces: tuple[ClosingPiece, ...] = ()
    over_in: float = 0.0
    dug: bool = False


def under_wire(job: Job, layout: Layout, fabric: Fabric) -> Iterator[Place]:
    """Holes under the wire that nobody has filled."""
    wire, _ = fabric_ids(job.fence)
    for name, apron in fabric.bays.items():
        if apron.hole_in and name not in fabric.filled:
            bay = layout.bays[name]
            at = format_ft_in(apron.least_at_ft)
            length_ft = sum(piece.length_ft * piece.count for piece in fabric.infills if piece.bay == name)
            yield Place(
                "under", WayKey("under_wire", name), f"under the wire, {bay.from_id} to {bay.to_id} at {at}", name, apron.hole_in,
                f"{format_ft_in(apron.infill_ft)} of infill ringed to the wire, or the dip filled",
                _along(layout, name, apron), bay.line, apron.least_at_ft,
                (ClosingPiece(wire, length_ft or apron.infill_ft, "ft"),), dug=True,
            )  # fmt: skip


def _along(layout: Layout, name: str, apron: BayApron) -> Point:
    """Place of a bay's worst spot, between its supports."""
    bay = layout.bays[name]
    (e1, n1), (e2, n2) = layout.supports[bay.from_id].xy, layout.supports[bay.to_id].xy
    share = (apron.least_at_ft - apron.stations_ft[0]) / (apron.stations_ft[-1] - apron.stations_ft[0])
    return (e1 + share * (e2 - e1), n1 + share * (n2 - n1))


def below_decks(job: Job, fabric: Fabric) -> Iterator[Place]:
    """Open space under decks that the fence runs over or meets."""
    wire, _ = fabric_ids(job.fence)
    for one in fabric.under_decks:
        if one.deck not in fabric.closed_decks:
            length_ft = sum(piece.length_ft * piece.count for piece in fabric.infills if piece.bay == one.deck)
            yield Place(
                "under", WayKey("under_deck", one.deck, at=one.line),
                f"under deck {one.deck} on line {one.line}", one.deck, one.height_in, "wire from the rim to the ground, staked",
                one.spot, one.line, one.from_ft, (ClosingPiece(wire, length_ft, "ft"),) if length_ft else (), dug=True,
            )  # fmt: skip


def at_gates(job: Job, layout: Layout, gates: Gates, checklist: Checklist) -> Iterator[Place]:
    """Under and beside every gate, by the crew's readings where there are any."""
    rules = job.rules.gate
    wire, _ = fabric_ids(job.fence)
    for name, work in gates.gates.items():
        post = layout.supports[work.latch_post]
        under_in = _read(checklist, name, "bottom_gap", work.bottom_gap_most_in)
        strip_ft = sum(leaf.width_ft for leaf in work.leaves)
        yield Place(
            "gate", WayKey("under_gate", name), f"under gate {name}", name, under_in, "a trimmed rail, or a strip of wire below it",
            post.xy, post.line, post.station_ft, (ClosingPiece(wire, strip_ft, "ft"),), rules.bottom_gap_max_in, work.on_soil,
        )  # fmt: skip
        beside_in = _beside_in(work, _read(checklist, name, "opening", work.opening_ft))
        yield Place(
            "gate", WayKey("beside_gate", name), f"beside gate {name}", name, beside_in, "a wider leaf, or a post nearer",
            post.xy, post.line, post.station_ft, (), rules.gap_in + rules.opening_tolerance_in,
        )  # fmt: skip


def _read(checklist: Checklist, gate: str, what: str, worked_out: float) -> float:
    read = checklist.readings.get(ItemKey("gate", gate, what))
    return worked_out if read is None else read


def _beside_in(work: GateWork, opening_ft: float) -> float:
    """All the gap of the opening on one side of the leaf."""
    return 12 * (opening_ft - sum(leaf.width_ft for leaf in work.leaves))


def open_yards(job: Job, survey: Survey) -> Iterator[Place]:
    """The gap of every yard that doesn't close."""
    for name, yard in survey.yards.items():
        if yard.gap_ft is not None and yard.gap_ends is not None:
            where = f"yard {name} doesn't close, {format_ft_in(yard.gap_ft)} open"
            pieces = _fence_of(job, yard.gap_ft)
            yield Place(
                "yard", WayKey("open_yard", name), where, name, 12 * yard.gap_ft, "a line across the gap",
                yard.gap_ends[0], "", None, pieces,
            )  # fmt: skip


def _fence_of(job: Job, length_ft: float) -> tuple[ClosingPiece, ...]:
    """What a straight stretch of fence takes between two things that stand: posts between them, two cables, wire and mesh."""
    wire, mesh = fabric_ids(job.fence)
    posts = ceil(length_ft / job.rules.layout.bay_max_ft) - 1
    stands = (ClosingPiece(job.fence.post, posts, "posts"), ClosingPiece(job.fence.sleeve, posts, "sleeves")) if posts > 0 else ()
    return (
        *stands,
        ClosingPiece(job.fence.cable, 2 * length_ft, "ft"),
        ClosingPiece(wire, length_ft, "ft"),
        ClosingPiece(mesh, length_ft, "ft"),
    )


def open_ends(job: Job, survey: Survey, layout: Layout) -> Iterator[Place]:
    """Free ends of lines, unless every yard is known to close or where it doesn't."""
    if survey.yards and all(yard.closed or yard.gap_ft is not None for yard in survey.yards.values()):
        return
    gaps = [end for yard in survey.yards.values() if yard.gap_ends for end in yard.gap_ends]
    for name, line in layout.lines.items():
        for end, index in zip(ENDS, (0, -1), strict=True):
            if not line.supports or what_meets(job.lines[name], end)[0] != "free":
                continue
            post = layout.supports[line.supports[index]]
            if all(distance_ft(post.xy, gap) > ONE_OPENING_FT for gap in gaps):
                away_ft = _nearest_ft(job, survey, layout, name, post)
                yield Place(
                    "round", WayKey("free_end", name, end),
                    f"line {name} ends free at {post.id}", post.id, 12 * away_ft, "a line on to a wall, a tree or the next line",
                    post.xy, name, post.station_ft, _fence_of(job, away_ft), NO_GAP_IN,
                )  # fmt: skip


def _nearest_ft(job: Job, survey: Survey, layout: Layout, name: str, post: Support) -> float:
    """From a line's free end to the nearest wall, other line or other end of its own line."""
    others = [shapely.LineString(line.path) for other, line in survey.lines.items() if other != name]
    walls = [wall for wall in (wall_of(job, survey, structure) for structure in job.structures) if wall is not None]
    row = layout.lines[name].supports
    far = [shapely.Point(layout.supports[end].xy) for end in (row[0], row[-1]) if end != post.id]
    return min((float(shapely.distance(thing, shapely.Point(post.xy))) for thing in (*others, *walls, *far)), default=0.0)


def wall_of(job: Job, survey: Survey, structure: str) -> "shapely.Geometry | None":
    """The face of a structure as a line, None where fewer than two of its points have places."""
    path = [survey.points[name].xy for name in job.structures[structure].points if name in survey.points]
    return shapely.LineString(path) if len(set(path)) > 1 else None


HOUSE_CLOSED = ItemKey("punch", "job", "house_closed")


def house_ends(job: Job, layout: Layout, hung: Iterable[tuple[At, ...]]) -> TickFacts:
    """Last supports of the lines that meet a wall or a tree, and where those of the loops stand that end there: what hangs on them is hung
    anew where one is moved. `hung` are the supports of every loop."""
    ends = dict.fromkeys(
        line.supports[index]
        for name, line in layout.lines.items()
        for end, index in zip(ENDS, (0, -1), strict=True)
        if line.supports and what_meets(job.lines[name], end)[0] in ("structure", "tree")
    )
    from_end = [row if row[0].support in ends else row[::-1] for row in hung if row[0].support in ends or row[-1].support in ends]
    rows = sorted(from_end, key=lambda row: ([*ends].index(row[0].support), row[-1].xy))
    lie = (_lies(f"post {n} of {len(row)} in row {nth}", at) for nth, row in enumerate(rows, 1) for n, at in enumerate(row, 1))
    return TickFacts(layout.places(*ends), tuple(chain.from_iterable(lie)), stock=fabric_on(job, (layout.supports[end] for end in ends)))


def _lies(post: str, at: At) -> tuple[Size, Size]:
    return Size(f"{post} lies east", at.east_ft), Size(f"{post} lies north", at.north_ft)


def at_walls(job: Job, survey: Survey, layout: Layout, closed: TickFacts) -> Iterator[Place]:
    """Between a line's last support and the wall or tree that the line meets, until what is `closed` against the house is ticked."""
    if not is_done(job.checks, HOUSE_CLOSED, closed, layout.stood):
        yield from gaps_at_walls(job, survey, layout)


def gaps_at_walls(job: Job, survey: Survey, layout: Layout) -> Iterator[Place]:
    """The same whatever is ticked."""
    wire, mesh = fabric_ids(job.fence)
    for name, line in layout.lines.items():
        for end, index in zip(ENDS, (0, -1), strict=True):
            meets, at = what_meets(job.lines[name], end)
            if not line.supports or at is None or meets not in ("structure", "tree"):
                continue
            post = layout.supports[line.supports[index]]
            away_ft = _off_ft(job, survey, meets, at, post.xy)
            if 12 * away_ft > (NO_GAP_IN if post.support == "driven" else 12 * MEETS_FT):
                yield Place(
                    "round", WayKey("at_wall", name, end, at), f"between {post.id} and {at}", post.id, 12 * away_ft,
                    f"wire and mesh carried {format_in(12 * away_ft)} past {post.id} and fixed to {at}",
                    post.xy, name, post.station_ft, (ClosingPiece(wire, away_ft, "ft"), ClosingPiece(mesh, away_ft, "ft")), NO_GAP_IN,
                )  # fmt: skip


def _off_ft(job: Job, survey: Survey, meets: str, at: str, spot: Point) -> float:
    """Distance of a spot from a wall's face or a tree's bark; 0 where that has no place."""
    if meets == "structure":
        wall = wall_of(job, survey, at) if at in job.structures else None
        return 0.0 if wall is None else float(shapely.distance(wall, shapely.Point(spot)))
    tree = job.trees.get(at)
    if tree is None or tree.point not in survey.points:
        return 0.0
    return max(0.0, distance_ft(spot, survey.points[tree.point].xy) - tree.diameter_in / 24)
