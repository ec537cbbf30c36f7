"""Where no stake goes in along each bay: inside keep-outs, and as near beside a buried line as a stake reaches sideways."""

from collections.abc import Mapping, Sequence
from math import cos, radians

from engine.calc.geometry.plane import Point
from engine.calc.large_libraries import np
from engine.calc.remember import remembered, remembered_rows, remembered_same
from engine.calc.tolerances import EDGE_FT
from engine.job.model.rules import StakeRules
from engine.stages.fabric.bay_ground import BayGround
from engine.stages.layout.keep_outs import Ground, KeepOut, KeepOutId, blocked_runs
from engine.stages.layout.stage import Bay, Layout, Support
from engine.stages.posts.adjoining import ground_of

STAKE_DEG = 45.0
"""Slope of a stake: common practice, no source."""

Part = tuple[float, float, KeepOutId]
Stretch = tuple[float, float]
Stations = tuple[float, ...]
Stopped = tuple[tuple[Part, ...], tuple[Part, ...]]
"""Parts inside keep-outs, and parts beside buried lines, each in order."""


def reach_in(rules: StakeRules) -> float:
    """How deep a stake goes, driven flush at its slope."""
    return rules.stake_length_in * cos(radians(STAKE_DEG))


@remembered_same
def _reach_ft(rules: StakeRules) -> float:
    return reach_in(rules) / 12


def stopped(rules: StakeRules, layout: Layout, grounds: Mapping[str, BayGround], areas: Sequence[KeepOut]) -> dict[str, Stopped]:
    """Parts of each bay where no stake goes in; from a buried line's zone it keeps as far as it reaches sideways."""
    buried = [area for area in areas if area.id.buried]
    others = blocked_in(layout, grounds, [area for area in areas if area not in buried])
    zones = blocked_in(layout, grounds, buried, _reach_ft(rules))
    return {name: (others.get(name, ()), zones.get(name, ())) for name in {**others, **zones}}


def blocked_in(
    layout: Layout, grounds: Mapping[str, BayGround], areas: Sequence[KeepOut], aside_ft: float = 0.0
) -> dict[str, tuple[Part, ...]]:
    """Parts of each bay inside the areas, or as near beside it: (from, to, id of the area), in order."""
    if not areas:
        return {}
    ground = ground_of(tuple(areas))
    found: dict[str, tuple[Part, ...]] = {}
    for line in layout.lines.values():
        bays = [layout.bays[name] for name in line.bays]
        if bays:
            posts = tuple(layout.supports[name] for name in (bays[0].from_id, *(bay.to_id for bay in bays)))
            found |= _blocked_bays(ground, (aside_ft,), posts, tuple(bays), tuple(grounds[bay.id] for bay in bays if bay.id in grounds))
    return found


@remembered_rows
def _blocked_bays(
    ground: Ground, aside: tuple[float], posts: tuple[Support, ...], bays: tuple[Bay, ...], under: tuple[BayGround, ...]
) -> dict[str, tuple[Part, ...]]:
    """The same of the bays of one line."""
    grounds = {one.bay.id: one for one in under}
    starts = tuple(grounds[bay.id].start_ft if bay.id in grounds else bay.start_ft for bay in bays)
    parts = _blocked_beside(tuple(post.xy for post in posts), starts, ground, aside[0])
    found = {}
    for name, bay in grounds.items():
        inside = [(low, high, area) for low, high, area in parts if low < bay.end_ft and high > bay.start_ft]
        found[name] = tuple((*past_ends(low, high, bay), ground.areas[area].id) for low, high, area in inside)
    return found


@remembered
def _blocked_beside(path: tuple[Point, ...], stations_ft: Stations, ground: Ground, aside_ft: float) -> list[tuple[float, float, int]]:
    """Blocked parts of a path, looked at along it and, where a stake reaches aside, along both ends of its reach."""
    corners = np.array(path)
    starts, ends = corners[:-1], corners[1:]
    if aside_ft == 0:
        return blocked_runs(starts, ends, np.asarray(stations_ft), ground)
    along = (ends - starts) / np.hypot(*(ends - starts).T)[:, None]
    square = aside_ft * np.stack([along[:, 1], -along[:, 0]], axis=1)
    shifts = [square * way for way in (-1, 0, 1)]
    moved = [np.concatenate([edge + shift for shift in shifts]) for edge in (starts, ends)]
    return blocked_runs(moved[0], moved[1], np.tile(np.asarray(stations_ft), len(shifts)), ground)


def past_ends(low: float, high: float, bay: BayGround) -> Stretch:
    """A part that reaches an end of its bay goes on behind it, so that the end isn't taken for its edge."""
    start, end = bay.start_ft, bay.end_ft
    return (start - EDGE_FT if low <= start + EDGE_FT else low), (end + EDGE_FT if high >= end - EDGE_FT else high)
