"""How a pulled cable behaves in its loop: sag, length, weather, and a lean on mid-bay."""

from collections.abc import Mapping
from dataclasses import dataclass

from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered
from engine.calc.statics.cable_sag import parabola_length_ft, parabola_sag_ft
from engine.calc.statics.elastic_cable import change_of_state_lbf, ea_lbf, push_out, rope_area_in2, working_load_lbf
from engine.job.model.rules import CableRules
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import first_of
from engine.stages.cables.sag_reading import SafeRange
from engine.stages.layout.stage import Bay

SLACK_SHARE = 0.2
"""A cable whose tension falls under this share of its target is told as slack: common practice, no source."""
SLACKEST = 1.3
"""A cable that pulls less than this many times the weight of its span sags too much for the change of state (engine.calc.statics.elastic_cable)."""


@dataclass(frozen=True)
class Cable:
    """What the stock says of the cable and its lock; `lock_lbf` and `spool_ft` None where it doesn't."""

    name: str
    weight_plf: float
    strength_lbf: float
    ea_lbf: float
    lock_lbf: float | None
    spool_ft: float | None

    @property
    def weakest_lbf(self) -> float:
        """Strength of the weaker of cable and lock."""
        return self.strength_lbf if self.lock_lbf is None else min(self.strength_lbf, self.lock_lbf)


@dataclass(frozen=True)
class Weather:
    """Tension of a loop on the coldest and the hottest day, lb; 0 on a day that leaves it slack."""

    cold_lbf: float
    hot_lbf: float


@dataclass(frozen=True)
class Lean:
    """A lean on the middle of a bay: how far the cable gives, in, and its tension then, lb."""

    out_in: float
    tension_lbf: float


def cable_of(name: str, stock: Mapping[str, StockRow]) -> Cable | None:
    """The cable of a stock id with the first lock of the stock, or None where its row lacks what the arithmetic needs.

    Arguments: name, stock id; stock, rows by id.
    Returns: Cable, lb and ft.
    Source: engine.calc.statics.elastic_cable for metal area and stiffness.
    Valid for: cable whose row gives diameter, construction, weight, strength and modulus.
    """
    row = stock.get(name)
    if row is None or row.diameter_in is None or row.construction is None or row.modulus_psi is None:
        return None
    if row.weight_plf is None or row.strength_lbf is None:
        return None
    lock = first_of(stock, "lock")
    stiffness = ea_lbf(rope_area_in2(row.diameter_in, row.construction), row.modulus_psi)
    return Cable(name, row.weight_plf, row.strength_lbf, stiffness, stock[lock].strength_lbf if lock else None, row.length_ft)


def sag_ft(cable: Cable, rules: CableRules, bay: Bay) -> float:
    """Sag of the bare cable at mid-bay at the target tension, straight down from the line between the eyes.

    Arguments: cable; rules, for the tension; bay, with a length over 0.
    Returns: ft.
    Source: engine.calc.statics.cable_sag: wL^2/8H; on a slope H and the weight for each level foot both change by the slope, which leaves its length.
    Valid for: a tight cable that carries nothing yet.
    """
    return parabola_sag_ft(cable.weight_plf, bay.slope_ft, rules.tension_lbf)


def along_ft(cable: Cable, rules: CableRules, bay: Bay) -> float:
    """Length of one cable from eye to eye of a bay at the target tension, slope and sag included.

    Arguments: cable; rules, for the tension; bay, with a length over 0.
    Returns: ft.
    Source: engine.calc.statics.cable_sag: length of a parabola.
    Valid for: eyes at equal heights over the ground, so that the cable rises as the ground does. Steeper than any fence, which the
    survey tells, it is the straight line from eye to eye.
    """
    try:
        return parabola_length_ft(bay.plan_ft, sag_ft(cable, rules, bay), bay.rise_ft)
    except OutOfRange:
        return bay.slope_ft


@remembered
def safe_range(cable: Cable, rules: CableRules, ruling_ft: float) -> SafeRange:
    """Tensions that a loop may be pulled to on the day of setting.

    The most becomes the working load of the weaker of cable and lock on the coldest day, or is that load itself; the least becomes a fifth
    of the target on the hottest, under which a cable is told as slack.
    Arguments: cable; rules, for tension, temperatures and safety; ruling_ft, ruling span of the loop, ft, above 0.
    Returns: SafeRange, lb; the least over the most where no tension is safe.
    Source: engine.calc.statics.elastic_cable: change of state, run backward.
    Valid for: the same as `weather`.
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
def weather(cable: Cable, rules: CableRules, ruling_ft: float) -> Weather:
    """Tension in the cold and in the heat of a loop pulled to its target on the day of setting.

    The cable slides freely at the eyes, so that one tension holds all along; the posts don't give.
    Arguments: cable; rules, for tension and temperatures; ruling_ft, ruling span of the loop, ft, above 0.
    Returns: Weather, lb.
    Source: engine.calc.statics.elastic_cable: change of state.
    Valid for: tight cables; where the cable hangs too slack for the formula its tension is 0.
    """
    return Weather(_warmed_lbf(cable, rules, ruling_ft, rules.cold_F), _warmed_lbf(cable, rules, ruling_ft, rules.hot_F))


def _warmed_lbf(cable: Cable, rules: CableRules, ruling_ft: float, day_F: float) -> float:
    try:
        return change_of_state_lbf(rules.tension_lbf, ruling_ft, cable.weight_plf, day_F - rules.set_F, cable.ea_lbf)
    except OutOfRange:
        return 0.0


@remembered
def lean(cable: Cable, rules: CableRules, span_ft: float, loop_ft: float) -> Lean | None:
    """What a lean on mid-bay does, its stretch shared by the whole loop; None where it bends the cable over 45 degrees.

    Arguments: cable; rules, for tension and lean; span_ft, of the bay; loop_ft, cable of the loop, ft.
    Returns: Lean, in and lb, or None.
    Source: engine.calc.statics.elastic_cable.
    Valid for: an elastic cable that slides in its eyes.
    """
    try:
        out = push_out(rules.lean_lbf, span_ft, rules.tension_lbf, cable.ea_lbf, loop_ft)
    except OutOfRange:
        return None
    return Lean(out.deflection_ft * 12, out.tension_lbf)
