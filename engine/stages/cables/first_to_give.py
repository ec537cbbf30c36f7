"""What gives first at a support, and at what wind: post, sleeve in its ground, brace and its foot, the loops that end there.

Limits: a gust, so that nothing is divided by a factor: a post bends when it begins to yield, a sleeve lies over when its ground gives it no
more. Wind is square on. Two gusts are worked out: every bay blown alike, which uses all up first, and one bay alone, the longest of a loop
or the harder blown beside a post, the others in still air. Cables run free through the eyes: where they grip, a bay alone pulls about as
all alike do, and pulls at its posts along the fence, which is left out. Ends don't give, so that cables, braces and feet hold a bit more.
A brace and the cable beside it hold their post along the brace both ways. A foot that the ground doesn't hold for good gives as it is
driven until it is ticked as put right, and then as its plate does. A gate's own weight, bands and eyes are left out.
"""

from collections.abc import Iterator, Sequence
from dataclasses import field
from math import cos, hypot, inf, radians, sin, sqrt
from typing import Literal, NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.roots import rising_root
from engine.calc.statics.blown_fence import Push, blown_post
from engine.calc.statics.embedment import SoilClass
from engine.calc.statics.short_pile import short_pile_lbf, soil_strength
from engine.findings import UNPRINTED
from engine.stages.bracing.stage import BraceLeg, SupportPull
from engine.stages.cables.blown_loops import TOLD_SHARE, BlownLoop, Pulls, Swings, bending_mph, strength_mph
from engine.stages.cables.brace_strength import BraceTube, brace_holds
from engine.stages.posts.heights import BayHeight
from engine.stages.posts.standing_supports import Span
from engine.stages.posts.wind_on_fence import AT_MPH, FenceWind, half_bay

Part = Literal["post", "sleeve", "brace", "foot", "lock", "cable"]
HELD_SINE = 0.5
"""A brace that stands within 60 degrees of the way the wind blows holds its post against it: judgement."""
FELT_SHARE = 0.01
"""Pulls that bend a post less than this share of its yield are left out beside the wind: judgement."""


class BayPush(NamedTuple):
    """What pushes a post in the job's wind, every bay blown alike: what does so however long its bays are, its bays, and how much a foot
    of each of them bends it, lb ft; and how much of what is felt its cables pull at it as they turn there, which shorter bays make more."""

    fixed: Push
    bays: Push
    per_ft: float
    turns: float

    def at(self, share: float) -> Push:
        """The push with bays of a share of their lengths."""
        return Push(*(fixed + share * bays for fixed, bays in zip(self.fixed, self.bays, strict=True)))


@dataclass(frozen=True)
class Gives:
    """One part, the support or loop that it is part of, and the wind that uses it up with every bay blown alike; 0 where it is without
    wind. `alone_mph` is the wind that does so with one bay blown alone, never less; None past what is told. `bent` is whether the cables of
    a bend pull at it too; `pushed` is what pushes a post that neither they nor a brace pulls at, where its bays hang alike."""

    part: Part
    of: str
    mph: float
    alone_mph: float | None = None
    bent: bool = False
    pushed: BayPush | None = field(default=None, metadata=UNPRINTED)


class Blowing(NamedTuple):
    """What every support is judged by: the wind of the rules, that on the fence's parts, ground, sleeve, brace and target tension."""

    rule_mph: float
    wind: FenceWind
    soil: SoilClass
    sleeve_in: float | None
    brace: BraceTube | None
    band_below_in: float
    tension_lbf: float

    @property
    def told_mph(self) -> float:
        """What holds to this isn't told."""
        return TOLD_SHARE * self.rule_mph

    @property
    def at_100(self) -> float:
        """What makes of a push in that wind one at 100 mph."""
        return (AT_MPH / self.rule_mph) ** 2


class Beside(NamedTuple):
    """A bay or gate at a support, how its fence hangs, and the way it goes; where cables leave along it, the support that they go to, and
    their loop, unless it hangs slack."""

    bay: Span
    hang: BayHeight
    way_deg: float
    toward: str | None
    loop: Swings | None


class Stands(NamedTuple):
    """How deep a post's sleeve stands, in, its top eye, ft, whether its feet were put right, and the job's wind on it standing alone."""

    depth_in: float | None
    eye_high_ft: float
    on_plate: bool
    blows: Push | None


class _Blown(NamedTuple):
    """The job's wind on a post: with every bay there blown, and with the one alone that pushes more; that bay's length, ft; of one without
    a brace what that is made of."""

    alike: Push
    alone: Push
    bay_ft: float
    pushed: BayPush | None = None


