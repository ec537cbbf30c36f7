"""Yards: the areas that lines (gates are part of them), walls and tree trunks close, and the gap where one doesn't."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, pairwise
from math import inf
from typing import Any

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point, area_ft2, distance_ft
from engine.calc.large_libraries import np, shapely
from engine.calc.length_words import area_figure, area_words
from engine.calc.lengths import format_ft_in
from engine.calc.limits import OutOfRange
from engine.calc.measuring.kennel import floor_space_ft2
from engine.calc.remember import remembered, remembered_of, remembered_same
from engine.calc.tolerances import MEETS_FT, ROUNDING_FT
from engine.findings import Finding, FindingOf
from engine.job.model.fence import FenceLine, Yard
from engine.job.model.job import Job
from engine.job.model.site import Structure, Tree
from engine.stages.survey.survey_facts import YardArea

_finding = FindingOf("survey")

_MOST_TRIES = 16
_Piece = tuple[Point, Point]
_Run = tuple[_Piece, ...]
"""Pieces that hang together."""
_Box = tuple[float, float, float, float]
"""West, south, east and north, ft."""


@dataclass(frozen=True)
class Chain:
    """A stretch of one line or structure through points that all have places; `tree_ends` are trunks met at start and end."""

    owner: str
    names: tuple[str, ...]
    path: tuple[Point, ...]
    tree_ends: tuple[str | None, str | None] = (None, None)


@dataclass(frozen=True)
class _Gap:
    """A possible closing piece between two places, with what stands at each."""

    ends: tuple[Point, Point]
    words: str

    @property
    def length_ft(self) -> float:
        return distance_ft(*self.ends)


@dataclass(frozen=True)
class _Drawn:
    """Lines and walls where they have places, the straight pieces of each and short links where ends meet something, the ends (chain, 0 or
    -1) that meet nothing, and every area that the pieces close, as an array of polygons."""

    chains: tuple[Chain, ...]
    runs: list[_Run]
    loose: list[tuple[Chain, int]]
    faces: Any


def yard_areas(job: Job, places: Mapping[str, Point]) -> tuple[dict[str, YardArea], tuple[Finding, ...]]:
    """Area and outline of every yard that closes, the gap of every one that doesn't, and the findings on both. Source: area by coordinates,
    see engine.calc.geometry.plane; outlines derived: faces of the noded lines. A point without a place breaks its line there."""
    if not job.yards:
        return {}, ()
    drawn = _drawn(job.lines, job.structures, job.trees, places)
    gaps = [*_breaks(job, places), *_gaps(drawn.loose, drawn.chains)]
    areas: dict[str, YardArea] = {}
    found: list[Finding] = []
    for name, yard in job.yards.items():
        needed = _floor_needed_ft2(job, name)
        place = yard_place(yard, places)
        area, words = _area(name, place, needed, drawn.faces, drawn.runs, gaps) if place else (_open(name, needed, None), "")
        areas[name] = area
        found += _findings(job, area, place is not None, words)
    return areas, tuple(found)


def closed_by(job: Job, places: Mapping[str, Point]) -> tuple[tuple[Chain, ...], Any]:
    """Lines and walls where they have places, and every area that they close, as an array of polygons."""
    drawn = _drawn(job.lines, job.structures, job.trees, places)
    return drawn.chains, drawn.faces


def yard_place(yard: Yard, places: Mapping[str, Point]) -> Point | None:
    """The place inside a yard that tells which ground it is; None where its point has none."""
    if yard.inside is not None:
        return places.get(yard.inside)
    assert yard.east_ft is not None
    assert yard.north_ft is not None
    return (yard.east_ft, yard.north_ft)


@remembered_of
def _drawn(
    lines: Mapping[str, FenceLine], structures: Mapping[str, Structure], trees: Mapping[str, Tree], places: Mapping[str, Point]
) -> _Drawn:
    chains = tuple(_chains(lines, structures, places))
    runs, loose = _joined(chains, trees, places)
    return _Drawn(chains, runs, loose, _faces(runs))


def _chains(lines: Mapping[str, FenceLine], structures: Mapping[str, Structure], places: Mapping[str, Point]) -> Iterator[Chain]:
    for name, line in lines.items():
        for names in _placed_runs(line.points, places):
            start = line.start_at if line.start_meets == "tree" and names[0] == line.points[0] else None
            end = line.end_at if line.end_meets == "tree" and names[-1] == line.points[-1] else None
            yield Chain(name, names, tuple(places[point] for point in names), (start, end))
    for name, structure in structures.items():
        for names in _placed_runs(structure.points, places):
            yield Chain(name, names, tuple(places[point] for point in names))


def _placed_runs(points: Sequence[str], places: Mapping[str, Point]) -> Iterator[tuple[str, ...]]:
    """Runs of two or more points in a row that have places, no two in a row on one spot."""
    run: list[str] = []
    for point in (*points, None):
        if point is not None and point in places:
            if not run or places[run[-1]] != places[point]:
                run.append(point)
            continue
        if len(run) > 1:
            yield tuple(run)
        run = []


def _joined(chains: Sequence[Chain], trees: Mapping[str, Tree], places: Mapping[str, Point]) -> tuple[list[_Run], list[tuple[Chain, int]]]:
    """The straight pieces of each and short links where ends meet something, and the ends (chain, 0 or -1) that meet nothing."""
    runs = [tuple(pairwise(chain.path)) for chain in chains]
    lines: Any = None  # drawn where an end meets neither a trunk nor its own ring
    links: list[_Piece] = []
    loose: list[tuple[Chain, int]] = []
    first = 0
    for chain in chains:
        last = first + len(chain.path) - 2
        for end, own in ((0, first), (-1, last)):
            link = _trunk_link(chain, end, trees, places) or _round_again(chain, end)
            if link is None:
                lines = shapely.linestrings(np.concatenate(runs)) if lines is None else lines
                link = _snap_link(chain.path[end], lines, own)
            if link is None:
                loose.append((chain, end))
            elif distance_ft(*link) > ROUNDING_FT:
                links.append(link)
        first = last + 1
    return [*runs, *((link,) for link in links)], loose


def _trunk_link(chain: Chain, end: int, trees: Mapping[str, Tree], places: Mapping[str, Point]) -> _Piece | None:
    """From a line's end to the middle of the trunk it meets, where it reaches the bark."""
    tree = trees.get(chain.tree_ends[end] or "")
    middle = places.get(tree.point) if tree else None
    if tree is None or middle is None or distance_ft(chain.path[end], middle) > tree.diameter_in / 24 + MEETS_FT:
        return None
    return chain.path[end], middle


