"""A loop in the wind with wire and mesh on: all its bays blown alike, and one of them alone.

Limits: as in engine.stages.bracing.what_pulls; the posts don't give. Between braced ends that tells the bottom cable up to 6 % too much,
the top one up to 3 % too little, and how far a bay blows out up to 12 % too little.
"""

from collections.abc import Sequence
from math import hypot, inf, sqrt
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered
from engine.calc.roots import near_root
from engine.calc.statics.blown_cable import load_at_tension_plf, one_bay_load_plf, side_load_plf
from engine.calc.statics.elastic_cable import change_of_state_lbf
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.strung_loops import StrungLoop
from engine.stages.bracing.what_pulls import LoopStates
from engine.stages.cables.cable_states import alike_ft
from engine.stages.posts.depths import EyeHeights
from engine.stages.posts.standing_supports import Span
from engine.stages.posts.wind_on_fence import AT_MPH, FenceWind, bay_wind

TOLD_SHARE = 1.5
"""What holds to so many times the job's wind isn't told: judgement."""
NEAR_MPH = 0.5
"""How near a speed is found; it is told to a mile an hour."""


class BlownCable(NamedTuple):
    """One cable before the wind: its pull, lb, its load, lb/ft, and the wind on a foot of it at 100 mph, lb/ft."""

    pull_lbf: float
    weight_plf: float
    side_plf: float


class BlownLoop(NamedTuple):
    """Both cables of a loop at their eyes, the span that rules them, their stiffness, its longest bay, and the cubes of all its bays."""

    top: BlownCable
    bottom: BlownCable
    low_ft: float
    high_ft: float
    ruling_ft: float
    ea_lbf: float
    longest_ft: float
    cubes_ft3: float

    def only(self, bay_ft: float) -> "BlownLoop":
        """The loop as if all its bays were blown so hard as stretches its cables as much as wind on one bay of it alone."""
        share = sqrt(min(1.0, bay_ft**3 / self.cubes_ft3))
        return self._replace(
            top=self.top._replace(side_plf=share * self.top.side_plf), bottom=self.bottom._replace(side_plf=share * self.bottom.side_plf)
        )

    @property
    def calm(self) -> "Pulls":
        """Both pulls before the wind."""
        return Pulls(self.top.pull_lbf, self.bottom.pull_lbf)

    def bending_lbf_ft(self, pulls: "Pulls") -> float:
        """Bending of both pulls at the ground of an end."""
        return self.high_ft * pulls.top_lbf + self.low_ft * pulls.bottom_lbf


class Pulls(NamedTuple):
    """Tension of top and bottom cable, lb."""

    top_lbf: float
    bottom_lbf: float


@dataclass(frozen=True)
class Swings:
    """A loop before the wind and in every state; like no other, so that it is found by what it is."""

    blown: BlownLoop
    states: LoopStates

    __eq__ = object.__eq__
    __hash__ = object.__hash__


def swings_of(cable: Cable, wind: FenceWind, strung: StrungLoop, eyes: EyeHeights) -> Swings | None:
    """A loop as the wind meets it: wire hung on the day of setting, bare where its weight isn't known; None where it hangs slack."""
    states, blown = strung.states, bay_wind(wind, eyes.low_ft, eyes.high_ft)
    calm = next((pull for pull in states.pulls if pull.state == "hung"), states.pulls[0])
    if not min(calm.top_lbf, calm.bottom_lbf) > 0:
        return None
    own = cable.weight_plf
    top = BlownCable(calm.top_lbf, own + states.weight.top_plf, blown.top_plf)
    bottom = BlownCable(calm.bottom_lbf, own + states.weight.bottom_plf, blown.bottom_plf)
    (ruling_ft,) = alike_ft(strung.ruling_ft)
    spans_ft = alike_ft(*(bay.plan_ft for bay in strung.bays))
    cubes_ft3 = sum(span_ft**3 for span_ft in sorted(spans_ft))
    return Swings(BlownLoop(top, bottom, eyes.low_ft, eyes.high_ft, ruling_ft, cable.ea_lbf, max(spans_ft), cubes_ft3), states)


@remembered
def all_alike(loop: BlownLoop, speed_mph: float) -> Pulls | None:
    """Both pulls with the wind on every bay; None where they would sag too far to be worked out."""
    squared = (speed_mph / AT_MPH) ** 2
    try:
        return Pulls(*(_under_lbf(loop, cable, hypot(cable.weight_plf, squared * cable.side_plf)) for cable in (loop.top, loop.bottom)))
    except OutOfRange:
        return None


