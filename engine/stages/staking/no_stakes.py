"""Where no stake goes in along each bay: inside keep-outs, and as near beside a buried line as a stake reaches sideways."""

from collections.abc import Mapping, Sequence
from itertools import pairwise
from math import cos, radians
from typing import NamedTuple

from engine.calc.geometry.plane import Point
from engine.calc.geometry.runs_in_areas import parts_inside
from engine.calc.large_libraries import np
from engine.calc.remember import remembered, remembered_each, remembered_of
from engine.calc.tolerances import EDGE_FT
from engine.job.model.rules import StakeRules
from engine.stages.fabric.bay_ground import BayGround
from engine.stages.layout.keep_outs import Ground, KeepOutId
from engine.stages.layout.stage import Bay, Layout
from engine.stages.posts.standing_supports import Stand, stands_of

STAKE_DEG = 45.0
"""Slope of a stake: common practice, no source."""

Part = tuple[float, float, KeepOutId]
Parts = tuple[Part, ...]
Stretch = tuple[float, float]


class BayRow(NamedTuple):
    """The bays of a line in order, the supports each begins and ends at, and the ground under those that are no gate."""

    bays: tuple[Bay, ...]
    starts: tuple[Stand, ...]
    ends: tuple[Stand, ...]
    grounds: tuple[BayGround | None, ...]


@remembered_of
def bay_rows(layout: Layout, grounds: Mapping[str, BayGround]) -> list[BayRow]:
    """The bays of every line that has some."""
    stands = stands_of(layout)
    rows = []
    for line in layout.lines.values():
        if line.bays:
            bays = tuple([layout.bays[name] for name in line.bays])
            starts, ends = tuple([stands[bay.from_id] for bay in bays]), tuple([stands[bay.to_id] for bay in bays])
            rows.append(BayRow(bays, starts, ends, tuple([*map(grounds.get, line.bays)])))
    return rows


def reach_in(rules: StakeRules) -> float:
    """How deep a stake goes, driven flush at its slope."""
    return rules.stake_length_in * cos(radians(STAKE_DEG))


def blocked_in(row: BayRow, ground: Ground | None, aside_ft: float = 0.0) -> list[Parts]:
    """Parts of each bay of a line inside areas, or as near beside it: (from, to, id of the area), in order."""
    if ground is None:
        return [()] * len(row.bays)
    path = pairwise((row.starts[0].xy, *(end.xy for end in row.ends)))
    along = _in_areas(tuple(path), (ground, aside_ft))
    starts_ft = [bay.start_ft if under is None else under.start_ft for bay, under in zip(row.bays, row.grounds, strict=True)]
    parts = sorted(
        (start_ft + low, start_ft + high, area) for start_ft, inside in zip(starts_ft, along, strict=True) for low, high, area in inside
    )
    return [_in_bay(under, parts, ground) for under in row.grounds] if parts else [()] * len(row.bays)


def _in_bay(bay: BayGround | None, parts: Sequence[tuple[float, float, int]], ground: Ground) -> Parts:
    if bay is None:
        return ()
    inside = [(low, high, area) for low, high, area in parts if low < bay.end_ft and high > bay.start_ft]
    return _known(tuple((*past_ends(low, high, bay), ground.areas[area].id) for low, high, area in inside)) if inside else ()


@remembered
def _known(parts: Parts) -> Parts:
    """The parts that were found before where they are the same: a move may leave those of most bays of a line as they are."""
    return parts


@remembered_each
def _in_areas(runs: Sequence[tuple[Point, Point]], given: tuple[Ground, float]) -> list[tuple[tuple[float, float, int], ...]]:
    """Parts of each run from support to support inside areas, from its start; where a stake reaches aside, also along both ends of its
    reach."""
    ground, aside_ft = given
    corners = np.array(runs)
    starts, ends = corners[:, 0], corners[:, 1]
    if aside_ft:
        along = (ends - starts) / np.hypot(*(ends - starts).T)[:, None]
        square = aside_ft * np.stack([along[:, 1], -along[:, 0]], axis=1)
        starts, ends = (np.concatenate([edge + square * way for way in (-1, 0, 1)]) for edge in (starts, ends))
    found: list[list[tuple[float, float, int]]] = [[] for _ in runs]
    for run, low, high, area in parts_inside(starts, ends, ground.tree):
        found[run % len(runs)].append((low, high, area))
    return [*map(tuple, found)]


def past_ends(low: float, high: float, bay: BayGround) -> Stretch:
    """A part that reaches an end of its bay goes on behind it, so that the end isn't taken for its edge."""
    start, end = bay.start_ft, bay.end_ft
    return (start - EDGE_FT if low <= start + EDGE_FT else low), (end + EDGE_FT if high >= end - EDGE_FT else high)
