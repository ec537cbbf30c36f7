"""What pulls on each support, what bending that makes without a brace, and which braces it therefore needs."""

from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import Profile
from engine.calc.phrases import listed, plural
from engine.calc.remember import remembered
from engine.calc.statics.brace import eye_pull, unbraced_moment_lbf_ft
from engine.calc.statics.cable_sag import ruling_span_ft
from engine.job.model.job import Job
from engine.job.model.rules import CableRules
from engine.job.model.stock_row import StockRow
from engine.stages.bracing.arms import Arm, arms_of, held_arms, turn_deg
from engine.stages.bracing.brace_feet import BraceSite
from engine.stages.bracing.cable_pull import Cable, cable_of, weather
from engine.stages.bracing.hinge_posts import HungLeaf, LeafLoad, hung_leaves, leaf_load
from engine.stages.layout.stage import Layout, Support
from engine.stages.posts.adjoining import bays_at
from engine.stages.posts.stage import Posts
from engine.stages.survey.stage import Survey

CABLES = 2


@dataclass(frozen=True)
class Need:
    """One support before its braces are placed: pull and its direction, bending, share of yield, and the braces to place.

    `lift_lbf` is both cables' lift, up positive; `cold_lbf` the tension of one cable on the coldest day, None where the stock doesn't give
    the cable, 0 where it hangs slack then. `leaf` is set for a hinge post, `bends` for a shallow bend that needs a brace after all.
    """

    support: Support
    pull_lbf: float
    azimuth_deg: float | None
    moment_lbf_ft: float
    share: float | None
    lift_lbf: float
    cold_lbf: float | None
    leaf: LeafLoad | None
    why: str
    stands: tuple[BraceSite, ...] = ()
    bends: bool = False


def needs_of(
    job: Job, stock: Mapping[str, StockRow], survey: Survey, layout: Layout, posts: Posts, yield_lbf_ft: float | None
) -> list[Need]:
    """Pull and braces needed at every support.

    Both cables pull alike along every bay at the target tension, the gate's none. For the coldest day the bays beside a support stand for
    the loops they are in: within a quarter of a pound, as a tight cable's own weight hardly counts.
    Source: common practice, no source, for ends, corners and tees; engine.calc.statics.brace for pulls and bending.
    Valid for: tight cables; guidance.
    """
    meeting = bays_at(layout)
    rules = job.rules
    cable = cable_of(job.fence.cable, stock)
    limits = _Limits(rules.cables, cable, rules.layout.corner_deg, rules.bracing.yield_share, rules.bracing.band_below_eye_in, yield_lbf_ft)
    leaves = hung_leaves(job, layout, posts.hangs, stock) if job.gates else {}
    needs = []
    for name, support in layout.supports.items():
        work = posts.work[name]
        arms = tuple((arm, survey.lines[arm.line].profile) for arm in arms_of(support, meeting[name], layout, posts.hangs))
        needs.append(_need(limits, _Eyes(work.eye_low_ft, work.eye_high_ft), support, arms, leaves.get(name, ())))
    return needs


class _Limits(NamedTuple):
    """What every support is judged by: rules of the job, its cable, and the yield of its post, lb ft."""

    cables: CableRules
    cable: Cable | None
    corner_deg: float
    yield_share: float
    band_below_eye_in: float
    yield_lbf_ft: float | None


class _Eyes(NamedTuple):
    """Both eyes over the ground, ft."""

    low_ft: float
    high_ft: float


@remembered
def _need(limits: _Limits, eyes: _Eyes, support: Support, spokes: tuple[tuple[Arm, Profile], ...], leaves: tuple[HungLeaf, ...]) -> Need:
    """The need of one support; each spoke is an arm with the ground along its line."""
    arms = tuple(arm for arm, _ in spokes)
    eye = eye_pull(limits.cables.tension_lbf, [(arm.azimuth_deg, arm.plan_ft, arm.rise_ft) for arm in arms])
    azimuth = eye.azimuth_deg if eye.level_lbf else None
    moment = unbraced_moment_lbf_ft([(eye.level_lbf, eyes.low_ft), (eye.level_lbf, eyes.high_ft)])
    yield_lbf_ft = limits.yield_lbf_ft if support.support == "driven" else None
    share = moment / yield_lbf_ft if yield_lbf_ft else None
    held = held_arms(arms, limits.corner_deg) if support.support == "driven" else ()
    leaf = leaf_load(leaves, moment, azimuth, yield_lbf_ft, bool(held))
    lift_lbf = CABLES * eye.lift_lbf
    bare = Need(support, CABLES * eye.level_lbf, azimuth, moment, share, lift_lbf, _cold_lbf(limits, arms), leaf, "")
    if support.support != "driven":
        return replace(bare, why=f"the {support.support} carries the pull")
    if held:
        stands = tuple(_along(limits, eyes, support, arm, profile) for arm, profile in spokes if arm in held)
        return replace(bare, why=_held_words(arms, held), stands=stands)
    if azimuth is None or share is None or share <= limits.yield_share:
        return replace(bare, why=_free_words(arms, share))
    level = Profile((0.0,), (support.level_ft,))
    against = _stand(limits, eyes, support, azimuth, bare.pull_lbf, level)
    return replace(bare, why=f"bent to {100 * share:.0f} % of yield without one: a brace against the pull", stands=(against,), bends=True)


def _cold_lbf(limits: _Limits, arms: tuple[Arm, ...]) -> float | None:
    if limits.cable is None or not arms:
        return None
    ruling_ft = max(1.0, round(ruling_span_ft([arm.plan_ft for arm in arms])))  # to a foot: bays alike are solved once
    return weather(limits.cable, limits.cables, ruling_ft).cold_lbf


def _held_words(arms: tuple[Arm, ...], held: tuple[Arm, ...]) -> str:
    toward = listed([arm.toward for arm in held])
    if len(arms) == 1:
        return f"the cables end here: a brace toward {toward}"
    if len(arms) == 2:
        return f"turns {turn_deg(*arms):.0f}°: braces toward {toward}"
    return f"lines meet here: {plural(len(held), 'a brace', 'braces')} toward {toward}"


def _free_words(arms: tuple[Arm, ...], share: float | None) -> str:
    if not arms:
        return "carries no cable"
    if share is None:
        return "the post's yield isn't known"
    return "runs straight through" if share < 0.005 else f"bent to {100 * share:.0f} % of yield: the post holds it"


def _along(limits: _Limits, eyes: _Eyes, support: Support, arm: Arm, profile: Profile) -> BraceSite:
    stand = _stand(limits, eyes, support, arm.azimuth_deg, CABLES * limits.cables.tension_lbf * arm.level_share, profile)
    return replace(stand, toward=arm.toward, station_ft=arm.station_ft, forward=arm.forward, room_ft=arm.plan_ft)


def _stand(limits: _Limits, eyes: _Eyes, support: Support, azimuth_deg: float, pull_lbf: float, profile: Profile) -> BraceSite:
    return BraceSite(
        toward=None,
        post=support.xy,
        level_ft=support.level_ft,
        azimuth_deg=azimuth_deg,
        pull_lbf=pull_lbf,
        pull_height_ft=(eyes.low_ft + eyes.high_ft) / CABLES,
        band_height_ft=eyes.high_ft - limits.band_below_eye_in / 12,
        profile=profile,
    )
