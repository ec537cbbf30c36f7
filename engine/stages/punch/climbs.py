"""Where a dog could get over: a stretch lower than suits it, or something beside the fence that a jumping dog can stand on."""

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby

from engine.calc.geometry.plane import Point
from engine.calc.lengths import format_ft_in
from engine.calc.limits import OutOfRange
from engine.calc.measuring.kennel import suited_height_ft
from engine.job.model.job import Job
from engine.job.model.people import Dog
from engine.job.model.stock_table import fabric_ids
from engine.stages.fabric.stage import Fabric
from engine.stages.layout.stage import Bay, Layout
from engine.stages.posts.heights import lower_than_usual
from engine.stages.posts.stage import Posts
from engine.stages.punch.openings import ClosingPiece, Place
from engine.stages.punch.way_key import WayKey

DogsAt = Callable[[Point], Sequence[Dog]]


def lower_stretches(job: Job, layout: Layout, posts: Posts, dogs_at: DogsAt) -> Iterator[Place]:
    """Bays lower than the fence is elsewhere and than suits the dogs there, those of one height in a row told together.

    Where the whole fence is lower than suits a dog the survey says so; that is the client's choice and no gap. `opening_in` of such a place
    is how much higher the fence would have to be.
    Source: judgement, see engine.calc.measuring.kennel.
    """
    _, mesh = fabric_ids(job.fence)
    lower = [bay for bay in layout.bays.values() if lower_than_usual(job, posts.hangs[bay.id])]
    low = [(bay, missing_ft) for bay in lower if (missing_ft := _missing_ft(layout, posts, bay, dogs_at)) > 0]
    order = {name: number for number, name in enumerate(layout.bays)}
    for (_, _, missing_ft), run in groupby(
        enumerate(low), key=lambda one: (one[1][0].line, order[one[1][0].id] - one[0], round(one[1][1], 3))
    ):
        bays = [bay for _, (bay, _) in run]
        first, last = bays[0], bays[-1]
        height_ft = posts.hangs[first.id].height_ft
        key = WayKey("low_fence", first.id)
        what, closes = f"the {format_ft_in(height_ft)} fence", f"mesh carried up to {format_ft_in(height_ft + missing_ft)} on taller posts"
        if len(bays) == 1 and first.gate is not None:
            key = WayKey("low_gate", first.gate)
            what, closes = f"gate {first.gate}, {format_ft_in(height_ft)} high", f"a leaf of {format_ft_in(height_ft + missing_ft)}"
        yield Place(
            "over", key, f"over {what}, {first.from_id} to {last.to_id}", first.id, 12 * missing_ft,
            closes, layout.supports[first.from_id].xy,
            first.line, first.start_ft, (ClosingPiece(mesh, sum(bay.slope_ft for bay in bays), "ft"),),
        )  # fmt: skip


def _missing_ft(layout: Layout, posts: Posts, bay: Bay, dogs_at: DogsAt) -> float:
    (e1, n1), (e2, n2) = layout.supports[bay.from_id].xy, layout.supports[bay.to_id].xy
    middle = ((e1 + e2) / 2, (n1 + n2) / 2)
    return max((_suited_ft(dog) for dog in dogs_at(middle)), default=0.0) - posts.hangs[bay.id].height_ft


def _suited_ft(dog: Dog) -> float:
    try:
        return suited_height_ft(dog.shoulder_in, dog.jumps, dog.climbs).height_ft
    except OutOfRange:
        return 0.0  # its size is a finding of the survey's


def from_things(job: Job, layout: Layout, fabric: Fabric) -> Iterator[Place]:
    """What a dog that jumps or climbs can stand on beside the fence."""
    _, mesh = fabric_ids(job.fence)
    for one in fabric.jump_offs:
        bay = layout.bays[one.bay]
        yield Place(
            "over", WayKey("jump_off", bay.id, at=one.thing),
            f"over the fence from {one.thing}, {bay.from_id} to {bay.to_id}", bay.id, 12 * (one.suits_ft - one.left_ft),
            f"{one.thing} moved {format_ft_in(one.reach_ft)} off{f', or {one.closes}' if one.closes else ''}",
            one.spot, bay.line, one.station_ft, (ClosingPiece(mesh, bay.slope_ft, "ft"),),
        )  # fmt: skip
