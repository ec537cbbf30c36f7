"""Stage 5, cable loops: where loops begin and end, what to cut, how tight, and what weather and a leaning dog do to them.

Limits: a parabola a bay and an elastic change of state over the loop's ruling span, from a target tension by hand: no measurement, the
sag reading is. Stretch that doesn't come back, slip in locks and give of posts are left out; tensions on the day are lower. With wire hung
see engine.stages.bracing.what_pulls. A loop that is closed stays the loop it is: its tick says between which supports.
"""

from collections.abc import Mapping, Sequence
from dataclasses import field

from engine.calc.cutting.cut_plan import CutPlan, Stock, plan_cuts
from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import others
from engine.calc.remember import remembered
from engine.calc.statics.elastic_cable import safety_factor, working_load_lbf
from engine.checklist import Item, TicksOf
from engine.findings import UNPRINTED, Finding, FindingOf, Level
from engine.job.model.job import Job
from engine.job.model.rules import CableRules
from engine.job.model.tick_facts import At
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.stage import Bracing
from engine.stages.bracing.strung_loops import StrungLoop
from engine.stages.bracing.what_pulls import StatePull
from engine.stages.cables.bay_cable import BayCable, bay_cable
from engine.stages.cables.blown_loops import BlownLoop
from engine.stages.cables.cable_states import SLACK_SHARE, alike_ft, along_ft, longest, safe_range
from engine.stages.cables.depth_reading import WeightOn, any_with_weight, chosen_weight_lb, weight_to_read_with
from engine.stages.cables.first_to_give import Gives
from engine.stages.cables.leans import leans_lbf
from engine.stages.cables.loop_items import loop_items, round_again
from engine.stages.cables.sag_reading import SafeRange
from engine.stages.cables.wind_on_loops import wind_on_loops
from engine.stages.layout.stage import Bay, Layout
from engine.stages.posts.depths import EyeHeights
from engine.stages.posts.stage import Posts
from engine.stages.survey.stage import Survey

_finding = FindingOf("cables")

READS = ("rules", "stock", "fence", "dogs", TicksOf("sag", any_with_weight))


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
    `cable_factor` and `lock_factor` are those of each alone, the lock's None where the stock doesn't give it. `hangs_slack` is on the
    hottest day.
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

    @property
    def breaks(self) -> bool:
        """Whether its weakest part holds less than the most it pulls."""
        return self.safety < 1


@dataclass(frozen=True)
class Cables:
    """All loops, all bays, and the plan for cutting the spools. Pulls are read with `read_with_lb` hung, or by the bare sag. `gives` are
    the parts of every support that wind uses up, the first to give first; `blown` the loops as a wind meets them."""

    loops: Mapping[str, Loop]
    bays: Mapping[str, BayCable]
    loop_of: Mapping[str, str]
    cable_weight_plf: float
    strength_lbf: float
    spools: CutPlan
    total_ft: float
    read_with_lb: float | None
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]
    gives: Mapping[str, tuple[Gives, ...]] = field(default_factory=dict)
    blown: Mapping[str, BlownLoop] = field(default_factory=dict, metadata=UNPRINTED)


def cables(job: Job, survey: Survey, layout: Layout, posts: Posts, bracing: Bracing) -> Cables:
    """Every cable loop: where it begins and ends, what to cut, its tension through the year and under a lean, and the spools to cut from.

    A loop keeps to one height: where the fence's height changes, or it runs up a deck, one loop ends and the next begins.
    Source: common practice, no source, for loop lengths, tail and grip; engine.calc.statics and engine.calc.cutting for the rest.
    Valid for: tight cables on eyes at equal heights; empty, with a finding, where the stock doesn't give the cable.
    """
    cable = bracing.cable
    if cable is None:
        return Cables({}, {}, {}, 0.0, 0.0, plan_cuts({}, []), 0.0, None, _unknown(job) if bracing.strung else (), ())
    rules = job.rules.cables
    leans = leans_lbf(job, survey, layout, [bay for loop in bracing.strung.values() for bay in loop.bays])
    worked = [
        _loop_work(
            one,
            cable,
            rules,
            _sides_ft(posts.hangs[one.bays[0].id].eyes),
            (places := layout.places(*_row(one.bays))),
            _each(one.bays, leans),
            weight_to_read_with(rules, job.checks, layout.stood, one.id, places, longest(one.bays).id),
        )
        for one in bracing.strung.values()
    ]
    loops = {one.loop.id: one.loop for one in worked}
    spans = {span.bay: span for one in worked for span in one.spans}
    spools = _spools(cable, loops)
    wind = wind_on_loops(job, layout, posts, bracing)
    return Cables(
        loops=loops,
        bays=spans,
        loop_of={name: span.loop for name, span in spans.items()},
        cable_weight_plf=cable.weight_plf,
        strength_lbf=cable.strength_lbf,
        spools=spools,
        total_ft=sum(loop.cut_ft for loop in loops.values()),
        read_with_lb=chosen_weight_lb(rules),
        findings=(*_findings(rules, cable, loops, spans, spools), *wind.findings) if loops else (),
        items=(*(item for one in worked for item in one.items), *_round_again(rules, cable, layout, tuple(bracing.strung.values()))),
        gives=wind.gives,
        blown=wind.loops,
    )


