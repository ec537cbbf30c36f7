"""Sleeves that a job before a repair left in the ground: kept clear of, and used again by a post that is put onto one."""

from collections.abc import Iterable, Iterator

from engine.calc.geometry.plane import Point, distance_ft
from engine.calc.tolerances import ONE_SUPPORT_FT
from engine.job.model.signed_record import RepairOf, SleeveInGround

SLEEVE_CLEAR_FT = 1.0
"""How near an old sleeve no other is driven: common practice, no source."""


def sleeve_at(repair_of: RepairOf | None, spot: Point) -> SleeveInGround | None:
    """The sleeve that a post at a spot stands in: the nearest whole one that leaves no room for a second beside it."""
    whole = {name: one for name, one in repair_of.sleeves.items() if not one.cut_off} if repair_of is not None else {}
    near = [(distance_ft(one.xy, spot), name) for name, one in whole.items()]
    off_ft, name = min(near, default=(ONE_SUPPORT_FT + 1, ""))
    return whole[name] if off_ft <= ONE_SUPPORT_FT else None


def unused_sleeves(repair_of: RepairOf | None, driven: Iterable[Point]) -> Iterator[tuple[str, SleeveInGround]]:
    """Sleeves that none of the driven posts stands in, by their names; in one that was cut off none does."""
    if repair_of is None:
        return
    posts = tuple(driven)
    for name, one in repair_of.sleeves.items():
        if one.cut_off or all(distance_ft(one.xy, post) > ONE_SUPPORT_FT for post in posts):
            yield name, one