def _round_again(chain: Chain, end: int) -> _Piece | None:
    """No way at all from the end of a ring to its other end."""
    return (chain.path[end], chain.path[end]) if chain.path[0] == chain.path[-1] else None


def _snap_link(end: Point, lines: Any, own: int) -> _Piece | None:
    """From a chain's end to the nearest other piece within the snap distance."""
    spot = shapely.Point(end)
    away = shapely.distance(lines, spot)
    away[own] = inf
    nearest = int(np.argmin(away))
    return (end, _nearest_on(lines[nearest], end)) if away[nearest] <= MEETS_FT else None


def _nearest_on(line: Any, place: Point) -> Point:
    meets = shapely.line_interpolate_point(line, shapely.line_locate_point(line, shapely.Point(place)))
    return (float(meets.x), float(meets.y))


def _faces(runs: Sequence[_Run]) -> Any:
    """Every area that the pieces close, as an array of polygons; what lies apart is closed by itself."""
    closed = [_closed(part) for part in _apart(runs)]
    return np.concatenate(closed) if closed else np.array([], dtype=object)


def _apart(runs: Sequence[_Run]) -> list[_Run]:
    """Pieces in groups whose boxes keep clear of each other."""
    groups: list[tuple[_Box, _Run]] = []
    for run in runs:
        easts, norths = zip(*(end for piece in run for end in piece), strict=True)
        box, own = (min(easts), min(norths), max(easts), max(norths)), run
        while touched := [group for group in groups if _touch(group[0], box)]:
            groups = [group for group in groups if group not in touched]
            box, own = _round_all([box, *(other for other, _ in touched)]), (*(one for _, others in touched for one in others), *own)
        groups.append((box, own))
    return [own for _, own in groups]


def _touch(one: _Box, other: _Box) -> bool:
    return (
        one[0] <= other[2] + MEETS_FT and other[0] <= one[2] + MEETS_FT and one[1] <= other[3] + MEETS_FT and other[1] <= one[3] + MEETS_FT
    )


def _round_all(boxes: Sequence[_Box]) -> _Box:
    wests, souths, easts, norths = zip(*boxes, strict=True)
    return min(wests), min(souths), max(easts), max(norths)


@remembered
def _closed(pieces: tuple[_Piece, ...]) -> Any:
    drawn = shapely.linestrings(np.array(pieces))
    noded = shapely.set_precision(shapely.multilinestrings(drawn), ROUNDING_FT)
    if not (shapely.is_simple(noded) and shapely.minimum_clearance(noded) > 2 * ROUNDING_FT):  # some meet elsewhere than at their ends
        noded = shapely.union_all(drawn, grid_size=ROUNDING_FT)
    return shapely.get_parts(shapely.polygonize([noded]))


def _holding(faces: Any, place: Point) -> Any | None:
    """The face that holds a place, or None."""
    held = faces[shapely.intersects_xy(faces, *place)] if len(faces) else faces
    return held[0] if len(held) else None


