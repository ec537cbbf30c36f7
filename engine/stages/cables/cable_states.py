"""How a pulled cable behaves in its loop: sag, length, what is safe, and a lean on mid-bay."""

from engine.calc.frozen import dataclass
from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered
from engine.calc.statics.cable_sag import parabola_length_ft, parabola_sag_ft
from engine.calc.statics.elastic_cable import change_of_state_lbf, push_out, working_load_lbf
from engine.job.model.rules import CableRules
from engine.stages.bracing.cable_pull import Cable
from engine.stages.cables.sag_reading import SafeRange
from engine.stages.layout.stage import Bay

SLACK_SHARE = 0.2
"""A cable whose tension falls under this share of its target is told as slack: common practice, no source."""
SLACKEST = 1.3
"""A cable that pulls less than this many times the weight of its span sags too much for the change of state."""


@dataclass(frozen=True)
class Lean:
    """A lean on the middle of a bay: how far the cable gives, in, and its tension then, lb."""

    out_in: float
    tension_lbf: float


def sag_ft(cable: Cable, rules: CableRules, bay: Bay) -> float:
    """Sag of the bare cable at mid-bay at the target tension, straight down from the line between the eyes."""
    return parabola_sag_ft(cable.weight_plf, bay.slope_ft, rules.tension_lbf)


def along_ft(cable: Cable, rules: CableRules, bay: Bay) -> float:
    """Length of one cable from eye to eye of a bay at the target tension, slope and sag included."""
    try:
        return parabola_length_ft(bay.plan_ft, sag_ft(cable, rules, bay), bay.rise_ft)
    except OutOfRange:
        return bay.slope_ft


def safe_range(cable: Cable, rules: CableRules, ruling_ft: float) -> SafeRange:
    """Tensions that a loop may be pulled to on the day of setting.

    The most becomes the working load of the weaker of cable and lock on the coldest day, or is that load itself; the least becomes a fifth
    of the target on the hottest, under which a cable is told as slack.
    """
    allowed_lbf = working_load_lbf(cable.weakest_lbf, rules.safety_factor)
    days_F = (rules.cold_F, rules.hot_F)
    slack_lbf = max(SLACK_SHARE * rules.tension_lbf, SLACKEST * cable.weight_plf * ruling_ft)
    return SafeRange(
        least_lbf=max(slack_lbf, *(_set_from_lbf(slack_lbf, cable, rules, ruling_ft, day_F) for day_F in days_F)),
        most_lbf=min(allowed_lbf, *(_set_from_lbf(allowed_lbf, cable, rules, ruling_ft, day_F) for day_F in days_F)),
    )


def _set_from_lbf(day_lbf: float, cable: Cable, rules: CableRules, ruling_ft: float, day_F: float) -> float:
    """Tension on the day of setting that becomes `day_lbf` on another day; 0 where it would have to hang slack."""
    try:
        return change_of_state_lbf(day_lbf, ruling_ft, cable.weight_plf, rules.set_F - day_F, cable.ea_lbf)
    except OutOfRange:
        return 0.0


@remembered
def lean(cable: Cable, rules: CableRules, span_ft: float, loop_ft: float) -> Lean | None:
    """What a lean on mid-bay does, its stretch shared by the whole loop; None where it bends the cable over 45 degrees."""
    try:
        out = push_out(rules.lean_lbf, span_ft, rules.tension_lbf, cable.ea_lbf, loop_ft)
    except OutOfRange:
        return None
    return Lean(out.deflection_ft * 12, out.tension_lbf)
