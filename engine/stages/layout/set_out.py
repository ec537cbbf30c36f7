"""How a crew sets supports out: tape ties, string lines, squareness diagonals, and how far inside the boundary each stands."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain, compress, pairwise
from math import cos, hypot, radians, sin
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.geometry.many_places import Side, inside_ft
from engine.calc.geometry.plane import Point, azimuth_deg, distance_ft
from engine.calc.large_libraries import Floats, np
from engine.calc.lengths import format_ft_in
from engine.calc.measuring.adjust import ellipse_sigma_ft
from engine.calc.measuring.tie_points import REACH_FT, BestTie, best_ties
from engine.calc.remember import remembered, remembered_each, remembered_of, remembered_rows, remembered_same
from engine.calc.tolerances import SAME_SPOT_FT, STRAIGHT_DEG, TOUCHING_FT
from engine.job.model.fence import FenceLine
from engine.job.model.job import Job
from engine.job.model.rules import SurveyRules
from engine.job.model.site import Boundary, Deck, Structure, Tree
from engine.stages.layout.line_rows import LineRow, Standing
from engine.stages.layout.line_tracks import Track, turns_at
from engine.stages.layout.todays_supports import Support
from engine.stages.survey.stage import PlacedPoint, Survey

_Drawn = FenceLine | Structure | Boundary | Deck

WELL_SURVEYED = 2.0
"""A point is fit to tape from when its standard error is at most this many of a tape's."""
SQUARE_DEG = (60.0, 120.0)
"""Turns between these get a diagonal to check by."""


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

    @property
    def words(self) -> tuple[str, str]:
        """Its two tapes as they are read: `23' 4 1/2" from K1`."""
        return f"{format_ft_in(self.tape_a_ft)} from {self.from_a}", f"{format_ft_in(self.tape_b_ft)} from {self.from_b}"


@dataclass(frozen=True)
class StringLine:
    """A string pulled between two supports with those to set along it: (support, distance along, offset right)."""

    line: str
    from_id: str
    to_id: str
    length_ft: float
    along: tuple[tuple[str, float, float], ...]


def aside_words(off_ft: float) -> str:
    """Feet off a line as a tape sets them, with the side; empty on it."""
    return f"{format_ft_in(abs(off_ft))} {'right' if off_ft > 0 else 'left'}" if abs(off_ft) > SAME_SPOT_FT else ""


@dataclass(frozen=True)
class Clearance:
    """Distance of a support inside a boundary (negative: over it), with the survey's standard error square to the boundary."""

    support: str
    boundary: str
    inside_ft: float
    sigma_ft: float
    setback_ft: float


class _Marks(NamedTuple):
    """The points that tapes may start from, with their standard errors and a tape's, ft."""

    names: tuple[str, ...]
    places: tuple[Point, ...]
    sigmas_ft: tuple[float, ...]
    tape_sigma_ft: float


_same_marks = remembered(_Marks)


def tape_ties(job: Job, survey: Survey, rows: Mapping[str, LineRow]) -> dict[str, TapeTie]:
    """The best two tapes to every support, and a third to check by. Tapes start at known points and at well surveyed corners of lines,
    structures, boundaries and decks; never at a tree's middle."""
    given = _marks(survey, job.rules.survey, job.trees, job.lines, job.structures, job.boundaries, job.decks)
    return dict(chain.from_iterable(_row_ties(row, given) for row in rows.values()))


@remembered_same
def _row_ties(row: LineRow, marks: _Marks) -> list[tuple[str, TapeTie]]:
    found = _ties([(one.id, one.xy) for one in row.supports], _in_reach(row, marks))
    return [(tie.support, tie) for tie in found if tie is not None]


def _in_reach(row: LineRow, marks: _Marks) -> _Marks:
    """The marks that a tape may reach a row from: one that comes or goes further off changes nothing here."""
    if not row.supports:
        return marks
    easts, norths = zip(*[one.xy for one in row.supports], strict=True)
    reach_ft = REACH_FT[1]
    west, east, south, north = min(easts) - reach_ft, max(easts) + reach_ft, min(norths) - reach_ft, max(norths) + reach_ft
    near = [west <= e <= east and south <= n <= north for e, n in marks.places]
    names, places, sigmas_ft = compress(marks.names, near), compress(marks.places, near), compress(marks.sigmas_ft, near)
    return _same_marks(tuple(names), tuple(places), tuple(sigmas_ft), marks.tape_sigma_ft)


def spot_ties(job: Job, survey: Survey, spots: Mapping[str, Point]) -> dict[str, TapeTie]:
    """The best two tapes to any spots, and a third to check by, as `tape_ties` gives them for supports."""
    given = _marks(survey, job.rules.survey, job.trees, job.lines, job.structures, job.boundaries, job.decks)
    return {tie.support: tie for tie in _ties(list(spots.items()), given) if tie is not None}


