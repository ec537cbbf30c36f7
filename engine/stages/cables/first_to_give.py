"""What gives first at a support, and at what wind: post, sleeve in its ground, brace and its foot, the loops that end there.

Limits: a gust, so that nothing is divided by a factor: a post bends when it begins to yield, a sleeve lies over when its ground gives it no
more. Wind is square on. Every bay of a loop is blown alike and ends don't give, so that cables, braces and feet hold a little more. A brace
and the cable beside it hold their post along the brace both ways. A foot that the ground doesn't hold for good gives as it is driven
until it is ticked as put right, and then as its plate does. A gate's own weight, bands and eyes are left out.
"""

from collections.abc import Iterator, Mapping, Sequence
from math import cos, hypot, radians, sin, sqrt
from typing import Literal, NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import azimuth_deg
from engine.calc.limits import OutOfRange
from engine.calc.statics.blown_fence import Push, blown_post
from engine.calc.statics.embedment import SoilClass, vertical_bearing_psf
from engine.calc.statics.section import strut_lbf
from engine.calc.statics.short_pile import STEADY_FACTOR, short_pile_lbf, soil_strength
from engine.job.model.job import Job
from engine.job.model.stock_row import StockRow
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.foot_ground import FootGround
from engine.stages.bracing.stage import BraceLeg, Bracing, SupportPull
from engine.stages.bracing.strung_loops import StrungLoop
from engine.stages.cables.blown_loops import TOLD_SHARE, BlownLoop, Pulls, bending_mph, strength_mph
from engine.stages.layout.stage import Bay, Layout, Support
from engine.stages.posts.adjoining import bays_at
from engine.stages.posts.arms import Arm
from engine.stages.posts.stage import Posts
from engine.stages.posts.wind_on_fence import AT_MPH, FenceWind, half_bay

Part = Literal["post", "sleeve", "brace", "foot", "lock", "cable"]
HELD_SINE = 0.5
"""A brace that stands within 60 degrees of the way the wind blows holds its post against it: judgement."""
BEARING_FACTOR = 3.0
"""The code's bearing under a plate is about a third of what ground bears at last: from memory."""
FELT_SHARE = 0.01
"""Pulls that bend a post less than this share of its yield are left out beside the wind: judgement."""


@dataclass(frozen=True)
class Gives:
    """One part, the support or loop that it is part of, and the wind that uses it up; 0 where it is without wind. `bent` is whether the
    cables of a bend pull at it too."""

    part: Part
    of: str
    mph: float
    bent: bool = False


def first_to_give(
    job: Job,
    stock: Mapping[str, StockRow],
    layout: Layout,
    posts: Posts,
    bracing: Bracing,
    cable: Cable,
    wind: FenceWind,
    loops: Mapping[str, BlownLoop],
) -> dict[str, tuple[Gives, ...]]:
    """Every support with the parts that wind may use up, the least first."""
    told_mph = TOLD_SHARE * job.rules.cables.wind_mph
    loop_of = {bay.id: name for name, one in bracing.strung.items() for bay in one.bays}
    site = _Site(job, stock, layout, posts, wind, told_mph, bracing.strung, loops, loop_of, bracing.loose)
    ends = _ends(loops, bracing.strung, cable)
    meeting = bays_at(layout)
    return {
        name: _least_first((*_of_support(site, support, meeting[name], bracing.pulls[name]), *ends.get(name, ())), told_mph)
        for name, support in layout.supports.items()
    }


def _ends(loops: Mapping[str, BlownLoop], strung: Mapping[str, StrungLoop], cable: Cable) -> dict[str, list[Gives]]:
    """The weaker of lock and cable of every loop, which carry the same pull, at the supports that it ends at."""
    ends: dict[str, list[Gives]] = {}
    part: Part = "cable" if cable.lock_lbf is None or cable.strength_lbf < cable.lock_lbf else "lock"
    for name, blown in loops.items():
        bays, holds = strung[name].bays, Gives(part, name, strength_mph(blown, cable.weakest_lbf))
        for end in dict.fromkeys((bays[0].from_id, bays[-1].to_id)):
            ends.setdefault(end, []).append(holds)
    return ends


