"""What pulls here: both cables of a loop as the crew meets them, bare and with wire and mesh on, on the day of setting, cold and hot.

Limits: every cable has one unstretched length between its end eyes, runs free through the eyes between, and grips at its ends, so that
top and bottom don't share; the posts don't give; if they do, braced ends see up to 3 % less. Ground under the wire bears none of
it: all figures with wire on are the most. Ice is counted where the rules give its thickness, and then lasts for days; what falls off and
what hangs down in icicles isn't.
"""

from typing import Literal, NamedTuple

from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered
from engine.calc.statics.elastic_cable import change_of_state_lbf
from engine.job.model.rules import CableRules
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.hung_weight import BARE, HungWeight

StateName = Literal["pulled", "cold", "hot", "hung", "hung cold", "hung hot", "iced"]
STATE_WORDS: dict[StateName, str] = {
    "pulled": "as pulled",
    "cold": "coldest day, bare",
    "hot": "hottest day, bare",
    "hung": "wire hung",
    "hung cold": "coldest day, wire hung",
    "hung hot": "hottest day, wire hung",
    "iced": "iced",
}
"""States that last for days. A lean or a gust is a moment, and is worked out where it acts."""

ICE_F = 15.0
"""Cold that comes with ice (ASCE 7, map of temperatures with freezing rain, 5 to 15 F in most places, from memory)."""
STEEPEST = 0.8
"""A cable that carries more than this share of its pull along the span sags over a tenth of it: its pull is then told as the most."""


class StatePull(NamedTuple):
    """Tension of a loop's top and bottom cable in one state, lb; 0 where it hangs slack."""

    state: StateName
    top_lbf: float
    bottom_lbf: float

    @property
    def both_lbf(self) -> float:
        """What an end sees."""
        return self.top_lbf + self.bottom_lbf

    @property
    def most_lbf(self) -> float:
        """What the harder pulled of both carries."""
        return max(self.top_lbf, self.bottom_lbf)

    @property
    def words(self) -> str:
        """The state as a crew says it."""
        return STATE_WORDS[self.state]


class LoopStates(NamedTuple):
    """A loop in every state, in the order a crew meets them, with what each cable carries besides itself, and of ice."""

    pulls: tuple[StatePull, ...]
    weight: HungWeight
    ice: HungWeight = BARE

    def at(self, state: StateName) -> StatePull:
        """One of them."""
        return next(pull for pull in self.pulls if pull.state == state)

    @property
    def on_the_day(self) -> StatePull:
        """As it stands on the day of setting: with wire hung where what that weighs is known."""
        return next((pull for pull in self.pulls if pull.state == "hung"), self.pulls[0])


def only_pulled(tension_lbf: float) -> LoopStates:
    """A loop of a cable that the stock doesn't give: nothing is known but what it was pulled to."""
    return LoopStates((StatePull("pulled", tension_lbf, tension_lbf),), BARE)


@remembered
def loop_states(cable: Cable, rules: CableRules, ruling_ft: float, weight: HungWeight | None, ice: HungWeight | None = None) -> LoopStates:
    """A loop in every state, from its target tension on the day of setting; without what wire and mesh weigh, bare alone.

    Source: engine.calc.statics.elastic_cable: the change-of-state equation over the loop's ruling span, with the weight after.
    """
    days: tuple[tuple[StateName, StateName, float], ...] = (
        ("pulled", "hung", rules.set_F),
        ("cold", "hung cold", rules.cold_F),
        ("hot", "hung hot", rules.hot_F),
    )
    bare = [StatePull("pulled", rules.tension_lbf, rules.tension_lbf)]
    for name, _, day_F in days[1:]:
        after_lbf = _after_lbf(cable, rules, ruling_ft, day_F, 0.0)
        bare.append(StatePull(name, after_lbf, after_lbf))
    if weight is None:
        return LoopStates(tuple(bare), BARE)
    hung = [StatePull(name, *(_after_lbf(cable, rules, ruling_ft, day_F, plf) for plf in weight)) for _, name, day_F in days]
    if ice is None:
        return LoopStates((*bare, *hung), weight)
    iced = (_iced_lbf(cable, rules, ruling_ft, more_plf + ice_plf) for more_plf, ice_plf in zip(weight, ice, strict=True))
    return LoopStates((*bare, *hung, StatePull("iced", *iced)), weight, ice)


def _iced_lbf(cable: Cable, rules: CableRules, ruling_ft: float, more_plf: float) -> float:
    heavy_lbf = (cable.weight_plf + more_plf) * ruling_ft / STEEPEST
    return _after_lbf(cable, rules, ruling_ft, ICE_F, more_plf) or heavy_lbf


def _after_lbf(cable: Cable, rules: CableRules, ruling_ft: float, day_F: float, more_plf: float) -> float:
    own = cable.weight_plf
    try:
        return change_of_state_lbf(rules.tension_lbf, ruling_ft, own, day_F - rules.set_F, cable.ea_lbf, weight_after_plf=own + more_plf)
    except OutOfRange:
        return 0.0
