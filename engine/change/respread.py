"""The undriven neighbours of a post that can't stay, spread again between what is driven or fixed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from engine.calc.geometry.ground import level_at_ft
from engine.calc.geometry.plane import distance_ft
from engine.calc.geometry.spacing import best_supports
from engine.calc.limits import OutOfRange
from engine.calc.tolerances import SAME_SPOT_FT, STRAIGHT_DEG, TAPE_FT
from engine.change.fresh_layout import standing
from engine.change.spot_rules import REFUSED_FT, CannotStay, apart_ft
from engine.stages.layout.bays import bay_id
from engine.stages.layout.keep_outs import blocked_on, merged
from engine.stages.layout.line_tracks import place, turns_at
from engine.stages.layout.propose import stretch_between
from engine.stages.layout.stage import Support


@dataclass(frozen=True)
class Respread:
    """A stretch spread anew: the edits, how many posts change, feet they go together, posts more than before, and its bays in ft."""

    steps: tuple[Mapping[str, Any], ...]
    moved: int
    feet: float
    more: int
    uneven_ft: float
    shortest_ft: float
    longest_ft: float
    from_id: str
    to_id: str
    bays: tuple[str, ...]


def respread(case: CannotStay) -> Respread | None:
    """The best spread of the posts not driven yet round the case's post, with its present spot blocked."""
    stretch = _stretch(case)
    if stretch is None:
        return None
    (start_ft, first), posts, (end_ft, last) = stretch
    stations = _new_stations(case, start_ft, end_ft)
    placed = _posts_to_stations(case.post.id, [(post.station_ft, post.id) for post in posts], stations)
    if placed is None:
        return None
    bays = _bay_lengths_ft(case, first, last, stations)
    if not bays or max(bays) > case.job.rules.layout.bay_max_ft + TAPE_FT:
        return None
    by_id = {post.id: post for post in posts}
    steps = [step for name, station in placed if (step := _step(case, by_id.get(name or ""), station)) is not None]
    feet = sum(abs(step["along_ft"]) + abs(step["out_ft"]) for step in steps if step["kind"] == "move")
    now = [apart_ft(a, b) for a, b in pairwise([first, *posts, last])]
    uneven_ft = max(0.0, (max(bays) - min(bays)) - (max(now) - min(now)))
    more = len(stations) - len(posts)
    return Respread(
        tuple(steps), len(steps), feet, more, uneven_ft, min(bays), max(bays), first.id, last.id, _bays_today(case, first, last)
    )


def _stretch(case: CannotStay) -> tuple[tuple[float, Support], list[Support], tuple[float, Support]] | None:
    """The fixed supports either side, with their stations, and the posts between that may move, the case's own among them."""
    row = [case.walk.layout.supports[name] for name in case.walk.layout.lines[case.post.line].supports]
    at = next((n for n, support in enumerate(row) if support.id == case.post.id), None)
    if at is None or _on_a_turn(case, case.post):
        return None
    low = next((n for n in range(at - 1, -1, -1) if _stays(case, row[n])), None)
    high = next((n for n in range(at + 1, len(row)) if _stays(case, row[n])), None)
    if low is None or high is None:
        return None
    ends = [(_station(case, row[n]), row[n]) for n in (low, high)]
    return (ends[0], row[low + 1 : high], ends[1]) if ends[0][0] < ends[1][0] else None


def _bays_today(case: CannotStay, first: Support, last: Support) -> tuple[str, ...]:
    """The bays of today between two supports of the line."""
    row = case.walk.layout.lines[case.post.line].supports
    part = row[row.index(first.id) : row.index(last.id) + 1]
    return tuple(bay_id(a, b) for a, b in pairwise(part))


def _stays(case: CannotStay, support: Support) -> bool:
    movable = support.kind == "line" and support.support == "driven" and support.line == case.post.line
    return not movable or support.id in standing(case.job, case.walk) or _on_a_turn(case, support)


def _on_a_turn(case: CannotStay, support: Support) -> bool:
    return abs(turns_at(case.track, [support.station_ft])[0]) > STRAIGHT_DEG


def _station(case: CannotStay, support: Support) -> float:
    return support.on_line(case.track.name, case.track.path)[0]


def _new_stations(case: CannotStay, start_ft: float, end_ft: float) -> list[float]:
    blocked = merged(blocked_on(case.track.path, case.track.stations_ft, case.ground))
    spot = (case.post.station_ft - REFUSED_FT, case.post.station_ft + REFUSED_FT)
    asked = stretch_between(case.job.rules.layout, case.track, start_ft, end_ft, (*blocked, spot), ())
    try:
        return list(best_supports(asked).stations_ft[1:-1])
    except OutOfRange:
        return []


def _posts_to_stations(
    refused: str, posts: Sequence[tuple[float, str]], stations: list[float]
) -> list[tuple[str | None, float | None]] | None:
    """Which post goes where, in order: a name without a station is left out, a station without a name is a post more."""
    names = [name for _, name in posts]
    if len(stations) == len(posts):
        return list(zip(names, stations, strict=True))
    if len(stations) == len(posts) - 1:
        others = [name for name in names if name != refused]
        return [(refused, None), *zip(others, stations, strict=True)]
    if len(stations) != len(posts) + 1:
        return None
    sums = [sum(abs(was - to) for (was, _), to in zip(posts, stations[:n] + stations[n + 1 :], strict=True)) for n in range(len(stations))]
    extra = int(np.argmin(sums))
    return [*zip(names, stations[:extra] + stations[extra + 1 :], strict=True), (None, stations[extra])]


def _step(case: CannotStay, post: Support | None, station_ft: float | None) -> dict[str, Any] | None:
    if post is None:
        return {"kind": "add", "line": case.post.line, "station_ft": station_ft}
    if station_ft is None:
        return {"kind": "drop", "post": post.id}
    along_ft = station_ft - post.station_ft
    if abs(along_ft) < SAME_SPOT_FT and abs(post.offset_ft) < SAME_SPOT_FT:
        return None
    return {"kind": "move", "post": post.id, "along_ft": along_ft, "out_ft": -post.offset_ft or 0.0}


def _bay_lengths_ft(case: CannotStay, first: Support, last: Support, stations: list[float]) -> list[float]:
    spots = [(place(case.track, station), level_at_ft(case.track.profile, station)) for station in stations]
    row = [(first.xy, first.level_ft), *spots, (last.xy, last.level_ft)]
    return [float(np.hypot(distance_ft(a, b), low - high)) for (a, low), (b, high) in pairwise(row)]
