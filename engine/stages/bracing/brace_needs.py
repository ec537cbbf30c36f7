"""What pulls on each support, what that does to a post and its sleeve without a brace, and which braces it therefore needs."""

from collections.abc import Mapping, Sequence
from itertools import repeat
from math import inf
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import Profile, stretch_of
from engine.calc.phrases import listed, plural
from engine.calc.remember import ByParts, remembered, remembered_columns
from engine.calc.statics.short_pile import STEADY_FACTOR, short_pile_lbf
from engine.job.model.job import Job
from engine.stages.bracing.brace_feet import BraceSite, farthest_ft
from engine.stages.bracing.hinge_posts import HungLeaf, LeafLoad, hung_leaves, leaf_load
from engine.stages.bracing.lifts import FELT_LBF
from engine.stages.bracing.post_pulls import Eyes, PostPull, PostPulls, bending_shares, hardest_pull, post_pulls
from engine.stages.bracing.strung_loops import StrungLoop
from engine.stages.bracing.tubes import BraceBasis
from engine.stages.bracing.what_pulls import LoopStates
from engine.stages.layout.stage import Bay, Layout
from engine.stages.posts.arms import Arm, held_arms, turn_deg
from engine.stages.posts.post_work import StoodPost
from engine.stages.posts.stage import Posts
from engine.stages.posts.standing_supports import Stand, stands_of
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

    support: Stand
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


def needs_of(basis: BraceBasis, job: Job, survey: Survey, layout: Layout, posts: Posts, strung: Mapping[str, StrungLoop]) -> list[Need]:
    """Pull and braces needed at every support, in the state that loads it most; a gate pulls at nothing.

    The ground along a line, and where on it a support stands, count only where a brace stands on it.
    Source: common practice, no source, for ends, corners and tees; engine.calc.statics for pulls, bending and ground.
    Valid for: tight cables; guidance.
    """
    leaves = hung_leaves(basis, job.gates, layout, posts.hangs) if job.gates else {}
    stands, states = stands_of(layout), {bay.id: loop.states for loop in strung.values() for bay in loop.bays}
    pulled: dict[str, list[LoopStates]] = {name: [] for name in stands}
    for name, bay in layout.bays.items():  # in the order in which arms leave a support
        if name in states:
            pulled[bay.from_id].append(states[name])
            pulled[bay.to_id].append(states[name])
    return _need(
        repeat(basis),
        stands.values(),
        [work.stood for work in posts.work.values()],
        posts.arms.values(),
        ByParts(pulled.values()),
        list(map(_grounds(basis, survey, layout, posts).get, stands, repeat(()))),
        list(map(leaves.get, stands, repeat(()))),
    )


class ArmGround(NamedTuple):
    """The ground that a brace stands on along an arm: as much of its line's as lies near, from the post on, whether its foot lies towards
    rising stations, and the length of the bay. Level for a brace along no arm."""

    profile: Profile
    forward: bool = True
    room_ft: float = inf


def _grounds(basis: BraceBasis, survey: Survey, layout: Layout, posts: Posts) -> dict[str, tuple[ArmGround, ...]]:
    """The ground along every arm of each post that a brace must hold."""
    held = [name for name, work in posts.work.items() if work.braced]
    arms = [posts.arms[name] for name in held]
    profiles = ByParts([survey.lines[arm.line].profile for arm in row] for row in arms)
    bays = ByParts([layout.bays[arm.bay] for arm in row] for row in arms)
    return dict(zip(held, _ground(repeat(basis), held, profiles, bays), strict=True))


@remembered_columns
def _ground(basis: BraceBasis, post: str, profiles: Sequence[Profile], bays: Sequence[Bay]) -> tuple[ArmGround, ...]:
    """Where a line was laid anew elsewhere the ground here is the very same."""
    near_ft, found = farthest_ft(basis.rules.bracing), []
    for profile, bay in zip(profiles, bays, strict=True):
        forward = bay.from_id == post
        station_ft = bay.start_ft if forward else bay.end_ft
        near = stretch_of(profile, station_ft - near_ft, station_ft + near_ft, station_ft)
        found.append(ArmGround(near, forward, bay.plan_ft))
    return _known(tuple(found))


