"""The fence in the job's wind: what it does to every loop, what gives first at every support, and what gives under the rule."""

from collections.abc import Mapping
from typing import NamedTuple

from engine.findings import Finding
from engine.job.model.job import Job
from engine.job.model.stock_table import stock_of
from engine.stages.bracing.stage import Bracing
from engine.stages.cables.blown_loops import BlownLoop, blown_loop
from engine.stages.cables.first_to_give import Gives, first_to_give
from engine.stages.cables.wind_findings import wind_findings
from engine.stages.layout.stage import Layout
from engine.stages.posts.adjoining import bays_at
from engine.stages.posts.stage import Posts
from engine.stages.posts.wind_on_fence import fence_wind


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
    loops = {name: loop for name, loop in blown.items() if loop is not None}
    gives = first_to_give(job, stock, layout, posts, bracing, cable, wind, loops)
    told = {name: [one for one in parts if one.part != "foot" or name not in bracing.loose] for name, parts in gives.items()}
    return WindOnLoops(loops, gives, tuple(wind_findings(told, rule_mph, job.rules.posts.soil, posts.work, bays_at(layout))))
