"""The arms of the fence that leave a support, and which of them a brace must hold."""

from collections import Counter
from collections.abc import Sequence
from itertools import combinations
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import azimuth_deg
from engine.calc.tolerances import ROUNDING_DEG
from engine.stages.posts.heights import BayHeight
from engine.stages.posts.standing_supports import Span, Stand


@dataclass(frozen=True)
class Arm:
    """One bay of cables leaving a support: its line, the support at its other end, which way, how far, and how far its cables climb to the
    eyes there."""

    line: str
    bay: str
    toward: str
    azimuth_deg: float
    plan_ft: float
    rise_ft: float = 0.0

    def __hash__(self) -> int:
        """Of a few fields: arms are looked up often and are seldom alike."""
        return hash((self.bay, self.toward, self.azimuth_deg))


class MeetingBay(NamedTuple):
    """A bay that meets at a support, the support at its other end, and how the fence hangs in it."""

    bay: Span
    far: Stand
    hang: BayHeight


def arms_of(stand: Stand, beside: Sequence[MeetingBay]) -> tuple[Arm, ...]:
    """Arms that leave a support; a gate carries no cable, and a bay without length has no direction."""
    return tuple(_arm(stand, *one) for one in beside if one.bay.gate is None and one.far.xy != stand.xy)


def _arm(stand: Stand, bay: Span, far: Stand, hang: BayHeight) -> Arm:
    """The eyes of a bay are as high over the ground at both ends, or over the deck that it runs on, so that its cables climb with that."""
    climbs_ft = bay.rise_ft if bay.from_id == stand.id else -bay.rise_ft
    rise_ft = climbs_ft + (far.lift_ft - stand.lift_ft if hang.deck else 0.0)
    return Arm(bay.line, bay.id, far.id, azimuth_deg(stand.xy, far.xy), bay.plan_ft, rise_ft)


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
