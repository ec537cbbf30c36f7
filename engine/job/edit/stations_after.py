"""A post of the plan before by the stations that its line has from a plan, or a new way, on."""

from math import hypot

from engine.calc.tolerances import ONE_SUPPORT_FT, SAME_SPOT_FT
from engine.job.model.base import FEET_PLACES
from engine.job.model.fence import Post
from engine.job.model.log_entries import PlannedEntry, RerouteEntry


def post_after(plan: PlannedEntry | RerouteEntry, post: Post | None) -> Post | None:
    """A post by the stations that its line has from a plan on; None where it stood in the part that a new way gave up."""
    if post is None:
        return None
    station_ft = station_after(plan, post.line, post.station_ft)
    meant_ft = None if post.meant_ft is None else station_after(plan, post.line, post.meant_ft)
    if station_ft is None:
        return None
    if meant_ft is not None and hypot(station_ft - meant_ft, post.offset_ft) <= ONE_SUPPORT_FT:
        meant_ft = None
    there = {"station_ft": station_ft, "offset_ft": post.offset_ft, "meant_ft": meant_ft}
    return post.model_copy(update={field: None if ft is None else round(ft, FEET_PLACES) + 0.0 for field, ft in there.items()})


def station_after(plan: PlannedEntry | RerouteEntry, line: str, station_ft: float) -> float | None:
    """A station of a line from a plan on; None where that gave up the ground there."""
    if isinstance(plan, PlannedEntry) or plan.line != line:
        return station_ft
    past = station_ft >= plan.to_ft
    if plan.to_ft < plan.from_ft:
        return station_ft + plan.shift_ft if past and station_ft <= plan.from_ft else None
    if station_ft <= plan.from_ft:
        return station_ft
    return station_ft + plan.shift_ft if past else None


def stands_so(now: Post, was: Post, *, swapped: bool = False) -> bool:
    """Whether one is the other, on the same support and at the same station; of one that was swapped its tree tells where."""
    if (now.line, now.support, now.at) != (was.line, was.support, was.at):
        return False
    return swapped or hypot(now.station_ft - was.station_ft, now.offset_ft - was.offset_ft) <= SAME_SPOT_FT
