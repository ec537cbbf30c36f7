"""How a pulled cable behaves in its loop: sag, length, what is safe, and a lean on mid-bay."""

from collections.abc import Iterable
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered
from engine.calc.statics.cable_sag import parabola_length_ft, parabola_sag_ft
from engine.calc.statics.elastic_cable import change_of_state_lbf, push_out, working_load_lbf
from engine.job.model.rules import CableRules
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.hung_weight import BARE, HungWeight
from engine.stages.bracing.what_pulls import LoopStates, StateName
from engine.stages.cables.sag_reading import SafeRange
from engine.stages.posts.standing_supports import Span

SLACK_SHARE = 0.2
"""A cable whose tension falls under this share of its target is told as slack: common practice, no source."""
SLACKEST = 1.3
"""A cable that pulls less than this many times the weight of its span sags too much for the change of state."""


class HungSag(NamedTuple):
    """Sag of top and bottom cable at mid-bay, ft."""

    top_ft: float
    bottom_ft: float


@dataclass(frozen=True)
class Lean:
    """A lean on the middle of a bay: how far the cable gives, in, and its tension then, lb; 0 where it bends over 45 degrees."""

    out_in: float
    tension_lbf: float


BENT_OVER = Lean(0.0, 0.0)


def alike_ft(*lengths_ft: float) -> tuple[float, ...]:
    """Lengths to a hundredth of a foot, so that bays and loops alike are solved once."""
    return tuple(max(0.01, round(length_ft, 2)) for length_ft in lengths_ft)


def longest(bays: Iterable[Span]) -> Span:
    """The longest bay on the slope, which sags most: a loop's pull is read there."""
    return max(bays, key=lambda bay: bay.slope_ft)


def sag_ft(cable: Cable, rules: CableRules, bay: Span) -> float:
    """Sag of the bare cable at mid-bay at the target tension, straight down from the line between the eyes."""
    return parabola_sag_ft(cable.weight_plf, bay.slope_ft, rules.tension_lbf)


def along_ft(cable: Cable, rules: CableRules, bay: Span) -> float:
    """Length of one cable from eye to eye of a bay at the target tension, slope and sag included."""
    try:
        return parabola_length_ft(bay.plan_ft, sag_ft(cable, rules, bay), bay.rise_ft)
    except OutOfRange:
        return bay.slope_ft


def hung_sag_ft(states: LoopStates, state: StateName, cable: Cable, bay: Span) -> HungSag:
    """Sag of both cables at mid-bay with wire and mesh on, and ice where they are iced; 0 where the cable hangs slack and isn't told."""
    pull, weight, ice = states.at(state), states.weight, states.ice if state == "iced" else BARE
    return HungSag(
        _sag_ft(cable.weight_plf + (weight.top_plf + ice.top_plf), bay, pull.top_lbf),
        _sag_ft(cable.weight_plf + (weight.bottom_plf + ice.bottom_plf), bay, pull.bottom_lbf),
    )


def _sag_ft(load_plf: float, bay: Span, tension_lbf: float) -> float:
    return parabola_sag_ft(load_plf, bay.slope_ft, tension_lbf) if tension_lbf else 0.0


def safe_range(cable: Cable, rules: CableRules, ruling_ft: float, weight: HungWeight) -> SafeRange:
    """Tensions that a loop may be pulled to on the day of setting, bare.

    The most becomes the working load of the weaker of cable and lock on the coldest day with wire hung, or is that load itself; the least
    becomes a fifth of the target on the hottest, bare, under which a cable is told as slack. 0 is the most where the wire alone pulls more.
    """
    allowed_lbf = working_load_lbf(cable.weakest_lbf, rules.safety_factor)
    slack_lbf = max(SLACK_SHARE * rules.tension_lbf, SLACKEST * cable.weight_plf * ruling_ft)
    return SafeRange(
        least_lbf=max(slack_lbf, _set_from_lbf(slack_lbf, cable, rules, ruling_ft, rules.hot_F, 0.0)),
        most_lbf=min(allowed_lbf, _set_from_lbf(allowed_lbf, cable, rules, ruling_ft, rules.cold_F, max(weight))),
    )


def _set_from_lbf(day_lbf: float, cable: Cable, rules: CableRules, ruling_ft: float, day_F: float, hung_plf: float) -> float:
    """Tension of the bare cable on the day of setting that becomes `day_lbf` on another day with so much hung on; 0 where it would have to
    hang slack."""
    own = cable.weight_plf
    try:
        return change_of_state_lbf(day_lbf, ruling_ft, own + hung_plf, rules.set_F - day_F, cable.ea_lbf, weight_after_plf=own)
    except OutOfRange:
        return 0.0


@remembered
def lean(ea_lbf: float, tension_lbf: float, lean_lbf: float, span_ft: float, shared_ft: float) -> Lean:
    """What a lean on mid-bay does where its stretch is shared by so much cable: by the whole loop where the cable runs free through the
    eyes, by the bay alone where they grip it."""
    try:
        out = push_out(lean_lbf, span_ft, tension_lbf, ea_lbf, shared_ft)
    except OutOfRange:
        return BENT_OVER
    return Lean(out.deflection_ft * 12, out.tension_lbf)