def support_gives(by: Blowing, pull: SupportPull, stands: Stands, beside: tuple[Beside, ...]) -> tuple[Gives, ...]:
    """The parts of one driven post and its braces that wind may use up."""
    arms = [one for one in beside if one.toward is not None]
    strung = [(one.toward, one.loop) for one in arms if one.loop is not None]
    felt, first = _pull_felt(pull, arms), strung[0][1] if strung else None
    blows = _blown(by, pull, stands, beside, felt)
    found: list[Gives] = []
    if blows is not None and blows.alike.bending_lbf_ft > 0:
        share = _pull_share(by, pull, felt, first.blown if first else None)
        found += _post(by, pull, stands, blows, first.blown if first else None, share)
    for leg in pull.legs:
        held = next((loop for toward, loop in strung if toward == leg.toward), first if leg.toward is None else None)
        if held is not None:
            found += _leg(by, leg, stands, held, blows if leg.toward is None else None)
    return tuple(found)


def end_gives(part: Part, name: str, loop: BlownLoop, strength_lbf: float, told_mph: float) -> Gives:
    """The weaker of a loop's lock and cable, which carry the same pull."""
    return Gives(part, name, strength_mph(loop, strength_lbf), _told(strength_mph(loop.only(loop.longest_ft), strength_lbf), told_mph))


def least_first(found: Sequence[Gives], told_mph: float) -> tuple[Gives, ...]:
    """Each part once, however many braces or loops have one."""
    least: dict[tuple[str, str], Gives] = {}
    for one in sorted((one for one in found if one.mph <= told_mph), key=lambda one: one.mph):
        least.setdefault((one.part, one.of), one)
    return tuple(least.values())


def _told(mph: float, told_mph: float) -> float | None:
    return mph if mph <= told_mph else None


def _post(by: Blowing, pull: SupportPull, stands: Stands, blows: _Blown, loop: BlownLoop | None, share: float) -> Iterator[Gives]:
    """Post and sleeve, with the cables of a bend where they pull at it."""
    name, alone = pull.support, dict(_holds(by, pull, stands, blows.alone))
    for part, holds_lbf_ft in _holds(by, pull, stands, blows.alike):
        if loop is None or not share:
            mph, one_mph = (
                by.rule_mph * sqrt(holds / push.bending_lbf_ft) for holds, push in ((holds_lbf_ft, blows.alike), (alone[part], blows.alone))
            )
            yield Gives(part, name, mph, _told(one_mph, by.told_mph), pushed=blows.pushed)
        else:
            mph = bending_mph(loop, share, holds_lbf_ft, by.at_100 * blows.alike.bending_lbf_ft, by.told_mph)
            beside_lbf_ft = by.at_100 * blows.alone.bending_lbf_ft
            one_mph = bending_mph(loop.only(blows.bay_ft), share, alone[part], beside_lbf_ft, by.told_mph)
            yield Gives(part, name, mph, _told(one_mph, by.told_mph), bent=True)


def _blown(by: Blowing, pull: SupportPull, stands: Stands, beside: tuple[Beside, ...], felt: float) -> _Blown | None:
    """What the job's wind does to a post from the worst side that no brace holds it against; None where braces hold it from all."""
    squared = 1 / by.at_100
    halves = [half_bay(by.wind, one.bay, one.hang) for one in beside]
    along = [leg.azimuth_deg for leg in pull.legs if leg.toward]
    if not along:
        most = max(range(len(halves)), key=lambda at: halves[at].bending_lbf_ft, default=None)
        if stands.blows is None or most is None:
            return None
        others = _sum([half for at, half in enumerate(halves) if at != most], squared)
        alone = Push(stands.blows.level_lbf - others.level_lbf, stands.blows.bending_lbf_ft - others.bending_lbf_ft)
        alike = not pull.legs and len({one.hang for one in beside}) == 1
        pushed = _pushed(stands.blows, beside, halves, squared, felt) if alike else None
        return _Blown(stands.blows, alone, beside[most].bay.plan_ft, pushed)
    worst: _Blown | None = None
    own = blown_post(by.wind.post_plf, max((one.hang.height_ft for one in beside), default=0.0))
    for way_deg in (one.way_deg for one in beside):
        if all(abs(sin(radians(way_deg - leg_deg))) < HELD_SINE for leg_deg in along):
            shares = [cos(radians(other.way_deg - way_deg)) ** 2 for other in beside]
            rows = [Push(share * half.level_lbf, share * half.bending_lbf_ft) for share, half in zip(shares, halves, strict=True)]
            most = max(range(len(rows)), key=lambda at: rows[at].bending_lbf_ft)
            here = _Blown(_sum([own, *rows], squared), _sum([own, rows[most]], squared), beside[most].bay.plan_ft)
            worst = max(worst or here, here, key=lambda push: push.alike.bending_lbf_ft)
    return worst


def _pushed(alike: Push, beside: Sequence[Beside], halves: Sequence[Push], squared: float, felt: float) -> BayPush:
    """What of a push is that of bays; a gate is as wide as it is."""
    own = [(half, one.bay.plan_ft) for one, half in zip(beside, halves, strict=True) if not one.bay.gate]
    bays = _sum([half for half, _ in own], squared)
    fixed = Push(alike.level_lbf - bays.level_lbf, alike.bending_lbf_ft - bays.bending_lbf_ft)
    return BayPush(fixed, bays, squared * sum(half.bending_lbf_ft / plan_ft for half, plan_ft in own), felt)