class _Site(NamedTuple):
    """What every support is judged with."""

    job: Job
    stock: Mapping[str, StockRow]
    layout: Layout
    posts: Posts
    wind: FenceWind
    told_mph: float
    strung: Mapping[str, StrungLoop]
    loops: Mapping[str, BlownLoop]
    loop_of: Mapping[str, str]
    loose: frozenset[str]

    @property
    def rule_mph(self) -> float:
        """The wind of the job's rules."""
        return self.job.rules.cables.wind_mph

    @property
    def at_100(self) -> float:
        """What makes of a push in that wind one at 100 mph."""
        return (AT_MPH / self.rule_mph) ** 2


def _least_first(found: Sequence[Gives], told_mph: float) -> tuple[Gives, ...]:
    """Each part once, however many braces or loops have one."""
    least: dict[tuple[str, str], Gives] = {}
    for one in sorted((one for one in found if one.mph <= told_mph), key=lambda one: one.mph):
        least.setdefault((one.part, one.of), one)
    return tuple(least.values())


def _of_support(site: _Site, support: Support, bays: Sequence[Bay], pull: SupportPull) -> Iterator[Gives]:
    if support.support != "driven":
        return
    blows = _blown(site, support, bays, pull)
    arm = next((arm for arm in site.posts.arms[support.id] if site.loop_of.get(arm.bay) in site.loops), None)
    loop = site.loops[site.loop_of[arm.bay]] if arm else None
    if blows is not None and blows.bending_lbf_ft > 0:
        share = _pull_share(site, pull, loop)
        for part, holds_lbf_ft in _holds(site, support.id, pull, blows):
            if loop is None or not share:
                yield Gives(part, support.id, site.rule_mph * sqrt(holds_lbf_ft / blows.bending_lbf_ft))
            else:
                mph = bending_mph(loop, share, holds_lbf_ft, site.at_100 * blows.bending_lbf_ft, site.told_mph)
                yield Gives(part, support.id, mph, bent=True)
    for leg in pull.legs:
        held = next((arm for arm in site.posts.arms[support.id] if arm.toward == leg.toward), arm)
        name = site.loop_of.get(held.bay, "") if held else ""
        if name in site.loops:
            before = site.strung[name].states.at(leg.state)
            bent_lbf_ft = site.loops[name].bending_lbf_ft(Pulls(before.top_lbf, before.bottom_lbf))
            yield from _leg(site, leg, site.loops[name], bent_lbf_ft, blows if leg.toward is None else None)


def _blown(site: _Site, support: Support, bays: Sequence[Bay], pull: SupportPull) -> Push | None:
    """What the job's wind does to a post from the worst side that no brace holds it against; None where braces hold it from all."""
    along = [leg.azimuth_deg for leg in pull.legs if leg.toward]
    if not along:
        return site.posts.winds.get(support.id)
    squared = 1 / site.at_100
    own = blown_post(site.wind.post_plf, max(site.posts.hangs[bay.id].height_ft for bay in bays))
    halves = [(_way_deg(site.layout, support, bay), half_bay(site.wind, bay, site.posts.hangs[bay.id])) for bay in bays]
    worst = Push(0.0, 0.0)
    for way_deg, _ in halves:
        if all(abs(sin(radians(way_deg - leg_deg))) < HELD_SINE for leg_deg in along):
            rows = [(1.0, own), *((cos(radians(other_deg - way_deg)) ** 2, half) for other_deg, half in halves)]
            here = Push(*(squared * sum(share * push[part] for share, push in rows) for part in (0, 1)))
            worst = max(worst, here, key=lambda push: push.bending_lbf_ft)
    return worst if worst.level_lbf else None


def _way_deg(layout: Layout, support: Support, bay: Bay) -> float:
    far = layout.supports[bay.to_id if bay.from_id == support.id else bay.from_id]
    return azimuth_deg(support.xy, far.xy) if far.xy != support.xy else 0.0


