"""What the cables do to a support in every state: pull in plan, bending at the ground, lift."""

from collections.abc import Sequence
from math import hypot
from operator import itemgetter
from typing import NamedTuple

from engine.calc.geometry.plane import azimuth_deg
from engine.calc.statics.brace import EyePull, eye_pull
from engine.stages.bracing.what_pulls import STATE_WORDS, LoopStates, StateName, StatePull
from engine.stages.posts.arms import Arm


class Eyes(NamedTuple):
    """Both eyes over the ground, ft."""

    low_ft: float
    high_ft: float


class PostPull(NamedTuple):
    """Both cables' pull on a support in one state: its parts east and north, the bending at the ground, the lift, up positive."""

    state: StateName
    east_lbf: float
    north_lbf: float
    moment_lbf_ft: float
    lift_lbf: float

    @property
    def level_lbf(self) -> float:
        """The pull in plan."""
        return hypot(self.east_lbf, self.north_lbf)

    @property
    def azimuth_deg(self) -> float | None:
        """The way it points, None without a pull."""
        return azimuth_deg((0.0, 0.0), (self.east_lbf, self.north_lbf)) if self.east_lbf or self.north_lbf else None

    @property
    def words(self) -> str:
        """The state as a crew says it."""
        return STATE_WORDS[self.state]

    @property
    def height_ft(self) -> float:
        """Where the pull acts as one, over the ground; 0 without a pull."""
        return self.moment_lbf_ft / self.level_lbf if self.level_lbf else 0.0


class PostPulls(NamedTuple):
    """A support in every state, and in the ones that bend it most and lift it most."""

    each: tuple[PostPull, ...]
    bent: PostPull
    lifted: PostPull

    @property
    def pulled(self) -> PostPull:
        """At the target tension, bare, on the day of setting."""
        return self.each[0]


NO_PULL = PostPull("pulled", 0.0, 0.0, 0.0, 0.0)


def post_pulls(eyes: Eyes, arms: Sequence[tuple[Arm, LoopStates]]) -> PostPulls:
    """The pulls at one support.

    Cables' and fabric's weight, which presses the eyes down, is left out; what a lift is told as is the most.
    Source: engine.calc.statics.brace: sums of vectors, at either eye with that cable's tension.
    """
    known: list[LoopStates] = []
    spokes: list[list[tuple[float, float, float]]] = []
    for arm, states in arms:
        if states not in known:
            known.append(states)
            spokes.append([])
        spokes[known.index(states)].append((arm.azimuth_deg, arm.plan_ft, arm.rise_ft))
    units = [eye_pull(1.0, ways) for ways in spokes]
    in_each = zip(*(states.pulls for states in known), strict=False)  # bare alone where one loop's fabric isn't known
    each = [_in_state(eyes, pulls, units) for pulls in in_each] or [NO_PULL]
    return PostPulls(tuple(each), max(each, key=itemgetter(3)), max(each, key=itemgetter(4)))


def hardest_pull(eyes: Eyes, arm: Arm, states: LoopStates) -> PostPull:
    """The pull of one arm alone, in the state in which it bends the post most."""
    hardest = max(states.pulls, key=lambda pull: _bending_lbf_ft(eyes, pull))
    return _in_state(eyes, [hardest], [eye_pull(1.0, [(arm.azimuth_deg, arm.plan_ft, arm.rise_ft)])])


def bending_shares(eyes: Eyes, states: LoopStates) -> tuple[float, ...]:
    """How hard a loop's cables bend the post at its end in every state, beside the one in which they do so most."""
    each = [_bending_lbf_ft(eyes, pull) for pull in states.pulls]
    return tuple(bending / max(each) for bending in each)


def _bending_lbf_ft(eyes: Eyes, pull: StatePull) -> float:
    return pull.top_lbf * eyes.high_ft + pull.bottom_lbf * eyes.low_ft


def _in_state(eyes: Eyes, pulls: Sequence[StatePull], units: Sequence[EyePull]) -> PostPull:
    """The sum over loops of what one pound in the cables of each does to the support, times their tension in the state."""
    low_ft, high_ft = eyes
    east = north = east_lbf_ft = north_lbf_ft = lift = 0.0
    for at, (unit_east, unit_north, unit_lift) in enumerate(units):
        _, top_lbf, bottom_lbf = pulls[at]
        both_lbf, bending = top_lbf + bottom_lbf, top_lbf * high_ft + bottom_lbf * low_ft
        east, north, lift = east + both_lbf * unit_east, north + both_lbf * unit_north, lift + both_lbf * unit_lift
        east_lbf_ft, north_lbf_ft = east_lbf_ft + bending * unit_east, north_lbf_ft + bending * unit_north
    return PostPull(pulls[0].state, east, north, hypot(east_lbf_ft, north_lbf_ft), lift)
