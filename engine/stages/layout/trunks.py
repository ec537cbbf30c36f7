"""Straight runs through the trunk of a tree that carries none of their cables, and the least move of a post that clears it."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain, pairwise
from math import ceil, cos, radians, sin

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import level_at_ft
from engine.calc.geometry.past_a_trunk import apart_ft, least_aside_ft
from engine.calc.geometry.plane import Point, distance_ft
from engine.calc.large_libraries import np, shapely
from engine.calc.lengths import format_in
from engine.calc.remember import remembered, remembered_same
from engine.calc.tolerances import EDGE_FT, ROUNDING_IN, TAPE_FT
from engine.findings import Finding, FindingOf
from engine.job.model.job import Job
from engine.job.model.rules import LayoutRules
from engine.stages.layout.bays import Bay, bay_id
from engine.stages.layout.keep_outs import keep_outs_round
from engine.stages.layout.layout_facts import LayoutFacts
from engine.stages.layout.line_rows import LineRow, Standing
from engine.stages.layout.line_tracks import Track, heading_deg, place
from engine.stages.layout.set_out import clearances
from engine.stages.layout.siting_findings import settle_words
from engine.stages.layout.todays_supports import Support
from engine.stages.survey.stage import Survey

_finding = FindingOf("layout")


@dataclass(frozen=True)
class Trunk:
    """A tree that has a place: the middle of its trunk, its radius, and how far off it a run has to pass, ft."""

    tree: str
    middle: Point
    radius_ft: float
    pass_ft: float


_Held = tuple[Point, str | None]
"""A place and what it hangs on."""


def trunks(job: Job, survey: Survey) -> tuple[Trunk, ...]:
    """Every tree that has a place, in file order. Source: the gap beside a trunk: common practice, no source."""
    gap_ft = job.rules.layout.trunk_gap_in / 12
    found = ((name, tree.diameter_in / 24, survey.points[tree.point].xy) for name, tree in job.trees.items() if tree.point in survey.points)
    return _same_trunks(tuple(Trunk(name, middle, radius_ft, radius_ft + gap_ft) for name, radius_ft, middle in found))


@remembered
def _same_trunks(found: tuple[Trunk, ...]) -> tuple[Trunk, ...]:
    """The very same from walk to walk: what runs through them is found by that."""
    return found


def through_trunks(
    bays: Mapping[str, Bay], supports: Mapping[str, Support], found: tuple[Trunk, ...]
) -> Iterator[tuple[Bay, Trunk, float]]:
    """Bays that run through a trunk which carries neither of their ends."""
    for bay in bays.values():
        for trunk, away_ft in _between(supports[bay.from_id].standing, supports[bay.to_id].standing, found):
            yield bay, trunk, away_ft


def rows_through_trunks(
    rows: Mapping[str, LineRow], bays: Mapping[str, Bay], found: tuple[Trunk, ...]
) -> Iterator[tuple[Bay, Trunk, float]]:
    """The same of all bays of a layout."""
    through = dict(chain.from_iterable(_row_through(row, found) for row in rows.values()))
    return ((bays[name], trunk, away_ft) for name, crossed in through.items() if name in bays for trunk, away_ft in crossed)


@remembered_same
def _row_through(row: LineRow, found: tuple[Trunk, ...]) -> list[tuple[str, tuple[tuple[Trunk, float], ...]]]:
    runs = [(bay_id(one.id, other.id), _between(one, other, found)) for one, other in row.runs]
    return [(name, crossed) for name, crossed in runs if crossed]


@remembered_same
def _between(before: Standing, after: Standing, found: tuple[Trunk, ...]) -> tuple[tuple[Trunk, float], ...]:
    return _through((before.xy, before.at), (after.xy, after.at), found)


def is_in_a_way(job: Job, survey: Survey, row: Sequence[_Held]) -> bool:
    """Whether any straight run from one place of a row to the next goes through a trunk that carries neither of its ends; with each place
    comes what it hangs on."""
    found = trunks(job, survey)
    return any(_through(start, end, found) for start, end in pairwise(row))


def _through(start: _Held, end: _Held, found: tuple[Trunk, ...]) -> tuple[tuple[Trunk, float], ...]:
    """The trunks that a run goes through, those apart that carry an end of it, and how far from their middles. Most stand nowhere near
    the run."""
    (start_east, start_north), (end_east, end_north) = start[0], end[0]
    west, east = (start_east, end_east) if start_east < end_east else (end_east, start_east)
    south, north = (start_north, end_north) if start_north < end_north else (end_north, start_north)
    near = [
        trunk
        for trunk in found
        if west - trunk.radius_ft <= trunk.middle[0] <= east + trunk.radius_ft
        and south - trunk.radius_ft <= trunk.middle[1] <= north + trunk.radius_ft
        and trunk.tree not in (start[1], end[1])
    ]
    if not near:
        return ()
    away = shapely.distance(shapely.linestrings([start[0], end[0]]), shapely.points([trunk.middle for trunk in near]))
    return tuple((trunk, away_ft) for trunk, away_ft in zip(near, away.tolist(), strict=True) if away_ft < trunk.radius_ft - TAPE_FT)


def asides_ft(track: Track, post: Support, other: Point, trunk: Trunk) -> list[float]:
    """Moves of a post square off its line, in whole inches, after which its run to another support clears a trunk."""
    heading = radians(heading_deg(track, post.station_ft))
    left, right = least_aside_ft(other, post.xy, (cos(heading), -sin(heading)), trunk.middle, trunk.pass_ft)
    ways = [(-1, left), (1, right)]
    return [sign * ceil(way * 12 - ROUNDING_IN) / 12 for sign, way in ways if way]


def trunk_findings(laid: LayoutFacts, through: Iterable[tuple[Bay, Trunk, float]]) -> Iterator[Finding]:
    """A finding for each run through a trunk."""
    rules = laid.job.rules.layout
    for bay, trunk, away_ft in through:
        tree = laid.job.trees[trunk.tree]
        says = f"{bay.from_id} to {bay.to_id} runs through the trunk of tree {trunk.tree}, {format_in(away_ft * 12, 1)} from its middle."
        hang = "Hang the cables on it, or " if tree.sound and tree.diameter_in >= rules.tree_min_in else ""
        do = f"{hang}{settle_words(f'{bay.from_id} or {bay.to_id}', bool(laid.job.posts), small=bool(hang))}"
        yield _finding("through_trunk", "fix", (bay.id, bay.from_id, bay.to_id, trunk.tree), says, do)


def past_trunks(laid: LayoutFacts, held: Collection[str]) -> dict[str, float]:
    """Moves off the line that take runs past the trunks in their way, one a post."""
    every = trunks(laid.job, laid.survey)
    moves: dict[str, float] = {}
    for bay, trunk, _ in through_trunks(laid.bays, laid.supports, every):
        move = _least_move(laid, bay, trunk, every, held)
        if move is not None and not {bay.from_id, bay.to_id} & set(moves):
            moves[move[0]] = move[1]
    return moves


def _least_move(
    laid: LayoutFacts, bay: Bay, trunk: Trunk, every: tuple[Trunk, ...], held: Collection[str] = ()
) -> tuple[str, float, str] | None:
    """The least move of either post off the line that keeps every rule of the layout: the post, ft to the right, the other post."""
    tried = []
    for post, other in ((bay.from_id, bay.to_id), (bay.to_id, bay.from_id)):
        one = laid.supports[post]
        if one.kind == "line" and one.support == "driven" and one.line == bay.line and post not in held:
            tried += [(abs(out), out, post, other) for out in asides_ft(laid.tracks[one.line], one, laid.supports[other].xy, trunk)]
    for size, out, post, other in sorted(tried):
        spot = place(laid.tracks[bay.line], laid.supports[post].station_ft, laid.supports[post].offset_ft + out)
        if size <= laid.job.rules.layout.move_reach_ft and _may_stand(laid, laid.supports[post], spot, every):
            return post, out, other
    return None


def _may_stand(laid: LayoutFacts, post: Support, spot: Point, every: tuple[Trunk, ...]) -> bool:
    """Whether a post may stand elsewhere off its line: clear ground, inside the boundaries, bays in rule and past every trunk."""
    rules, track = laid.job.rules.layout, laid.tracks[post.line]
    there = replace(post, east_ft=spot[0], north_ft=spot[1])
    now = {clear.boundary: clear.inside_ft for clear in laid.clearances if clear.support == post.id}
    inside = clearances(laid.job, laid.survey, {post.line: track}, {post.id: there})
    beside = [bay for bay in laid.bays.values() if post.id in (bay.from_id, bay.to_id)]
    if keep_outs_round(np.array([spot]), laid.ground):
        return False
    if any(clear.inside_ft < min(clear.setback_ft - EDGE_FT, now.get(clear.boundary, clear.setback_ft)) for clear in inside):
        return False
    return all(_bay_may_be(rules, track, bay, laid.supports[bay.other_end(post.id)], there, every) for bay in beside)


def _bay_may_be(rules: LayoutRules, track: Track, bay: Bay, other: Support, there: Support, every: tuple[Trunk, ...]) -> bool:
    rise_ft = level_at_ft(track.profile, there.station_ft) - other.level_ft
    length_ft = np.hypot(distance_ft(there.xy, other.xy), rise_ft)
    past = all(float(apart_ft(other.xy, [there.xy], one.middle)[0]) >= one.radius_ft - TAPE_FT for one in every if one.tree != other.at)
    return bay.gate is None and length_ft <= max(rules.bay_max_ft + TAPE_FT, bay.slope_ft) and past