def _row(bays: Sequence[Bay]) -> tuple[str, ...]:
    """Supports of a row of bays, in order."""
    return (bays[0].from_id, *(bay.to_id for bay in bays))


def _each(bays: Sequence[Bay], leans: Mapping[str, float]) -> tuple[float, ...]:
    return tuple(leans[bay.id] for bay in bays)


def _sides_ft(eyes: EyeHeights) -> float:
    """Both uprights of a loop."""
    return 2 * (eyes.high_ft - eyes.low_ft)


@dataclass(frozen=True)
class _LoopWork:
    """One loop, its bays and what it asks of the crew."""

    loop: Loop
    spans: tuple[BayCable, ...]
    items: tuple[Item, ...]


@remembered
def _loop_work(
    strung: StrungLoop,
    cable: Cable,
    rules: CableRules,
    sides_ft: float,
    places: tuple[At, ...],
    leans_lbf: tuple[float, ...],
    read_with_lb: float | None,
) -> _LoopWork:
    name, bays = strung.id, strung.bays
    round_ft = 2 * sum(along_ft(cable, rules, bay) for bay in bays) + sides_ft
    spans = tuple(
        bay_cable(name, bay, cable, rules, strung.states, lean_lbf, round_ft) for bay, lean_lbf in zip(bays, leans_lbf, strict=True)
    )
    straight_ft = 2 * sum(bay.slope_ft for bay in bays)
    parts = CutParts(straight_ft, round_ft - sides_ft - straight_ft, sides_ft, rules.tail_in / 12, rules.grip_in / 12)
    loop = _loop(strung, parts, spans, cable, rules)
    read_in = longest(bays)
    weight = None if read_with_lb is None else WeightOn(read_with_lb, cable, read_in.slope_ft, round_ft)
    return _LoopWork(loop, spans, loop_items(rules, name, places, loop.cut_ft, loop.safe, cable, read_in, weight))


def _round_again(rules: CableRules, cable: Cable, layout: Layout, strung: Sequence[StrungLoop]) -> tuple[Item, ...]:
    if not strung:
        return ()
    ends = dict.fromkeys(end for loop in strung for end in (loop.bays[0].from_id, loop.bays[-1].to_id))
    return (round_again(rules, cable, longest([bay for loop in strung for bay in loop.bays]), layout.places(*ends)),)


def _loop(strung: StrungLoop, parts: CutParts, spans: Sequence[BayCable], cable: Cable, rules: CableRules) -> Loop:
    states, bays = strung.states, strung.bays
    steady = _hardest(states.pulls)
    leaned = max(span.push_tension_lbf for span in spans)
    most_lbf, most_in = max((steady.most_lbf, steady.words), (leaned, "leaned on"))
    run_ft = round(sum(bay.slope_ft for bay in bays), 3)
    slackest_lbf = states.at("hot").top_lbf
    return Loop(
        id=strung.id,
        line=bays[0].line,
        supports=_row(bays),
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
    )


def _hardest(pulls: Sequence[StatePull]) -> StatePull:
    """The state that pulls one cable hardest: cable and lock bear that, ends both."""
    return max(pulls, key=lambda pull: pull.most_lbf)


def _spools(cable: Cable, loops: Mapping[str, Loop]) -> CutPlan:
    stocks = [Stock(cable.name, cable.spool_ft, None)] if cable.spool_ft else []
    return plan_cuts({name: loop.cut_ft for name, loop in loops.items()}, stocks)


def _unknown(job: Job) -> tuple[Finding, ...]:
    says = f"The stock doesn't give the diameter, construction, weight, strength and modulus of {job.fence.cable}, so no loops are planned."
    return (_finding("cable_unknown", "fix", ("job",), says, "Add them to the stock from the maker's sheet."),)


def _findings(rules: CableRules, cable: Cable, loops: Mapping[str, Loop], spans: Mapping[str, BayCable], spools: CutPlan) -> list[Finding]:
    return [
        *_day_findings(rules),
        *_length_findings(rules, loops),
        *_strength_findings("cable_too_weak", "stop", cable.name, cable.strength_lbf, rules, loops, spans),
        *_strength_findings("lock_too_weak", "fix", "the lock", cable.lock_lbf, rules, loops, spans),
        *_lean_findings(spans),
        *_slack_findings(rules, loops),
        *_spool_findings(cable, loops, spools),
    ]


