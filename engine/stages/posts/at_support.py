"""What meets at every support: heights of the fence, arms of its cables, wind, and how deep a sleeve they ask for."""

from collections.abc import Collection, Mapping, Sequence
from itertools import repeat
from typing import Any, NamedTuple

from engine.calc.remember import ByParts, remembered_columns, remembered_same
from engine.calc.statics.blown_fence import Push
from engine.calc.statics.brace import eye_pull
from engine.calc.statics.short_pile import STEADY_FACTOR, short_pile_lbf, soil_strength
from engine.job.model.fence import Fence
from engine.job.model.rules import Rules
from engine.job.model.stock_row import StockRow
from engine.job.model.tick_facts import TickFacts
from engine.stages.layout.stage import Layout
from engine.stages.made_of import Rows, carried_at
from engine.stages.posts.arms import Arm, MeetingBay, arms_of, held_arms
from engine.stages.posts.depths import EyeHeights, SleeveSize, load_depth_in, sleeve_size, wanted_depth_in
from engine.stages.posts.heights import BayHeight, heights_met, usual_height
from engine.stages.posts.plates import EyesInWords, heights_in_words
from engine.stages.posts.sleeves.emptied import stands_in
from engine.stages.posts.standing_supports import Stand, spans_of, stands_of
from engine.stages.posts.wind_on_fence import FenceWind, fence_wind, wind_on_post

HUNG_AND_COLD = 2.0
"""On the coldest day with wire hung two cables pull at most so many times what they were set to: judgement, 1.7 on bays of 22 ft."""


class PostBasis(NamedTuple):
    """What every support of a job is worked from: rules and fence, the sleeve, its width and the post's length, None where the stock lacks
    one, the job's own height, and what the wind does to the parts of its fence, None where that can't be worked out."""

    rules: Rules
    fence: Fence
    sleeve: SleeveSize | None
    sleeve_width_in: float | None
    post_ft: float | None
    usual: BayHeight
    wind: FenceWind | None


@remembered_same
def post_basis(rules: Rules, fence: Fence, stock: Mapping[str, StockRow]) -> PostBasis:
    """The very same one for the same rules, fence and stock."""
    sleeve, post = stock.get(fence.sleeve), stock.get(fence.post)
    return PostBasis(
        rules, fence, sleeve_size(sleeve, rules.posts), sleeve.diameter_in if sleeve else None, post.length_ft if post else None,
        usual_height(fence, rules.posts), fence_wind(fence, rules.cables.exposure, stock),
    )  # fmt: skip


class AtSupport(NamedTuple):
    """One support, and what meets there: the different `heights`, none where no bay does, and the one that counts, `hang`; the cables'
    arms, and the wind on a post, None where it isn't known or nothing is driven. `on` is what a tick is made for where no sleeve of it was
    given up, `carried` the stock that carries its eyes. Depths are None where none is asked or known; `braced` is of a post whose arms a
    brace must hold."""

    stand: Stand
    on_plate: bool
    heights: tuple[BayHeight, ...]
    hang: BayHeight
    said: EyesInWords
    arms: tuple[Arm, ...]
    push: Push | None
    on: TickFacts
    carried: Rows
    load_in: float | None
    wanted_in: float | None
    braced: bool


def at_supports(basis: PostBasis, layout: Layout, hangs: Mapping[str, BayHeight], surfaces: Collection[str]) -> dict[str, AtSupport]:
    """What meets at every support."""
    stands, spans = stands_of(layout), spans_of(layout)
    rows: dict[str, list[Any]] = {name: [] for name in stands}
    for name, bay in spans.items():
        start, end, hang = bay.from_id, bay.to_id, hangs[name]
        rows[start] += (bay, stands[end], hang)
        if end != start:
            rows[end] += (bay, stands[start], hang)
    on_plate = [stand.at in surfaces for stand in stands.values()] if surfaces else repeat(False)
    return dict(zip(rows, _at_support(repeat(basis), stands.values(), on_plate, ByParts(rows.values())), strict=True))


@remembered_columns
def _at_support(basis: PostBasis, stand: Stand, on_plate: bool, row: Sequence[Any]) -> AtSupport:
    """What meets at one support: `row` is a bay, the support at its other end and how it hangs, and so on."""
    rules, sleeve, beside = basis.rules, basis.sleeve, tuple(map(MeetingBay, row[::3], row[1::3], row[2::3]))
    heights = heights_met((one.hang, one.bay.gate) for one in beside)
    hang = heights[0] if heights else basis.usual
    arms = arms_of(stand, beside)
    push = load_in = wanted_in = None
    if stand.driven and basis.wind is not None:
        push = wind_on_post(basis.wind, rules.cables.wind_mph, hang.height_ft, ((one.bay, one.hang) for one in beside))
    braced = stand.driven and bool(held_arms(arms, rules.layout.corner_deg))
    if stand.driven and sleeve is not None:
        load_in = load_depth_in(push, sleeve, soil_strength(rules.posts.soil)) if push else None
        wanted_in = wanted_depth_in(sleeve, load_in if push else 0.0)
        if braced or (len(arms) > 1 and _pulled_aside(rules, arms, hang.eyes, sleeve)):
            wanted_in = sleeve.sleeve_in
    on, carried = stands_in(basis.fence, stand, on_plate), carried_at(basis.fence, stand.support, on_plate)
    said = heights_in_words(heights or (basis.usual,))
    return AtSupport(stand, on_plate, heights, hang, said, arms, push, on, carried, load_in, wanted_in, braced)


def _pulled_aside(rules: Rules, arms: Sequence[Arm], eyes: EyeHeights, sleeve: SleeveSize) -> bool:
    """Whether the cables of a bend may pull a post over in its ground for good where only half its sleeve is driven.

    Source: engine.calc.statics.short_pile; what pulls there is worked out when its loops are known.
    """
    spokes = [(arm.azimuth_deg, arm.plan_ft, arm.rise_ft) for arm in arms]
    level_lbf, height_ft = eye_pull(rules.cables.tension_lbf, spokes).level_lbf, (eyes.low_ft + eyes.high_ft) / 2
    holds_lbf = short_pile_lbf(sleeve.width_in / 12, sleeve.half_in / 12, height_ft, soil_strength(rules.posts.soil))
    return STEADY_FACTOR * HUNG_AND_COLD * level_lbf > holds_lbf
