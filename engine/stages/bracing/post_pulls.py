"""What the cables do to a support in every state: pull in plan, bending at the ground, lift."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.statics.brace import EyePull, eye_pull, resultant_lbf
from engine.stages.bracing.what_pulls import STATE_WORDS, LoopStates, StateName
from engine.stages.posts.arms import Arm


class Eyes(NamedTuple):
    """Both eyes over the ground, ft."""

    low_ft: float
    high_ft: float


@dataclass(frozen=True)
class PostPull:
    """Both cables' pull on a support in one state.

    `level_lbf` toward `azimuth_deg`, None without a pull; `moment_lbf_ft` is the bending at the ground; `lift_lbf` is up positive.
    """

    state: StateName
    level_lbf: float
    azimuth_deg: float | None
    moment_lbf_ft: float
    lift_lbf: float

    @property
    def words(self) -> str:
        """The state as a crew says it."""
        return STATE_WORDS[self.state]

    @property
    def height_ft(self) -> float:
        """Where the pull acts as one, over the ground; 0 without a pull."""
        return self.moment_lbf_ft / self.level_lbf if self.level_lbf else 0.0


@dataclass(frozen=True)
class PostPulls:
    """A support in every state, as its cables are pulled to their target first."""

    each: tuple[PostPull, ...]

    @property
    def pulled(self) -> PostPull:
        """At the target tension, bare, on the day of setting."""
        return self.each[0]

    @property
    def bent(self) -> PostPull:
        """In the state that bends it most."""
        return max(self.each, key=lambda pull: pull.moment_lbf_ft)

    @property
    def lifted(self) -> PostPull:
        """In the state that lifts it most."""
        return max(self.each, key=lambda pull: pull.lift_lbf)

    def at(self, state: StateName) -> PostPull:
        """In one state."""
        return next(pull for pull in self.each if pull.state == state)


def post_pulls(eyes: Eyes, arms: Sequence[tuple[Arm, LoopStates]]) -> PostPulls:
    """The pulls at one support.

    Cables' and fabric's weight, which presses the eyes down, is left out; what a lift is told as is the most.
    Source: engine.calc.statics.brace: sums of vectors, at either eye with that cable's tension.
    """
    spokes: dict[LoopStates, list[tuple[float, float, float]]] = {}
    for arm, states in arms:
        spokes.setdefault(states, []).append((arm.azimuth_deg, arm.plan_ft, arm.rise_ft))
    units = {states: eye_pull(1.0, ways) for states, ways in spokes.items()}
    in_all = min((len(states.pulls) for states in units), default=0)  # bare alone where one loop's fabric isn't known
    return PostPulls(tuple(_in_state(eyes, units, at) for at in range(in_all)) or (PostPull("pulled", 0.0, None, 0.0, 0.0),))


def _in_state(eyes: Eyes, units: Mapping[LoopStates, EyePull], at: int) -> PostPull:
    """The sum over loops of what one pound in each does, times its tension in the state."""
    rows = [(states.pulls[at], unit) for states, unit in units.items()]
    state = rows[0][0].state
    lift_lbf = sum(pull.both_lbf * unit.lift_lbf for pull, unit in rows)
    if len(rows) == 1:
        ((pull, unit),) = rows
        moment = unit.level_lbf * (pull.top_lbf * eyes.high_ft + pull.bottom_lbf * eyes.low_ft)
        return PostPull(state, pull.both_lbf * unit.level_lbf, unit.azimuth_deg if unit.level_lbf else None, moment, lift_lbf)
    level, azimuth = resultant_lbf([(unit.azimuth_deg, pull.both_lbf * unit.level_lbf) for pull, unit in rows])
    bendings = [(unit.azimuth_deg, unit.level_lbf * (pull.top_lbf * eyes.high_ft + pull.bottom_lbf * eyes.low_ft)) for pull, unit in rows]
    return PostPull(state, level, azimuth if level else None, resultant_lbf(bendings)[0], lift_lbf)