def _day_findings(rules: CableRules) -> list[Finding]:
    if not rules.set_outside:
        return []
    year = f"the coldest day is {rules.cold_F:g}°, the hottest {rules.hot_F:g}°"
    says = f"By the rules the cables are pulled on a day of {rules.set_F:g}°, but {year}: what they pull through it isn't right."
    return [_finding("set_outside_year", "fix", ("job",), says, "Put set_F right in the rules for cables, or the days.")]


def _length_findings(rules: CableRules, loops: Mapping[str, Loop]) -> list[Finding]:
    found = []
    most, least = format_ft_in(rules.loop_max_ft), format_ft_in(rules.loop_min_ft)
    for loop in loops.values():
        if loop.run_ft > rules.loop_max_ft:
            says = f"{loop.id} is {format_ft_in(loop.run_ft)} long, over the {most} limit, and no support splits {loop.bays[0]}."
            found.append(_finding("loop_too_long", "fix", (loop.id, *loop.bays), says, "Add a post in that bay."))
    short = sorted((loop for loop in loops.values() if loop.run_ft < rules.loop_min_ft), key=lambda loop: loop.run_ft)
    if short:
        said = {loop.id: f"{loop.id} is {format_ft_in(loop.run_ft)} long, under the usual {least}" for loop in short}
        found.append(_finding.of_many("loop_short", "note", said, "too", "Leave it where gates and ends leave no more room."))
    return found


def _strength_findings(
    code: str,
    level: Level,
    part: str,
    strength_lbf: float | None,
    rules: CableRules,
    loops: Mapping[str, Loop],
    spans: Mapping[str, BayCable],
) -> list[Finding]:
    """The steady pull against the working load, and a lean against the strength itself, the worst of each."""
    if strength_lbf is None:
        return []
    found = []
    allowed_lbf = working_load_lbf(strength_lbf, rules.safety_factor)
    steady = {name: _hardest(loop.states) for name, loop in loops.items()}
    over = sorted((name for name, pull in steady.items() if pull.most_lbf > allowed_lbf), key=lambda name: -steady[name].most_lbf)
    if over:
        carries = f"{part} may carry {allowed_lbf:.0f} lb, {rules.safety_factor:g} to 1"
        said = {name: f"{name} pulls {steady[name].most_lbf:.0f} lb, {steady[name].words}; {carries}" for name in over}
        found.append(_finding.of_many(code, level, said, "pulled too hard", "Pull it less tight, or use stronger stock."))
    leaned = [span for span in spans.values() if span.push_tension_lbf > strength_lbf]
    leaned.sort(key=lambda span: -round(span.push_tension_lbf))  # of bays leaned on alike the first
    if leaned:
        worst = leaned[0]
        pulls = f"pulls {worst.loop} to {worst.push_tension_lbf:.0f} lb where the eyes grip; {part} holds {strength_lbf:.0f} lb"
        says = f"A {worst.lean_lbf:g} lb lean on {worst.bay} {pulls}{others(len(leaned) - 1, 'leaned on too hard')}."
        about = dict.fromkeys(name for span in leaned for name in (span.loop, span.bay))
        found.append(_finding(f"{code}_leaned", level, about, says, "Use stronger stock: a shorter bay pulls about as hard."))
    return found


def _lean_findings(spans: Mapping[str, BayCable]) -> list[Finding]:
    over = [span for span in spans.values() if span.bends_over]
    if not over:
        return []
    says = f"A {over[0].lean_lbf:g} lb lean on {over[0].bay} bends its cable over 45°{others(len(over) - 1, 'bent too')}."
    return [_finding("lean_too_hard", "stop", [span.bay for span in over], says, "Use stronger cable; expect this one to break or slip.")]


def _slack_findings(rules: CableRules, loops: Mapping[str, Loop]) -> list[Finding]:
    slack = sorted((loop for loop in loops.values() if loop.hangs_slack), key=lambda loop: loop.hot_lbf)
    if not slack:
        return []
    said = {loop.id: f"On a {rules.hot_F:g}° day {loop.id} falls to {loop.hot_lbf:.0f} lb and is slack" for loop in slack}
    return [_finding.of_many("cable_slack", "note", said, "too", "Pull it again in warm weather, or pull harder now.")]


def _spool_findings(cable: Cable, loops: Mapping[str, Loop], spools: CutPlan) -> list[Finding]:
    if cable.spool_ft is None:
        says = f"The stock doesn't give the length of a spool of {cable.name}, so no spool is planned."
        return [_finding("spool_unknown", "fix", ("job",), says, "Add it to the stock.")]
    found = []
    for piece in spools.unplaced:
        cut = format_ft_in(loops[piece.piece_id].cut_ft)
        says = f"{piece.piece_id} takes {cut} of cable, more than a {format_ft_in(cable.spool_ft)} spool of {cable.name} holds."
        found.append(_finding("spool_too_short", "fix", (piece.piece_id,), says, "Bring a longer spool, or split the loop."))
    return found
