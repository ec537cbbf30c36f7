"""One cable loop: what to cut for it, how tight it is in every state and under a lean, and what it asks of the crew."""

from collections.abc import Sequence
from functools import cached_property

from engine.calc.frozen import dataclass
from engine.calc.remember import remembered_columns
from engine.calc.statics.elastic_cable import safety_factor, working_load_lbf
from engine.checklist import Item
from engine.job.model.rules import CableRules
from engine.job.model.tick_facts import At, TickFacts
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.loop_runs import row_of
from engine.stages.bracing.strung_loops import StrungLoop
from engine.stages.bracing.what_pulls import StatePull
from engine.stages.cables.bay_cable import BayCable, bay_cable
from engine.stages.cables.cable_states import SLACK_SHARE, alike_ft, along_ft, longest, safe_range
from engine.stages.cables.depth_reading import WeightOn
from engine.stages.cables.gripped_leans import LeanOn
from engine.stages.cables.loop_items import loop_items
from engine.stages.cables.sag_reading import SafeRange
from engine.stages.made_of import Rows
from engine.stages.posts.depths import EyeHeights


@dataclass(frozen=True)
class CutParts:
    """What a loop's cut length is made of: top and bottom straight from eye to eye, their sag, both uprights, tail, and lock and pull."""

    bays_ft: float
    sag_ft: float
    sides_ft: float
    tail_ft: float
    lock_ft: float

    @property
    def round_ft(self) -> float:
        """The cable all round the loop, pulled."""
        return self.bays_ft + self.sag_ft + self.sides_ft


@dataclass(frozen=True)
class Loop:
    """A closed rectangle of one cable: its supports and bays in order, its run, and the length to cut.

    `run_ft` is along the slope, to a thousandth; `within` whether it keeps to the loop limits. `cold_lbf` and `hot_lbf` are
    0 where the cable hangs slack, bare; `states` are those with wire hung too. `safe` are the tensions it may be pulled to on the day of
    setting. `weighted_in` is how deep its longest bay hangs, bare but for the weight of the rules on its middle: with eyes that grip, and
    running free. `safety` is the strength of the weaker of cable and lock over the most of any state and a lean, `most_lbf`, in `most_in`;
    `cable_factor` and `lock_factor` are those of each alone, the lock's None where the stock doesn't give it. `breaks` is whether one holds
    less than it has to wherever the lock is. `hangs_slack` is on the hottest day.
    """

    id: str
    line: str
    supports: tuple[str, ...]
    bays: tuple[str, ...]
    run_ft: float
    cut_ft: float
    ruling_span_ft: float
    tension_lbf: float
    cold_lbf: float
    hot_lbf: float
    safe: SafeRange
    weighted_in: tuple[float, float]
    safety: float
    within: bool
    parts: CutParts
    most_lbf: float
    most_in: str
    states: tuple[StatePull, ...]
    cable_factor: float
    lock_factor: float | None
    hangs_slack: bool
    breaks: bool

    @cached_property
    def steady(self) -> StatePull:
        """The state that pulls one cable hardest: cable and lock bear that, ends both."""
        return hardest_state(self.states)


@dataclass(frozen=True)
class LoopWork:
    """One loop, its bays and what it asks of the crew; `sound` is whether no finding can be about it but by its spool."""

    loop: Loop
    spans: tuple[BayCable, ...]
    items: tuple[Item, ...]
    sound: bool


@remembered_columns
def loop_work(
    cable: Cable,
    rules: CableRules,
    strung: StrungLoop,
    eyes: EyeHeights,
    read_with_lb: float | None,
    on_all: Rows,
    on_ends: Rows,
    places: tuple[At, ...],
    leans: tuple[LeanOn, ...],
) -> LoopWork:
    """A loop of these bays at the eyes given, its pull read with a weight, lb, or by its sag, made of such stock, all of it and its ends,
    its supports at such places, and leaned on so hard in each bay."""
    sides_ft = 2 * (eyes.high_ft - eyes.low_ft)  # both uprights
    name, bays = strung.id, strung.bays
    round_ft = 2 * sum(along_ft(cable, rules, bay) for bay in bays) + sides_ft
    spans = tuple(bay_cable(name, bay, cable, rules, strung.states, on, round_ft) for bay, on in zip(bays, leans, strict=True))
    straight_ft = 2 * sum(bay.slope_ft for bay in bays)
    parts = CutParts(straight_ft, round_ft - sides_ft - straight_ft, sides_ft, rules.tail_in / 12, rules.grip_in / 12)
    loop = _loop(strung, parts, spans, cable, rules)
    read_in = longest(bays)
    of = (TickFacts(places, stock=on_all), TickFacts((places[0], places[-1]), stock=on_ends))
    weight = None if read_with_lb is None else WeightOn(read_with_lb, cable, read_in.slope_ft, round_ft)
    items = loop_items(rules, name, of, eyes, loop.cut_ft, loop.safe, cable, read_in, weight)
    return LoopWork(loop, spans, items, _sound(loop, spans, cable, rules))


def _sound(loop: Loop, spans: Sequence[BayCable], cable: Cable, rules: CableRules) -> bool:
    pulls_well = loop.steady.most_lbf <= working_load_lbf(cable.weakest_lbf, rules.safety_factor) and loop.most_lbf <= cable.weakest_lbf
    return pulls_well and loop.within and not (loop.hangs_slack or loop.breaks or any(span.bends_over for span in spans))


def _loop(strung: StrungLoop, parts: CutParts, spans: Sequence[BayCable], cable: Cable, rules: CableRules) -> Loop:
    states, bays = strung.states, strung.bays
    steady = hardest_state(states.pulls)
    leaned = max(span.push_tension_lbf for span in spans)
    most_lbf, most_in = max((steady.most_lbf, steady.words), (leaned, "leaned on"))
    run_ft = round(sum(bay.slope_ft for bay in bays), 3)
    slackest_lbf = states.at("hot").top_lbf
    return Loop(
        id=strung.id,
        line=bays[0].line,
        supports=row_of(bays),
        bays=tuple(bay.id for bay in bays),
        run_ft=run_ft,
        cut_ft=parts.bays_ft + parts.sag_ft + parts.sides_ft + parts.tail_ft + parts.lock_ft,
        ruling_span_ft=strung.ruling_ft,
        tension_lbf=rules.tension_lbf,
        cold_lbf=states.at("cold").top_lbf,
        hot_lbf=slackest_lbf,
        safe=safe_range(cable, rules, alike_ft(strung.ruling_ft)[0], states.weight),
        weighted_in=WeightOn(rules.hung_weight_lb, cable, longest(bays).slope_ft, parts.round_ft).depths_in(rules.tension_lbf),
        safety=safety_factor(cable.weakest_lbf, most_lbf),
        within=rules.loop_min_ft <= run_ft <= rules.loop_max_ft,
        parts=parts,
        most_lbf=most_lbf,
        most_in=most_in,
        states=states.pulls,
        cable_factor=safety_factor(cable.strength_lbf, most_lbf),
        lock_factor=None if cable.lock_lbf is None else safety_factor(cable.lock_lbf, most_lbf),
        hangs_slack=slackest_lbf < SLACK_SHARE * rules.tension_lbf,
        breaks=cable.strength_lbf < most_lbf or cable.weakest_lbf < max(steady.most_lbf, *(span.free_lbf for span in spans)),
    )


def hardest_state(pulls: Sequence[StatePull]) -> StatePull:
    """The state that pulls one cable hardest: cable and lock bear that, ends both."""
    return max(pulls, key=lambda pull: pull.most_lbf)