@remembered
def one_bay(loop: BlownLoop, speed_mph: float, bay_ft: float, spans_ft: tuple[float, ...]) -> Pulls | None:
    """Both pulls with the wind on one bay alone, where the cable runs freely through the eyes."""
    squared = (speed_mph / AT_MPH) ** 2
    try:
        loads = (one_bay_load_plf(squared * cable.side_plf, cable.weight_plf, bay_ft, spans_ft) for cable in (loop.top, loop.bottom))
        return Pulls(*(_under_lbf(loop, cable, load) for cable, load in zip((loop.top, loop.bottom), loads, strict=True)))
    except OutOfRange:
        return None


def _under_lbf(loop: BlownLoop, cable: BlownCable, load_plf: float) -> float:
    return change_of_state_lbf(cable.pull_lbf, loop.ruling_ft, cable.weight_plf, 0.0, loop.ea_lbf, weight_after_plf=load_plf)


@remembered
def strength_mph(loop: BlownLoop, strength_lbf: float) -> float:
    """Wind at which the harder pulled cable reaches a strength, every bay blown alike; 0 where it has without wind."""
    return min(_cable_mph(loop, cable, strength_lbf) for cable in (loop.top, loop.bottom))


def _cable_mph(loop: BlownLoop, cable: BlownCable, most_lbf: float) -> float:
    if most_lbf <= cable.pull_lbf:
        return 0.0
    load = load_at_tension_plf(most_lbf, cable.pull_lbf, loop.ruling_ft, cable.weight_plf, loop.ea_lbf)
    return AT_MPH * sqrt(side_load_plf(load, cable.weight_plf) / cable.side_plf) if cable.side_plf else inf


@remembered
def bending_mph(loop: BlownLoop, share: float, most_lbf_ft: float, beside_lbf_ft: float, told_mph: float) -> float:
    """Wind at which a share of the pulls of an end bends it by so much, together with what blows on it otherwise.

    `beside_lbf_ft` is that other bending at 100 mph. 0 where the pulls do so without wind, infinite past `told_mph`.
    """

    def spare(speed_mph: float) -> tuple[float, float]:
        """What is too much, and how that grows with a mile an hour."""
        squared, pulls = (speed_mph / AT_MPH) ** 2, all_alike(loop, speed_mph)
        if pulls is None:
            return inf, 0.0
        grow = loop.high_ft * _growth(loop, loop.top, pulls.top_lbf, squared) + loop.low_ft * _growth(
            loop, loop.bottom, pulls.bottom_lbf, squared
        )
        value = share * loop.bending_lbf_ft(pulls) + beside_lbf_ft * squared - most_lbf_ft
        return value, (share * grow + beside_lbf_ft) * 2 * speed_mph / AT_MPH**2

    if share * loop.bending_lbf_ft(loop.calm) >= most_lbf_ft:
        return 0.0
    return near_root(spare, 0.0, told_mph, NEAR_MPH) if spare(told_mph)[0] > 0 else inf


def _growth(loop: BlownLoop, cable: BlownCable, pull_lbf: float, squared: float) -> float:
    """How a cable's pull grows with the square of the wind: the slope of the change of state."""
    stiff = loop.ea_lbf * loop.ruling_ft**2 / 24
    straight_lbf = cable.pull_lbf - stiff * (cable.weight_plf / cable.pull_lbf) ** 2
    return 2 * stiff * cable.side_plf**2 * squared / (pull_lbf * (3 * pull_lbf - 2 * straight_lbf))


@dataclass(frozen=True)
class LoopWind:
    """A loop in a wind: its pulls with every bay blown alike, and with its longest bay alone, which blows out so far.

    None where they would sag too far to be worked out.
    """

    alike: Pulls | None
    alone: Pulls | None
    bay: str
    out_in: float | None


def loop_wind(loop: BlownLoop, bays: Sequence[Span], speed_mph: float) -> LoopWind:
    """What a wind does to a loop, between both ways that a gust may come: all along, or on one bay."""
    longest, squared = max(bays, key=lambda bay: bay.plan_ft), (speed_mph / AT_MPH) ** 2
    spans_ft = alike_ft(*(bay.plan_ft for bay in bays))
    span_ft = max(spans_ft)
    alone = one_bay(loop, speed_mph, span_ft, spans_ft)
    out_in = None
    if alone is not None:
        pairs = ((loop.top.side_plf, alone.top_lbf), (loop.bottom.side_plf, alone.bottom_lbf))
        out_in = 12 * max(squared * side_plf * span_ft**2 / (8 * pull_lbf) for side_plf, pull_lbf in pairs)
    return LoopWind(all_alike(loop, speed_mph), alone, longest.id, out_in)
