"""What pulls here: both cables of a loop as the crew meets them, bare and with wire and mesh on, on the day of setting, cold and hot.

Limits: every cable has one unstretched length between its end eyes, runs free through the eyes between, and grips at its ends, so that
top and bottom don't share; the posts don't give. Ground under the wire bears none of it: all figures with wire on are the most.
"""

from typing import Literal, NamedTuple

from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered
from engine.calc.statics.elastic_cable import change_of_state_lbf
from engine.job.model.rules import CableRules
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.hung_weight import BARE, HungWeight

StateName = Literal["pulled", "cold", "hot", "hung", "hung cold", "hung hot"]
STATE_WORDS: dict[StateName, str] = {
    "pulled": "as pulled",
    "cold": "coldest day, bare",
    "hot": "hottest day, bare",
    "hung": "wire hung",
    "hung cold": "coldest day, wire hung",
    "hung hot": "hottest day, wire hung",
}
"""States that last for days. A lean or a gust is a moment, and is worked out where it acts."""


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
    """A loop in every state, in the order a crew meets them, with what each cable carries besides itself."""

    pulls: tuple[StatePull, ...]
    weight: HungWeight

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
def loop_states(cable: Cable, rules: CableRules, ruling_ft: float, weight: HungWeight | None) -> LoopStates:
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
    return LoopStates((*bare, *hung), weight)


def _after_lbf(cable: Cable, rules: CableRules, ruling_ft: float, day_F: float, more_plf: float) -> float:
    own = cable.weight_plf
    try:
        return change_of_state_lbf(rules.tension_lbf, ruling_ft, own, day_F - rules.set_F, cable.ea_lbf, weight_after_plf=own + more_plf)
    except OutOfRange:
        return 0.0
