"""What pulls on each support, what that does to a post and its sleeve without a brace, and which braces it therefore needs."""

from collections.abc import Mapping, Sequence
from math import inf
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import Profile
from engine.calc.phrases import listed, plural
from engine.calc.remember import remembered, remembered_rows, remembered_same
from engine.calc.statics.brace import eye_pull
from engine.calc.statics.short_pile import STEADY_FACTOR, SoilStrength, short_pile_lbf, soil_strength
from engine.job.model.job import Job
from engine.job.model.rules import Rules
from engine.job.model.stock_row import StockRow
from engine.stages.bracing.brace_feet import BraceSite
from engine.stages.bracing.hinge_posts import HungLeaf, LeafLoad, hung_leaves, leaf_load
from engine.stages.bracing.lifts import FELT_LBF
from engine.stages.bracing.post_pulls import Eyes, PostPull, PostPulls, bending_shares, hardest_pull, post_pulls
from engine.stages.bracing.strung_loops import StrungLoop
from engine.stages.bracing.what_pulls import LoopStates
from engine.stages.layout.stage import Layout, Support
from engine.stages.posts.arms import Arm, held_arms, turn_deg
from engine.stages.posts.post_work import PostWork
from engine.stages.posts.stage import Posts
from engine.stages.survey.stage import Survey

CABLES = 2


class SleeveHold(NamedTuple):
    """What a sleeve's ground holds of a level pull that acts for days, lb, and how deep the sleeve stands for it, in."""

    holds_lbf: float
    depth_in: float


@dataclass(frozen=True)
class Need:
    """One support before its braces are placed: pulls, share of yield, what its sleeve holds, and the braces to place.

    `leaf` is set for a hinge post. `bends` and `creeps` are set where a shallow bend needs a brace after all: for the post's yield, or for
    the ground that its sleeve stands in. `shares` are how hard each of `stands` is pushed in every state of `pulls`, beside its own state.
    """

    support: Support
    pulls: PostPulls
    share: float | None
    sleeve: SleeveHold | None
    leaf: LeafLoad | None
    why: str
    stands: tuple[BraceSite, ...] = ()
    bends: bool = False
    creeps: bool = False
    shares: tuple[tuple[float, ...], ...] = ()

    def __hash__(self) -> int:
        """Of a few fields: needs are looked up often and are seldom alike."""
        return hash((self.support.id, self.pulls.bent, self.share))


class _Limits(NamedTuple):
    """What every support is judged by: rules of the job, yield of its post, lb ft, its sleeve's width and the ground."""

    corner_deg: float
    yield_share: float
    band_below_eye_in: float
    yield_lbf_ft: float | None
    sleeve_in: float | None
    soil: SoilStrength


def firm_supports(job: Job, layout: Layout, posts: Posts, yield_lbf_ft: float | None) -> frozenset[str]:
    """Supports that loops meet at rather than at a line post: all but those in a line, and where the fence bends so much that a
    post wants a brace at the target tension.

    Source: common practice, no source.
    """
    supports = layout.supports.items()
    return frozenset(name for name, support in supports if _is_firm(job.rules, support, posts.arms[name], posts.work[name], yield_lbf_ft))


@remembered_same
def _is_firm(rules: Rules, support: Support, arms: tuple[Arm, ...], work: PostWork, yield_lbf_ft: float | None) -> bool:
    if support.kind != "line" or support.support != "driven" or held_arms(arms, rules.layout.corner_deg):
        return True
    if yield_lbf_ft is None:
        return False
    level_lbf = eye_pull(rules.cables.tension_lbf, [(arm.azimuth_deg, arm.plan_ft, arm.rise_ft) for arm in arms]).level_lbf
    return level_lbf * (work.eye_low_ft + work.eye_high_ft) / yield_lbf_ft > rules.bracing.yield_share


def needs_of(
    job: Job,
    stock: Mapping[str, StockRow],
    survey: Survey,
    layout: Layout,
    posts: Posts,
    strung: Mapping[str, StrungLoop],
    yield_lbf_ft: float | None,
) -> list[Need]:
    """Pull and braces needed at every support, in the state that loads it most; a gate pulls at nothing.

    Source: common practice, no source, for ends, corners and tees; engine.calc.statics for pulls, bending and ground.
    Valid for: tight cables; guidance.
    """
    limits = _limits(job.rules, stock.get(job.fence.sleeve), yield_lbf_ft)
    leaves = hung_leaves(job, layout, posts.hangs, stock) if job.gates else {}
    states = {bay.id: loop.states for loop in strung.values() for bay in loop.bays}
    return [
        _need(
            limits, (support, _stood_in(posts.work[name])), leaves.get(name, ()),
            *((arm, survey.lines[arm.line].profile, states[arm.bay]) for arm in posts.arms[name]),
        )
        for name, support in layout.supports.items()
    ]  # fmt: skip


@remembered_same
def _limits(rules: Rules, sleeve: StockRow | None, yield_lbf_ft: float | None) -> _Limits:
    return _Limits(
        rules.layout.corner_deg, rules.bracing.yield_share, rules.bracing.band_below_eye_in, yield_lbf_ft,
        sleeve.diameter_in if sleeve else None, soil_strength(rules.posts.soil),
    )  # fmt: skip


class Spoke(NamedTuple):
    """An arm with the ground along its line, and its loop in every state."""

    arm: Arm
    profile: Profile
    states: LoopStates