@remembered
def _known(grounds: tuple[ArmGround, ...]) -> tuple[ArmGround, ...]:
    """What was found before where it is like it."""
    return grounds


@remembered_columns
def _need(
    basis: BraceBasis,
    support: Stand,
    stood: StoodPost,
    arms: tuple[Arm, ...],
    states: Sequence[LoopStates],
    grounds: tuple[ArmGround, ...],
    leaves: tuple[HungLeaf, ...],
) -> Need:
    eyes, spokes = Eyes(stood.low_ft, stood.high_ft), list(zip(arms, states, strict=True))
    pulls = post_pulls(eyes, spokes)
    bent, driven, rules = pulls.bent, support.driven, basis.rules
    yield_lbf_ft = basis.tubes.yield_lbf_ft if driven else None
    share = bent.moment_lbf_ft / yield_lbf_ft if yield_lbf_ft else None
    held = held_arms(arms, rules.layout.corner_deg) if grounds else ()
    leaf = leaf_load(leaves, bent.moment_lbf_ft, bent.azimuth_deg, yield_lbf_ft, bool(held)) if leaves else None
    sleeve = _sleeve_hold(basis, stood, bent) if driven else None

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
        along = [(arm, loop, ground) for (arm, loop), ground in zip(spokes, grounds, strict=True) if arm in held]
        shares = tuple(bending_shares(eyes, loop) for _, loop, _ in along)
        # a brace along an arm holds that arm alone, in the state in which it pulls hardest
        braces = tuple(
            _site(basis, eyes, support, arm.azimuth_deg, hardest_pull(eyes, arm, loop), ground, arm.toward) for arm, loop, ground in along
        )
        return need(_held_words(arms, held), braces, shares=shares)
    bends = share is not None and share > rules.bracing.yield_share
    creeps = sleeve is not None and bent.level_lbf > sleeve.holds_lbf
    if share is None or not (bends or creeps) or bent.azimuth_deg is None:
        return need(_free_words(arms, share))
    level = ArmGround(Profile((0.0,), (support.level_ft,)))
    against = _site(basis, eyes, support, bent.azimuth_deg, bent, level)
    why = f"bent to {100 * share:.0f} % of yield without one" if bends else "its sleeve would creep over without one"
    alone = tuple(pull.moment_lbf_ft / bent.moment_lbf_ft for pull in pulls.each)
    return need(f"{why}: a brace against the pull", (against,), bends, creeps, (alone,))


def _sleeve_hold(basis: BraceBasis, stood: StoodPost, bent: PostPull) -> SleeveHold | None:
    """What the ground holds for good of a pull at the height of this one."""
    if basis.sleeve_in is None or stood.depth_in is None or bent.level_lbf < FELT_LBF:
        return None
    last_lbf = short_pile_lbf(basis.sleeve_in / 12, stood.depth_in / 12, bent.height_ft, basis.soil)
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


def _site(
    basis: BraceBasis, eyes: Eyes, support: Stand, azimuth_deg: float, pull: PostPull, ground: ArmGround, toward: str | None = None
) -> BraceSite:
    return BraceSite(
        toward=toward,
        post=support.xy,
        level_ft=support.level_ft,
        azimuth_deg=azimuth_deg,
        pull_lbf=pull.level_lbf,
        pull_height_ft=pull.height_ft or (eyes.low_ft + eyes.high_ft) / CABLES,
        band_height_ft=eyes.high_ft - basis.rules.bracing.band_below_eye_in / 12,
        profile=ground.profile,
        state=pull.state,
        forward=ground.forward,
        room_ft=ground.room_ft,
    )