def _area(name: str, place: Point, needed_ft2: float, faces: Any, runs: list[_Run], gaps: Sequence[_Gap]) -> tuple[YardArea, str]:
    """The yard round a place and, where it is open, between what its gap lies."""
    face = _holding(faces, place)
    if face is None:
        gap = _gap(place, runs, gaps)
        return _open(name, needed_ft2, gap), gap.words if gap else ""
    return YardArea(name, True, *_outline(face), None, None, needed_ft2), ""


@remembered_same
def _outline(face: Any) -> tuple[tuple[Point, ...], float, float]:
    """The outline of a face, its area without what its holes take, and the length round it."""
    outer, *holes = (_ring(ring) for ring in (face.exterior, *face.interiors))
    return outer, area_ft2(outer) - sum(area_ft2(hole) for hole in holes), float(face.exterior.length)


def _ring(ring: Any) -> tuple[Point, ...]:
    easts, norths = shapely.get_coordinates(ring)[:-1].T.tolist()
    return tuple(zip(easts, norths, strict=True))


def _open(name: str, needed_ft2: float, gap: _Gap | None) -> YardArea:
    return YardArea(name, False, (), 0.0, 0.0, gap.length_ft if gap else None, gap.ends if gap else None, needed_ft2)


def _gaps(loose: Sequence[tuple[Chain, int]], chains: Sequence[Chain]) -> list[_Gap]:
    """Pieces that could close something, shortest first: between loose ends, and from one to the nearest place of another chain."""
    found = [
        _Gap((one.path[i], other.path[j]), f"between {one.names[i]} and {other.names[j]}")
        for (one, i), (other, j) in combinations(loose, 2)
    ]
    for chain, end in loose:
        for other in chains:
            if other is not chain:
                meets = _nearest_on(shapely.LineString(other.path), chain.path[end])
                found.append(_Gap((chain.path[end], meets), f"between {chain.names[end]} and {other.owner}"))
    return sorted((gap for gap in found if gap.length_ft > 0), key=lambda gap: gap.length_ft)


def _breaks(job: Job, places: Mapping[str, Point]) -> Iterator[_Gap]:
    """Where points without a place break a line: from the last placed point before them to the first after."""
    for line in job.lines.values():
        placed = [(index, point) for index, point in enumerate(line.points) if point in places]
        for (i, before), (j, after) in pairwise(placed):
            if j > i + 1 and places[before] != places[after]:
                yield _Gap((places[before], places[after]), f"between {before} and {after}")


def _gap(place: Point, runs: list[_Run], gaps: Sequence[_Gap]) -> _Gap | None:
    """The first gap that alone closes the yard round a place; else the one that closes it after those before it; else none."""
    tries = gaps[:_MOST_TRIES]
    for gap in tries:
        if _holding(_faces([*runs, (gap.ends,)]), place) is not None:
            return gap
    for count, gap in enumerate(tries, 1):
        if _holding(_faces([*runs, *((one.ends,) for one in tries[:count])]), place) is not None:
            return gap
    return None


def _floor_needed_ft2(job: Job, yard: str) -> float:
    """Floor space of the yard's dogs; a dog without a yard counts where there is only one."""
    total = 0.0
    for dog in job.dogs.values():
        if dog.yard == yard or (dog.yard is None and len(job.yards) == 1):
            try:
                total += dog.count * floor_space_ft2(dog.body_in)
            except OutOfRange:
                continue  # its size is a finding of its own
    return total


def _findings(job: Job, area: YardArea, placed: bool, words: str) -> Iterator[Finding]:
    subject = (area.name,)
    inside = job.yards[area.name].inside or "its ground"
    if not placed:
        says = f"Yard {area.name} has no place: its point {inside} has none."
        yield _finding("yard_unplaced", "fix", subject, says, f"Shoot {inside}, anywhere inside the yard.")
    elif area.gap_ft is not None:
        says = f"Yard {area.name} doesn't close: {format_ft_in(area.gap_ft)} is open {words}."
        yield _finding("yard_open", "fix", subject, says, "Carry a line across it, or put right the point that is off.")
    elif not area.closed:
        says = f"Yard {area.name} doesn't close: no lines or walls go round {inside}."
        yield _finding("yard_open", "fix", subject, says, "Draw the lines round it, or choose a ground that they close.")
    elif job.job.licensed_kennel and area.area_ft2 < area.floor_needed_ft2:
        says = (
            f"Yard {area.name} has {area_words(area.area_ft2)} and its dogs need {area_figure(area.floor_needed_ft2)}, "
            "the least floor space of a licensed kennel (9 CFR 3.6)."
        )
        yield _finding("kennel_floor", "fix", subject, says, "Make the yard bigger or keep fewer dogs in it; check today's rule.")
