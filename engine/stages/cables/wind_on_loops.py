"""The fence in the job's wind: what it does to every loop, what gives first at every support, and what gives under the rule."""

from collections.abc import Mapping
from typing import NamedTuple

from engine.calc.geometry.plane import azimuth_deg
from engine.findings import Finding
from engine.job.model.job import Job
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import stock_of
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.stage import Bracing
from engine.stages.bracing.strung_loops import StrungLoop
from engine.stages.cables.blown_loops import BlownLoop, blown_loop
from engine.stages.cables.brace_strength import brace_tube
from engine.stages.cables.first_to_give import Beside, Blowing, Gives, Part, Stands, Strung, end_gives, least_first, support_gives
from engine.stages.cables.wind_findings import wind_findings
from engine.stages.layout.stage import Bay, Layout, Support
from engine.stages.posts.adjoining import bays_at
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
    loops, by = {name: loop for name, loop in blown.items() if loop is not None}, _blowing(job, stock, wind)
    meeting, ends = bays_at(layout), _ends(loops, bracing.strung, cable, by.told_mph)
    arms_of = {bay.id: (loops[name], one.states) for name, one in bracing.strung.items() if name in loops for bay in one.bays}
    gives = {}
    for name, support in layout.supports.items():
        found = [*ends.get(name, ())]
        if support.support == "driven":
            arms, pull = posts.arms[name], bracing.pulls[name]
            strung = tuple(Strung(arm, *arms_of[arm.bay]) for arm in arms if arm.bay in arms_of)
            beside = tuple(_beside(layout, posts, support, bay) for bay in meeting[name])
            found = [*support_gives(by, pull, _stands(posts, bracing, name), beside, arms, strung), *found]
        gives[name] = least_first(found, by.told_mph)
    told = {name: [one for one in parts if one.part != "foot" or name not in bracing.loose] for name, parts in gives.items()}
    return WindOnLoops(loops, gives, tuple(wind_findings(told, rule_mph, job.rules.posts.soil, posts.work, meeting)))


def _blowing(job: Job, stock: Mapping[str, StockRow], wind: FenceWind) -> Blowing:
    rules, sleeve = job.rules, stock.get(job.fence.sleeve)
    return Blowing(
        rule_mph=rules.cables.wind_mph,
        wind=wind,
        soil=rules.posts.soil,
        sleeve_in=sleeve.diameter_in if sleeve else None,
        brace=brace_tube(stock.get(job.fence.brace)),
        band_below_in=rules.bracing.band_below_eye_in,
        tension_lbf=rules.cables.tension_lbf,
    )


def _ends(loops: Mapping[str, BlownLoop], strung: Mapping[str, StrungLoop], cable: Cable, told_mph: float) -> dict[str, list[Gives]]:
    """The weaker of lock and cable of every loop at the supports that it ends at."""
    ends: dict[str, list[Gives]] = {}
    part: Part = "cable" if cable.lock_lbf is None or cable.strength_lbf < cable.lock_lbf else "lock"
    for name, blown in loops.items():
        bays, holds = strung[name].bays, end_gives(part, name, blown, cable.weakest_lbf, told_mph)
        for end in dict.fromkeys((bays[0].from_id, bays[-1].to_id)):
            ends.setdefault(end, []).append(holds)
    return ends


def _stands(posts: Posts, bracing: Bracing, name: str) -> Stands:
    work = posts.work[name]
    depth_in = work.depth_wanted_in if work.driven_in is None else work.driven_in
    return Stands(depth_in, work.eye_high_ft, name not in bracing.loose, posts.winds.get(name))


def _beside(layout: Layout, posts: Posts, support: Support, bay: Bay) -> Beside:
    far = layout.supports[bay.to_id if bay.from_id == support.id else bay.from_id]
    return Beside(bay, posts.hangs[bay.id], azimuth_deg(support.xy, far.xy) if far.xy != support.xy else 0.0)