@remembered_each
def _ties(spots: Sequence[tuple[str, Point]], marks: _Marks) -> list[TapeTie | None]:
    found = best_ties([place for _, place in spots], marks.places, marks.sigmas_ft, marks.tape_sigma_ft)
    return [_tie(name, best, marks.names) for (name, _), best in zip(spots, found, strict=True)]


def _tie(support: str, best: BestTie | None, marks: Sequence[str]) -> TapeTie | None:
    if best is None:
        return None
    check = None if best.check is None or best.check_ft is None else (marks[best.check], best.check_ft)
    return TapeTie(support, marks[best.a], best.tape_a_ft, marks[best.b], best.tape_b_ft, best.angle_deg, check)


def tape_marks(job: Job, survey: Survey) -> list[PlacedPoint]:
    """The points that tapes may start from, in the order of the survey."""
    return _fit_to_tape(survey, job.rules.survey, job.trees, job.lines, job.structures, job.boundaries, job.decks)


def _fit_to_tape(survey: Survey, rules: SurveyRules, trees: Mapping[str, Tree], *tables: Mapping[str, _Drawn]) -> list[PlacedPoint]:
    corners = {point for table in tables for record in table.values() for point in record.points}
    middles = {tree.point for tree in trees.values()}
    limit_ft = WELL_SURVEYED * rules.tape_sigma_ft
    return [
        point
        for name, point in survey.points.items()
        if name not in middles and (point.sigma_ft == 0 or (name in corners and point.sigma_ft <= limit_ft))
    ]


@remembered_of
def _marks(survey: Survey, rules: SurveyRules, trees: Mapping[str, Tree], *tables: Mapping[str, _Drawn]) -> _Marks:
    marks = _fit_to_tape(survey, rules, trees, *tables)
    places, sigmas_ft = tuple(mark.xy for mark in marks), tuple(mark.sigma_ft for mark in marks)
    return _same_marks(tuple(mark.name for mark in marks), places, sigmas_ft, rules.tape_sigma_ft)


def string_lines(rows: Mapping[str, LineRow]) -> tuple[StringLine, ...]:
    """Strings between neighbouring fixed supports of each line that have others to set between them. Source: common practice, no source: a
    string on every straight part."""
    return tuple(string for row in rows.values() for string in _set_out(row).strings)


def diagonals(rows: Mapping[str, LineRow]) -> tuple[tuple[str, str, float], ...]:
    """Check tapes across corners that turn 60 to 120 degrees, from the fixed support before to the one after. Source: common practice, no
    source: a diagonal shows whether a corner is square."""
    return tuple(diagonal for row in rows.values() for diagonal in _set_out(row).diagonals)


class _SetOut(NamedTuple):
    """Strings and diagonals of one line."""

    strings: tuple[StringLine, ...]
    diagonals: tuple[tuple[str, str, float], ...]


@remembered_same
def _set_out(row: LineRow) -> _SetOut:
    line, turns = row.track.name, turns_at(row.track, row.stations_ft) if row.supports else []
    fixed = [n for n, (one, turn) in enumerate(zip(row.supports, turns, strict=True)) if one.kind != "line" or abs(turn) > STRAIGHT_DEG]
    walked = (*row.supports, *row.supports[: row.closed])
    breaks = sorted({0, *fixed, len(walked) - 1}) if walked else []
    strings = (_string(line, *walked[start : end + 1]) for start, end in pairwise(breaks) if end - start > 1)
    corners = [walked[n] for n in (*breaks, *(breaks[1:2] if row.closed else []))]
    across = (
        (before.id, after.id, distance_ft(before.xy, after.xy))
        for before, corner, after in zip(corners, corners[1:], corners[2:], strict=False)
        if SQUARE_DEG[0] <= abs(corner.turn_deg) <= SQUARE_DEG[1] and corner.line == line
    )
    return _SetOut(tuple(string for string in strings if string is not None), tuple(across))


@remembered_same
def _string(line: str, *row: Standing) -> StringLine | None:
    first, last = row[0], row[-1]
    length_ft = distance_ft(first.xy, last.xy)
    if length_ft <= TOUCHING_FT:
        return None
    heading = radians(azimuth_deg(first.xy, last.xy))
    ahead_east, ahead_north = sin(heading), cos(heading)
    along = []
    for support in row[1:-1]:
        east, north = support.xy[0] - first.xy[0], support.xy[1] - first.xy[1]
        along.append((support.id, east * ahead_east + north * ahead_north, east * ahead_north - north * ahead_east))
    return StringLine(line, first.id, last.id, length_ft, tuple(along))


def clearances_along(job: Job, survey: Survey, rows: Mapping[str, LineRow]) -> tuple[Clearance, ...]:
    """How far inside every boundary each support stands.

    The standard error is the one square to the nearest run of the boundary: that of the fence line there, between those of the line's
    points, joined with that of the run's worse end, the two taken as independent. A boundary that ends free goes straight on past it.
    """
    edges = _edges(job.boundaries, tuple(map(survey.points.get, _points_of(job.boundaries))))
    if edges is None:
        return ()
    found = dict(chain.from_iterable(_of_row(row, edges) for row in rows.values()))
    names = dict.fromkeys(chain.from_iterable(row.names for row in rows.values()))
    return tuple(chain.from_iterable(map(found.__getitem__, names)))