def longest_bays_ft(by: Blowing, one: Gives, depth_in: float | None) -> float | None:
    """The longest bays beside a post, each alike, with which what gives there under the rule holds its wind, all blown alike; `depth_in` is
    how deep its sleeve stands. None where no length does, or it has a brace, the cables of a bend pull at it or would then, or its bays
    hang otherwise than each other: that would change with them. The push of bays goes with their length, what ground holds with the height
    of all pushes as one; gates stay as wide as they are."""
    pushed = one.pushed
    if pushed is None or not pushed.per_ft:
        return None
    holds_lbf_ft = pushed.at(1).bending_lbf_ft * (one.mph / by.rule_mph) ** 2

    def over(share: float) -> float:
        push = pushed.at(share)
        held_lbf_ft = _ground_holds_lbf_ft(by, depth_in, push) if one.part == "sleeve" else holds_lbf_ft
        return push.bending_lbf_ft - (held_lbf_ft or 0.0)

    if over(0) >= 0:
        return None
    share = rising_root(over, 0.0, 1.0)
    return share * pushed.bays.bending_lbf_ft / pushed.per_ft if pushed.turns < share else None


def _sum(pushes: Sequence[Push], times: float) -> Push:
    return Push(*(times * sum(push[part] for push in pushes) for part in (0, 1)))


def _pull_felt(pull: SupportPull, arms: Sequence[Beside]) -> float:
    """How much a loop's pulls bend a post across the fence, as its cables turn there, to what is felt; 0 where it isn't known what it
    holds."""
    bends_lbf_ft = pull.pulls.pulled.moment_lbf_ft * _across(arms, pull.azimuth_deg)
    return bends_lbf_ft / (FELT_SHARE * pull.yield_lbf_ft) if pull.yield_lbf_ft else 0.0


def _pull_share(by: Blowing, pull: SupportPull, felt: float, loop: BlownLoop | None) -> float:
    """How much of a loop's pulls an unbraced post feels across the fence; 0 where it hardly does."""
    if loop is None or pull.braces or felt < 1 or not pull.yield_lbf_ft:
        return 0.0
    return felt * FELT_SHARE * pull.yield_lbf_ft / loop.bending_lbf_ft(Pulls(by.tension_lbf, by.tension_lbf))


def _across(arms: Sequence[Beside], pull_deg: float | None) -> float:
    """How much of a pull acts the way the wind blows; a break of the slope pulls along the fence alone."""
    if len(arms) != 2 or pull_deg is None:
        return 1.0
    one, other = (radians(arm.way_deg) for arm in arms)
    east, north, pull = sin(one) - sin(other), cos(one) - cos(other), radians(pull_deg)
    long = hypot(east, north)
    return abs(sin(pull) * north - cos(pull) * east) / long if long else 1.0


def _holds(by: Blowing, pull: SupportPull, stands: Stands, blows: Push) -> Iterator[tuple[Part, float]]:
    """Bending at the ground that a post and its sleeve's ground hold, lb ft; the ground of a load at the height of the wind's."""
    if pull.yield_lbf_ft:
        yield "post", pull.yield_lbf_ft
    if (ground_lbf_ft := _ground_holds_lbf_ft(by, stands.depth_in, blows)) is not None:
        yield "sleeve", ground_lbf_ft


def _ground_holds_lbf_ft(by: Blowing, depth_in: float | None, blows: Push) -> float | None:
    """Bending at the ground that a sleeve's ground holds against a push at its height; None where a size isn't known."""
    if not by.sleeve_in or depth_in is None:
        return None
    return blows.height_ft * short_pile_lbf(by.sleeve_in / 12, depth_in / 12, blows.height_ft, soil_strength(by.soil))


def _leg(by: Blowing, leg: BraceLeg, stands: Stands, held: Swings, beside: _Blown | None) -> Iterator[Gives]:
    """The brace or its foot, whichever gives first, by the bending of its loop's pulls in the state that it was worked for."""
    before, holds = held.states.at(leg.state), brace_holds(leg, by.brace, by.soil, stands.on_plate)
    before_lbf_ft = held.blown.bending_lbf_ft(Pulls(before.top_lbf, before.bottom_lbf))
    if holds is None or not before_lbf_ft:
        return
    band_ft = stands.eye_high_ft - by.band_below_in / 12
    share, most_lbf_ft = leg.thrust_lbf * band_ft / before_lbf_ft, holds.thrust_lbf * band_ft
    alike, alone = (by.at_100 * push.bending_lbf_ft for push in (beside.alike, beside.alone)) if beside else (0.0, 0.0)
    mph = bending_mph(held.blown, share, most_lbf_ft, alike, by.told_mph)
    one_ft = beside.bay_ft if beside else held.blown.longest_ft
    one_mph = bending_mph(held.blown.only(one_ft), share, most_lbf_ft, alone, by.told_mph) if mph < inf else inf
    yield Gives("foot" if holds.foot else "brace", leg.support, mph, _told(one_mph, by.told_mph))
