"""The fence in the job's wind: what it does to every loop, what gives first at every support, and what gives under the rule."""

from collections.abc import Iterable, Mapping
from itertools import repeat
from typing import NamedTuple

from engine.calc.geometry.plane import azimuth_deg
from engine.calc.remember import ByParts, remembered, remembered_columns, remembered_of
from engine.calc.statics.blown_fence import Push
from engine.job.model.fence import Fence, SupportKind
from engine.job.model.rules import Rules
from engine.job.model.stock_row import StockRow
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.stage import SupportPull
from engine.stages.bracing.strung_loops import StrungLoop
from engine.stages.cables.blown_loops import BlownLoop, Swings, swings_of
from engine.stages.cables.brace_strength import brace_tube
from engine.stages.cables.fence_parts import FencePart
from engine.stages.cables.first_to_give import Beside, Blowing, Gives, Part, Stands, end_gives, least_first, support_gives
from engine.stages.cables.wind_findings import Under, gives_under
from engine.stages.posts.depths import EyeHeights
from engine.stages.posts.heights import BayHeight
from engine.stages.posts.post_work import PostWork
from engine.stages.posts.standing_supports import Span, Stand
from engine.stages.posts.wind_on_fence import fence_wind, reckoned_mph


class WindOnPart(NamedTuple):
    """Loops of a part of the fence as a wind meets them, and what gives at each of its supports, the least first, and under the rule."""

    loops: Mapping[str, BlownLoop]
    gives: Mapping[str, tuple[Gives, ...]]
    under: Mapping[str, tuple[Under, ...]]


def wind_on_part(part: FencePart, by: Blowing | None, cable: Cable) -> WindOnPart:
    """What the wind of the rules does to cables and posts, with wire and mesh on; nothing without wind, or where it can't be worked out."""
    if by is None:
        return WindOnPart({}, {}, {})
    strung = part.strung.values()
    swings = _swings(repeat(by), repeat(cable), strung, [part.hangs[one.bays[0].id].eyes for one in strung])
    ends, beside = _ends(strung, swings), _beside(part, swings)
    given = _gives(
        repeat(by),
        [one.support for one in part.supports.values()],
        part.pulls.values(),
        part.work.values(),
        part.winds.values(),
        part.on_plate.values(),
        ByParts(beside.values()),
        ByParts([ends.get(name, ()) for name in part.supports]),
    )
    loops = {one.id: swing.blown for one, (swing, _) in zip(strung, swings, strict=True) if swing is not None}
    under = gives_under(repeat(by), part.supports, given, part.on_plate.values())
    return WindOnPart(
        loops,
        gives=dict(zip(part.supports, given, strict=True)),
        under={name: parts for name, parts in zip(part.supports, under, strict=True) if parts},
    )


@remembered_columns
def _gives(
    by: Blowing,
    support: SupportKind,
    pull: SupportPull,
    work: PostWork,
    blows: Push | None,
    on_plate: bool,
    beside: list[Beside],
    ends: list[Gives],
) -> tuple[Gives, ...]:
    if support != "driven":
        return least_first(ends, by.told_mph)
    depth_in = work.depth_wanted_in if work.driven_in is None else work.driven_in
    return _at_post(by, pull, Stands(depth_in, work.eye_high_ft, on_plate, blows), tuple(beside), tuple(ends))


@remembered
def _at_post(by: Blowing, pull: SupportPull, stands: Stands, beside: tuple[Beside, ...], ends: tuple[Gives, ...]) -> tuple[Gives, ...]:
    """What gives at one driven support, the least first: the post and its braces, and the loops that end there."""
    return least_first([*support_gives(by, pull, stands, beside), *ends], by.told_mph)


@remembered_of
def blowing(rules: Rules, fence: Fence, stock: Mapping[str, StockRow]) -> Blowing | None:
    """What every support is judged by; None without wind, or where it can't be worked out."""
    wind, sleeve = fence_wind(fence, rules.cables.exposure, stock), stock.get(fence.sleeve)
    if wind is None or not reckoned_mph(rules.cables.wind_mph):
        return None
    return Blowing(
        rule_mph=rules.cables.wind_mph,
        wind=wind,
        soil=rules.posts.soil,
        sleeve_in=sleeve.diameter_in if sleeve else None,
        brace=brace_tube(stock.get(fence.brace)),
        band_below_in=rules.bracing.band_below_eye_in,
        tension_lbf=rules.cables.tension_lbf,
    )


_Swinging = tuple[Swings | None, Gives | None]
"""A loop in the wind, and the weaker of its lock and cable; nothing where it hangs slack."""


@remembered_columns
def _swings(by: Blowing, cable: Cable, strung: StrungLoop, eyes: EyeHeights) -> _Swinging:
    swings = swings_of(cable, by.wind, strung, eyes)
    weaker: Part = "cable" if cable.lock_lbf is None or cable.strength_lbf < cable.lock_lbf else "lock"
    return swings, None if swings is None else end_gives(weaker, strung.id, swings.blown, cable.weakest_lbf, by.told_mph)


def _ends(strung: Iterable[StrungLoop], swings: Iterable[_Swinging]) -> dict[str, list[Gives]]:
    """The weaker of lock and cable of every loop at the supports that it ends at."""
    ends: dict[str, list[Gives]] = {}
    for loop, (_, holds) in zip(strung, swings, strict=True):
        if holds is not None:
            for end in dict.fromkeys((loop.bays[0].from_id, loop.bays[-1].to_id)):
                ends.setdefault(end, []).append(holds)
    return ends


def _beside(part: FencePart, swings: Iterable[_Swinging]) -> dict[str, list[Beside]]:
    """Bays and gates at every support, in layout order."""
    found: dict[str, list[Beside]] = {name: [] for name in part.supports}
    loop_of = {bay.id: swing for loop, (swing, _) in zip(part.strung.values(), swings, strict=True) for bay in loop.bays}
    bays, supports = part.bays.values(), part.supports
    pairs = _both_ends(
        bays,
        part.hangs.values(),
        [supports[bay.from_id] for bay in bays],
        [supports[bay.to_id] for bay in bays],
        [loop_of.get(name) for name in part.bays],
    )
    for bay, (start, end) in zip(bays, pairs, strict=True):
        found[bay.from_id].append(start)
        found[bay.to_id].append(end)
    return found


@remembered_columns
def _both_ends(bay: Span, hang: BayHeight, start: Stand, end: Stand, loop: Swings | None) -> tuple[Beside, Beside]:
    """A bay or gate as it lies beside the support that it begins at, and beside the one that it ends at."""
    apart = start.xy != end.xy
    cables = apart and bay.gate is None
    return (
        Beside(bay, hang, azimuth_deg(start.xy, end.xy) if apart else 0.0, end.id if cables else None, loop if cables else None),
        Beside(bay, hang, azimuth_deg(end.xy, start.xy) if apart else 0.0, start.id if cables else None, loop if cables else None),
    )