class _Stood(NamedTuple):
    """Eyes of a support, and how deep its sleeve is, or is asked to be, in."""

    eyes: Eyes
    depth_in: float | None


def _stood_in(work: PostWork) -> _Stood:
    return _stood(work.eye_low_ft, work.eye_high_ft, work.depth_wanted_in if work.driven_in is None else work.driven_in)


@remembered
def _stood(low_ft: float, high_ft: float, depth_in: float | None) -> _Stood:
    return _Stood(Eyes(low_ft, high_ft), depth_in)


@remembered_rows
def _need(limits: _Limits, stands: tuple[Support, _Stood], leaves: tuple[HungLeaf, ...], *rows: tuple[Arm, Profile, LoopStates]) -> Need:
    (support, stood), spokes = stands, [Spoke(*row) for row in rows]
    arms = tuple(spoke.arm for spoke in spokes)
    pulls = post_pulls(stood.eyes, [(spoke.arm, spoke.states) for spoke in spokes])
    bent, driven = pulls.bent, support.support == "driven"
    yield_lbf_ft = limits.yield_lbf_ft if driven else None
    share = bent.moment_lbf_ft / yield_lbf_ft if yield_lbf_ft else None
    held = held_arms(arms, limits.corner_deg) if driven else ()
    leaf = leaf_load(leaves, bent.moment_lbf_ft, bent.azimuth_deg, yield_lbf_ft, bool(held)) if leaves else None
    sleeve = _sleeve_hold(limits, stood, bent) if driven else None

    def need(
        why: str,
        stands: tuple[BraceSite, ...] = (),
        bends: bool = False,
        creeps: bool = False,
        shares: tuple[tuple[float, ...], ...] = (),
    ) -> Need:
        return Need(support, pulls, share, sleeve, leaf, why, stands, bends, creeps, shares)

    if not driven:
        return need(f"the {support.support} carries the pull")
    if held:
        along = [spoke for spoke in spokes if spoke.arm in held]
        shares = tuple(bending_shares(stood.eyes, spoke.states) for spoke in along)
        return need(_held_words(arms, held), tuple(_along(limits, stood.eyes, support, spoke) for spoke in along), shares=shares)
    bends = share is not None and share > limits.yield_share
    creeps = sleeve is not None and bent.level_lbf > sleeve.holds_lbf
    if share is None or not (bends or creeps) or bent.azimuth_deg is None:
        return need(_free_words(arms, share))
    level = Profile((0.0,), (support.level_ft,))
    against = _stand(limits, stood.eyes, support, bent.azimuth_deg, bent, level)
    why = f"bent to {100 * share:.0f} % of yield without one" if bends else "its sleeve would creep over without one"
    alone = tuple(pull.moment_lbf_ft / bent.moment_lbf_ft for pull in pulls.each)
    return need(f"{why}: a brace against the pull", (against,), bends, creeps, (alone,))


def _sleeve_hold(limits: _Limits, stood: _Stood, bent: PostPull) -> SleeveHold | None:
    """What the ground holds for good of a pull at the height of this one."""
    if limits.sleeve_in is None or stood.depth_in is None or bent.level_lbf < FELT_LBF:
        return None
    last_lbf = short_pile_lbf(limits.sleeve_in / 12, stood.depth_in / 12, bent.height_ft, limits.soil)
    return SleeveHold(last_lbf / STEADY_FACTOR, stood.depth_in)


def _held_words(arms: Sequence[Arm], held: Sequence[Arm]) -> str:
    toward = listed([arm.toward for arm in held])
    if len(arms) == 1:
        return f"the cables end here: a brace toward {toward}"
    if len(arms) == 2:
        return f"turns {turn_deg(*arms):.0f}°: braces toward {toward}"
    return f"lines meet here: {plural(len(held), 'a brace', 'braces')} toward {toward}"


def _free_words(arms: Sequence[Arm], share: float | None) -> str:
    if not arms:
        return "carries no cable"
    if share is None:
        return "the post's yield isn't known"
    return "runs straight through" if share < 0.005 else f"bent to {100 * share:.0f} % of yield: the post holds it"


def _along(limits: _Limits, eyes: Eyes, support: Support, spoke: Spoke) -> BraceSite:
    """A brace along an arm holds that arm alone, in the state in which it pulls hardest."""
    arm = spoke.arm
    alone = hardest_pull(eyes, arm, spoke.states)
    return _stand(limits, eyes, support, arm.azimuth_deg, alone, spoke.profile, arm)


def _stand(
    limits: _Limits, eyes: Eyes, support: Support, azimuth_deg: float, pull: PostPull, profile: Profile, arm: Arm | None = None
) -> BraceSite:
    return BraceSite(
        toward=arm.toward if arm else None,
        post=support.xy,
        level_ft=support.level_ft,
        azimuth_deg=azimuth_deg,
        pull_lbf=pull.level_lbf,
        pull_height_ft=pull.height_ft or (eyes.low_ft + eyes.high_ft) / CABLES,
        band_height_ft=eyes.high_ft - limits.band_below_eye_in / 12,
        profile=profile,
        state=pull.state,
        station_ft=arm.station_ft if arm else 0.0,
        forward=arm is None or arm.forward,
        room_ft=arm.plan_ft if arm else inf,
    )
