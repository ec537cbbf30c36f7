"""The arms of the fence that leave a support, and which of them a brace must hold."""

from collections import Counter
from collections.abc import Mapping, Sequence
from itertools import combinations

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import azimuth_deg
from engine.calc.remember import remembered, remembered_rows
from engine.calc.tolerances import ROUNDING_DEG
from engine.stages.layout.stage import Bay, Layout, Support
from engine.stages.posts.heights import BayHeight


@dataclass(frozen=True)
class Arm:
    """One bay of cables leaving a support: its line, the support at its other end, which way, and how far.

    `station_ft` is the support's on that line; `forward` whether the arm leaves it towards rising stations. `rise_ft` is how far its
    cables climb to the eyes at the other end.
    """

    line: str
    bay: str
    toward: str
    azimuth_deg: float
    plan_ft: float
    station_ft: float
    forward: bool
    rise_ft: float = 0.0

    def __hash__(self) -> int:
        """Of a few fields: arms are looked up often and are seldom alike."""
        return hash((self.bay, self.toward, self.azimuth_deg))


def arms_of(support: Support, bays: Sequence[Bay], layout: Layout, hangs: Mapping[str, BayHeight]) -> tuple[Arm, ...]:
    """Arms that leave a support; a gate carries no cable, and a bay without length has no direction.

    The eyes of a bay are as high over the ground at both ends, or over the deck that the bay runs on, so that its cables climb with it.
    """
    fenced = [bay for bay in bays if bay.gate is None]
    return _arms(support, *((bay, layout.supports[bay.other_end(support.id)], hangs[bay.id]) for bay in fenced))


@remembered_rows
def _arms(support: Support, *rows: tuple[Bay, Support, BayHeight]) -> tuple[Arm, ...]:
    return _known(tuple(_arm(bay, support, far, hang.deck) for bay, far, hang in rows if far.xy != support.xy))


@remembered
def _known(arms: tuple[Arm, ...]) -> tuple[Arm, ...]:
    """The arms that were found before where they are like these: of the other support nothing but its place counts here."""
    return arms


def _arm(bay: Bay, support: Support, far: Support, deck: str) -> Arm:
    forward = bay.from_id == support.id
    rise_ft = (bay.rise_ft if forward else -bay.rise_ft) + (far.lift_ft - support.lift_ft if deck else 0.0)
    start_ft = bay.start_ft if forward else bay.end_ft
    return Arm(bay.line, bay.id, far.id, azimuth_deg(support.xy, far.xy), bay.plan_ft, start_ft, forward, rise_ft)


def turn_deg(one: Arm, other: Arm) -> float:
    """Turn of the line from one arm into the other: 0 straight on, 180 straight back."""
    apart = abs(one.azimuth_deg - other.azimuth_deg)
    return 180 - min(apart, 360 - apart)


def held_arms(arms: Sequence[Arm], corner_deg: float) -> tuple[Arm, ...]:
    """Arms that a brace must hold: of a line that ends here, and both of a line that turns as sharply as a corner.

    Where just two arms meet they balance like one line, whatever lines they belong to.
    Source: common practice, no source: an end one brace, a corner two, a tee one along its branch.
    """
    if len(arms) == 2:
        return tuple(arms) if turn_deg(*arms) >= corner_deg - ROUNDING_DEG else ()
    per_line = Counter(arm.line for arm in arms)
    held = {arm.bay for arm in arms if per_line[arm.line] == 1}
    for one, other in combinations(arms, 2):
        if one.line == other.line and turn_deg(one, other) >= corner_deg - ROUNDING_DEG:
            held |= {one.bay, other.bay}
    return tuple(arm for arm in arms if arm.bay in held)
