"""Whether today's supports between two fixed ones do as well as the best, so that nobody moves a flag for nothing."""

from collections.abc import Mapping, Sequence
from itertools import pairwise
from math import inf

from engine.calc.geometry.spacing import FreeStretch, Spacing, fewest_driven, these_supports
from engine.calc.tolerances import SAME_SPOT_FT
from engine.stages.layout.fixed_supports import FixedSupport


def as_measured(stretch: FreeStretch, today: Sequence[FixedSupport], trees: Mapping[str, float]) -> Spacing | None:
    """Today's supports as the stretch holds them, its ends too, or None where a post stands in blocked ground or off the line, or a tree
    carries none any longer; `trees` are the stations of those that may."""
    posts = [one for one in today if one.support == "driven"]
    blocked = any(low < one.station_ft < high for one in posts for low, high in stretch.blocked)
    off_line = any(abs(one.offset_ft) > SAME_SPOT_FT for one in posts)
    stations = [one.station_ft if one.support == "driven" else trees.get(one.at or "", -inf) for one in today]
    in_order = all(near < far for near, far in pairwise((stretch.start_ft, *stations, stretch.end_ft)))
    return these_supports(stretch, [stretch.start_ft, *stations, stretch.end_ft]) if in_order and not (blocked or off_line) else None


def as_good_as_any(stretch: FreeStretch, today: Spacing | None) -> bool:
    """Whether today's supports are as few as can be and as even, to within a step of the grid, so that nothing has to be looked for: on
    every tree of the line and no other, as few posts as any row could do with, every bay in its limits."""
    if today is None or today.over_ft > 0 or today.short_ft > 0 or today.driven != fewest_driven(stretch):
        return False
    between: list[list[float]] = [[]]
    for bay, kind in zip(today.bays_ft, today.kinds[1:], strict=True):
        between[-1].append(bay)
        if kind == "tree":
            between.append([])
    on_line = [station for station, kind in zip(today.stations_ft, today.kinds, strict=True) if kind == "tree"]
    return on_line == sorted(stretch.free) and all(max(bays) - min(bays) <= stretch.grid_ft for bays in between)


def as_good(best: Spacing, today: Spacing | None, step_ft: float) -> bool:
    """Whether today's supports do as well as the best, evenness to within a step of the grid."""
    if today is None or (len(today.kinds), today.driven) != (len(best.kinds), best.driven):
        return False
    worse = sum(bay**2 for bay in today.bays_ft) - sum(bay**2 for bay in best.bays_ft)
    return (today.over_ft, today.short_ft) == (best.over_ft, best.short_ft) and worse <= step_ft**2