def clearances(job: Job, survey: Survey, tracks: Mapping[str, Track], supports: Mapping[str, Support]) -> tuple[Clearance, ...]:
    """The same of supports where they don't stand yet, line by line."""
    edges = _edges(job.boundaries, tuple(map(survey.points.get, _points_of(job.boundaries))))
    own = ((track, [one for one in supports.values() if one.line == name]) for name, track in tracks.items())
    found = (_clear(track, row, edges) for track, row in own if row) if edges is not None else ()
    return tuple(clear for of_line in found for _, of_one in of_line for clear in of_one)


def clearances_at(job: Job, survey: Survey, track: Track, station_ft: float, at: Point) -> tuple[Clearance, ...]:
    """The same of a place on a line where nothing stands yet."""
    edges = _edges(job.boundaries, tuple(map(survey.points.get, _points_of(job.boundaries))))
    there = Standing("", track.name, at, station_ft, "line", "driven", None, 0.0, 0.0)
    return _clear(track, [there], edges)[0][1] if edges is not None else ()


class _Edges(NamedTuple):
    """Runs of all boundaries with their standard errors and the azimuths square to them, and boundaries with their setbacks."""

    sides: tuple[Side, ...]
    sigmas: tuple[float, ...]
    squares_deg: tuple[float, ...]
    setbacks: tuple[tuple[str, float], ...]


@remembered_same
def _of_row(row: LineRow, edges: _Edges) -> list[tuple[str, tuple[Clearance, ...]]]:
    """Of the supports of a row that are the line's own."""
    return _clear(row.track, [one for one in row.supports if one.line == row.track.name], edges)


def _clear(track: Track, own: Sequence[Standing | Support], edges: _Edges) -> list[tuple[str, tuple[Clearance, ...]]]:
    inside, nearest = inside_ft([one.xy for one in own], edges.sides)
    ways = [[ellipse_sigma_ft(ellipse, square) for ellipse in track.ellipses] for square in edges.squares_deg]
    sigmas_ft = np.array([np.interp([one.station_ft for one in own], track.stations_ft, way) for way in ways]).T
    setbacks, theirs_ft = tuple(enumerate(edges.setbacks)), edges.sigmas
    return [
        (
            one.id,
            tuple(Clearance(one.id, name, far[n], hypot(sigmas[side[n]], theirs_ft[side[n]]), back) for n, (name, back) in setbacks),
        )
        for one, far, side, sigmas in zip(own, inside.tolist(), nearest.tolist(), sigmas_ft.tolist(), strict=True)
    ]


def _points_of(boundaries: Mapping[str, Boundary]) -> Iterator[str]:
    return chain.from_iterable(one.points for one in boundaries.values())


@remembered_rows
def _edges(boundaries: Mapping[str, Boundary], places: tuple[PlacedPoint | None, ...]) -> _Edges | None:
    at = {name: place for name, place in zip(_points_of(boundaries), places, strict=True) if place is not None}
    placed = [name for name, one in boundaries.items() if all(p in at for p in one.points)]
    sides, sigmas, squares, named = _sides(boundaries, at, placed)
    if not sides:
        return None
    return _same_edges(tuple(sides), tuple(sigmas), tuple(squares), tuple((name, boundaries[name].setback_ft) for name in named))


_same_edges = remembered(_Edges)
"""The very same from walk to walk, as long as no boundary is another: what stands along them is found by that."""


def _sides(
    boundaries: Mapping[str, Boundary], at: Mapping[str, PlacedPoint], placed: list[str]
) -> tuple[list[Side], list[float], list[float], list[str]]:
    """Runs of all boundaries, the worse standard error of each run's ends square to it, that azimuth, and boundaries that have any run."""
    ends = np.array([at[boundaries[name].points[n]].xy for name in placed for n in (0, -1)]).reshape(-1, 2)
    sides: list[Side] = []
    sigmas: list[float] = []
    squares: list[float] = []
    named: list[str] = []
    for name in placed:
        boundary = boundaries[name]
        runs = [(a, b) for a, b in pairwise(at[p] for p in boundary.points) if a.xy != b.xy]
        for n, (a, b) in enumerate(runs):
            free_a = n == 0 and _alone(a, ends)
            free_b = n == len(runs) - 1 and _alone(b, ends)
            sides.append(Side(a.xy, b.xy, len(named), boundary.client_side == "right", free_a, free_b))
            squares.append(azimuth_deg(a.xy, b.xy) + 90)
            sigmas.append(max(ellipse_sigma_ft(end.ellipse, squares[-1]) for end in (a, b)))
        named += [name] if runs else []
    return sides, sigmas, squares, named


def _alone(end: PlacedPoint, ends: Floats) -> bool:
    """Whether only one boundary's end is here."""
    return int((np.hypot(*(ends - end.xy).T) <= TOUCHING_FT).sum()) < 2