def _pull_share(site: _Site, pull: SupportPull, loop: BlownLoop | None) -> float:
    """How much of a loop's pulls an unbraced post feels across the fence, as its cables turn there; 0 where it hardly does."""
    bends = pull.pulls.pulled.moment_lbf_ft * _across(site.posts.arms[pull.support], pull.azimuth_deg)
    if loop is None or pull.braces or not pull.yield_lbf_ft or bends < FELT_SHARE * pull.yield_lbf_ft:
        return 0.0
    tension_lbf = site.job.rules.cables.tension_lbf
    return bends / loop.bending_lbf_ft(Pulls(tension_lbf, tension_lbf))


def _across(arms: Sequence[Arm], pull_deg: float | None) -> float:
    """How much of a pull acts the way the wind blows; a break of the slope pulls along the fence alone."""
    if len(arms) != 2 or pull_deg is None:
        return 1.0
    one, other = (radians(arm.azimuth_deg) for arm in arms)
    east, north, pull = sin(one) - sin(other), cos(one) - cos(other), radians(pull_deg)
    long = hypot(east, north)
    return abs(sin(pull) * north - cos(pull) * east) / long if long else 1.0


def _holds(site: _Site, name: str, pull: SupportPull, blows: Push) -> Iterator[tuple[Part, float]]:
    """Bending at the ground that a post and its sleeve's ground hold, lb ft; the ground of a load at the height of the wind's."""
    if pull.yield_lbf_ft:
        yield "post", pull.yield_lbf_ft
    sleeve, work = site.stock.get(site.job.fence.sleeve), site.posts.work[name]
    depth_in = work.depth_wanted_in if work.driven_in is None else work.driven_in
    if sleeve is not None and sleeve.diameter_in and depth_in is not None:
        soil = soil_strength(site.job.rules.posts.soil)
        yield "sleeve", blows.height_ft * short_pile_lbf(sleeve.diameter_in / 12, depth_in / 12, blows.height_ft, soil)


def _leg(site: _Site, leg: BraceLeg, loop: BlownLoop, before_lbf_ft: float, beside: Push | None) -> Iterator[Gives]:
    """The brace or its foot, whichever gives first; `before_lbf_ft` is the bending of its loop's pulls in the state it was worked for."""
    if not leg.thrust_lbf or not before_lbf_ft:
        return
    work, rules = site.posts.work[leg.support], site.job.rules
    band_ft = work.eye_high_ft - rules.bracing.band_below_eye_in / 12
    holds: list[tuple[float, Part]] = []
    if leg.ground is not None:
        on_plate = leg.loose is not None and leg.support not in site.loose
        holds.append((_foot_lbf(leg, leg.ground, rules.posts.soil, on_plate), "foot"))
    bows_lbf = _bows_lbf(site.stock.get(site.job.fence.brace), leg.length_ft)
    if bows_lbf is not None:
        holds.append((bows_lbf * leg.thrust_lbf / leg.axial_lbf, "brace"))
    if holds:
        thrust_lbf, part = min(holds)
        share = leg.thrust_lbf * band_ft / before_lbf_ft
        also_lbf_ft = site.at_100 * beside.bending_lbf_ft if beside else 0.0
        yield Gives(part, leg.support, bending_mph(loop, share, thrust_lbf * band_ft, also_lbf_ft, site.told_mph))


def _bows_lbf(row: StockRow | None, length_ft: float) -> float | None:
    if row is None or row.diameter_in is None or row.wall_in is None or row.yield_psi is None:
        return None
    try:
        return strut_lbf(row.diameter_in, row.wall_in, length_ft, row.yield_psi)
    except OutOfRange:
        return None


def _foot_lbf(leg: BraceLeg, ground: FootGround, soil: SoilClass, on_plate: bool) -> float:
    """Level push that a foot takes at last, as it is driven or on the plate that was asked for."""
    if not on_plate:
        return ground.holds_lbf * STEADY_FACTOR
    bears_lbf = BEARING_FACTOR * vertical_bearing_psf(soil) * (ground.plate_in / 12) ** 2
    return bears_lbf * leg.thrust_lbf / leg.axial_lbf
