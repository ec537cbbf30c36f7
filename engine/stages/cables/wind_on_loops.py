"""The fence in the job's wind: what it does to every loop, what gives first at every support, and what gives under the rule."""

from collections.abc import Mapping
from typing import NamedTuple

from engine.calc.geometry.plane import azimuth_deg
from engine.calc.remember import remembered_rows, remembered_same
from engine.calc.statics.blown_fence import Push
from engine.findings import Finding
from engine.job.model.fence import Fence
from engine.job.model.job import Job
from engine.job.model.rules import Rules
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import stock_of
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.stage import Bracing, SupportPull
from engine.stages.bracing.strung_loops import StrungLoop
from engine.stages.bracing.what_pulls import LoopStates
from engine.stages.cables.blown_loops import BlownLoop, blown_loop
from engine.stages.cables.brace_strength import brace_tube
from engine.stages.cables.first_to_give import Beside, Blowing, Gives, Part, Stands, Strung, end_gives, least_first, support_gives
from engine.stages.cables.wind_findings import wind_findings
from engine.stages.layout.stage import Bay, Layout, Support
from engine.stages.posts.adjoining import bays_at
from engine.stages.posts.arms import Arm
from engine.stages.posts.heights import BayHeight
from engine.stages.posts.post_work import PostWork
from engine.stages.posts.stage import Posts
from engine.stages.posts.wind_on_fence import FenceWind, fence_wind


class WindOnLoops(NamedTuple):
    """Loops as a wind meets them, and what gives at every support, the least first; empty without wind, or where it can't be worked out."""

    loops: Mapping[str, BlownLoop]
    gives: Mapping[str, tuple[Gives, ...]]
    findings: tuple[Finding, ...]


def wind_on_loops(job: Job, layout: Layout, posts: Posts, bracing: Bracing) -> WindOnLoops:
    """What the wind of the rules does to cables and posts, with wire and mesh on."""
    stock, rule_mph, cable = stock_of(job.stock), job.rules.cables.wind_mph, bracing.cable
    wind = fence_wind(job.fence, job.rules.cables.exposure, stock)
    if wind is None or cable is None or not rule_mph:
        return WindOnLoops({}, {}, ())
    blown = {name: blown_loop(one, cable, wind, posts.hangs[one.bays[0].id].eyes) for name, one in bracing.strung.items()}
    loops, by = {name: loop for name, loop in blown.items() if loop is not None}, _blowing(job.rules, job.fence, stock, wind)
    meeting, ends = bays_at(layout), _ends(loops, bracing.strung, cable, by)
    swings = {bay.id: _swings(loops[name], one.states) for name, one in bracing.strung.items() if name in loops for bay in one.bays}
    gives = {}
    for name, support in layout.supports.items():
        arms = posts.arms[name]
        stands = (support, bracing.pulls[name], posts.work[name], posts.winds.get(name), name not in bracing.loose)
        bays = ((bay, posts.hangs[bay.id], layout.supports[bay.other_end(name)]) for bay in meeting[name])
        gives[name] = _gives(by, stands, arms, (*(swings.get(arm.bay) for arm in arms),), (*ends.get(name, ()),), *bays)
    told = {**gives, **{name: tuple(one for one in gives[name] if one.part != "foot") for name in bracing.loose}}
    return WindOnLoops(loops, gives, tuple(wind_findings(told, rule_mph, job.rules.posts.soil, posts.work, meeting)))


class _Swings(NamedTuple):
    """A loop before the wind and in every state."""

    blown: BlownLoop
    states: LoopStates


@remembered_same
def _swings(blown: BlownLoop, states: LoopStates) -> _Swings:
    return _Swings(blown, states)


@remembered_rows
def _gives(
    by: Blowing,
    stands: tuple[Support, SupportPull, PostWork, Push | None, bool],
    arms: tuple[Arm, ...],
    swings: tuple[_Swings | None, ...],
    ends: tuple[Gives, ...],
    *bays: tuple[Bay, BayHeight, Support],
) -> tuple[Gives, ...]:
    """What gives at one support, the least first: the post and its braces, where it is driven, and the loops that end there."""
    support, pull, work, blows, on_plate = stands
    if support.support != "driven":
        return least_first(ends, by.told_mph)
    depth_in = work.depth_wanted_in if work.driven_in is None else work.driven_in
    beside = tuple(_beside(support, *row) for row in bays)
    strung = tuple(Strung(arm, *loop) for arm, loop in zip(arms, swings, strict=True) if loop is not None)
    own = support_gives(by, pull, Stands(depth_in, work.eye_high_ft, on_plate, blows), beside, arms, strung)
    return least_first([*own, *ends], by.told_mph)


@remembered_same
def _blowing(job_rules: Rules, fence: Fence, stock: Mapping[str, StockRow], wind: FenceWind) -> Blowing:
    rules, sleeve = job_rules, stock.get(fence.sleeve)
    return Blowing(
        rule_mph=rules.cables.wind_mph,
        wind=wind,
        soil=rules.posts.soil,
        sleeve_in=sleeve.diameter_in if sleeve else None,
        brace=brace_tube(stock.get(fence.brace)),
        band_below_in=rules.bracing.band_below_eye_in,
        tension_lbf=rules.cables.tension_lbf,
    )


def _ends(loops: Mapping[str, BlownLoop], strung: Mapping[str, StrungLoop], cable: Cable, by: Blowing) -> dict[str, list[Gives]]:
    """The weaker of lock and cable of every loop at the supports that it ends at."""
    ends: dict[str, list[Gives]] = {}
    for name, blown in loops.items():
        bays, holds = strung[name].bays, _end_gives(cable, blown, name, by)
        for end in dict.fromkeys((bays[0].from_id, bays[-1].to_id)):
            ends.setdefault(end, []).append(holds)
    return ends


@remembered_same
def _end_gives(cable: Cable, blown: BlownLoop, name: str, by: Blowing) -> Gives:
    part: Part = "cable" if cable.lock_lbf is None or cable.strength_lbf < cable.lock_lbf else "lock"
    return end_gives(part, name, blown, cable.weakest_lbf, by.told_mph)


def _beside(support: Support, bay: Bay, hang: BayHeight, far: Support) -> Beside:
    return Beside(bay, hang, azimuth_deg(support.xy, far.xy) if far.xy != support.xy else 0.0)
