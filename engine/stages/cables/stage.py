"""Stage 5, cable loops: where loops begin and end, what to cut, how tight, and what weather and a leaning dog do to them.

Limits: a parabola a bay and an elastic change of state over the loop's ruling span, from a target tension by hand: no measurement, the
sag reading is. Stretch that doesn't come back, slip in locks and give of posts are left out (but see gripped_leans for a lean on a bay
whose eyes grip); tensions on the day are lower. With wire hung see engine.stages.bracing.what_pulls. A loop that is closed stays the loop
it is: its tick says between which supports.
"""

from collections.abc import Mapping, Sequence
from dataclasses import field

from engine.calc.cutting.cut_plan import CutPlan, Stock, plan_cuts
from engine.calc.frozen import dataclass
from engine.calc.remember import remembered_same
from engine.checklist import Item, TicksOf
from engine.findings import UNPRINTED, Finding, FindingOf
from engine.job.model.job import Job
from engine.job.model.stock_table import stock_of
from engine.job.model.tick_facts import TickFacts
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.stage import Bracing
from engine.stages.bracing.strung_loops import StrungLoop
from engine.stages.cables.bay_cable import BayCable, LeanOn
from engine.stages.cables.blown_loops import BlownLoop
from engine.stages.cables.cable_loop import Loop, loop_work, row_of
from engine.stages.cables.cable_states import longest
from engine.stages.cables.depth_reading import any_with_weight, chosen_weight_lb, weight_to_read_with
from engine.stages.cables.first_to_give import Gives
from engine.stages.cables.gripped_leans import EndsGive, ends_give
from engine.stages.cables.leaned_braces import LeanedBrace, leaned_brace_findings, leaned_braces
from engine.stages.cables.leans import leans_lbf
from engine.stages.cables.loop_findings import loop_findings
from engine.stages.cables.loop_items import round_again
from engine.stages.cables.wind_on_loops import wind_on_loops
from engine.stages.layout.stage import Layout
from engine.stages.made_of import hung_on
from engine.stages.posts.stage import Posts
from engine.stages.survey.stage import Survey

_finding = FindingOf("cables")

READS = ("rules", "stock", "fence", "dogs", "surfaces", TicksOf("sag", any_with_weight))


@dataclass(frozen=True)
class Cables:
    """All loops, all bays, and the plan for cutting the spools. Pulls are read with `read_with_lb` hung, or by the bare sag. `gives` are
    the parts of every support that wind uses up, the first to give first; `blown` the loops as a wind meets them; `leaned` the braces
    beside bays that are leaned on, by their ids."""

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
    leaned: Mapping[str, LeanedBrace] = field(default_factory=dict)


def cables(job: Job, survey: Survey, layout: Layout, posts: Posts, bracing: Bracing) -> Cables:
    """Every cable loop: where it begins and ends, what to cut, its tension through the year and under a lean, and the spools to cut from.

    A loop keeps to one height: where the fence's height changes, or it runs up a deck, one loop ends and the next begins.
    Source: common practice, no source, for loop lengths, tail and grip; engine.calc.statics and engine.calc.cutting for the rest.
    Valid for: tight cables on eyes at equal heights; empty, with a finding, where the stock doesn't give the cable.
    """
    cable = bracing.cable
    if cable is None:
        return Cables({}, {}, {}, 0.0, 0.0, plan_cuts({}, None), 0.0, None, _unknown(job) if bracing.strung else (), ())
    rules = job.rules.cables
    stock = stock_of(job.stock)
    each_lbf = leans_lbf(job, survey, layout, [bay for loop in bracing.strung.values() for bay in loop.bays])
    ends = ends_give(layout, posts, bracing, cable, stock.get(job.fence.post), job.rules.bracing.band_below_eye_in)
    leans = {name: _lean_on(lean_lbf, *ends.get(name, ())) for name, lean_lbf in each_lbf.items()}
    leaned = leaned_braces(job, stock, posts, bracing, cable, leans)
    worked = []
    for one in bracing.strung.values():
        row, eyes = [layout.supports[name] for name in row_of(one.bays)], posts.hangs[one.bays[0].id].eyes
        places, on_all, on_ends = tuple(each.there for each in row), hung_on(job, row), hung_on(job, (row[0], row[-1]))
        of_row = TickFacts(places, stock=on_all)
        read_with_lb = weight_to_read_with(rules, job.checks, layout.stood, one.id, of_row, eyes, longest(one.bays).id)
        given = (cable, rules, eyes, read_with_lb, on_all, on_ends)
        worked.append(loop_work(one, given, places, tuple(leans[bay.id] for bay in one.bays)))
    loops = {one.loop.id: one.loop for one in worked}
    spans = {span.bay: span for one in worked for span in one.spans}
    spools = _spools(job.fence.cable, cable, loops)
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
        findings=(*loop_findings(rules, cable, loops, spans, spools), *leaned_brace_findings(leaned), *wind.findings) if loops else (),
        items=(*(item for one in worked for item in one.items), *_round_again(job, cable, layout, tuple(bracing.strung.values()))),
        gives=wind.gives,
        blown=wind.loops,
        leaned=leaned,
    )


@remembered_same
def _lean_on(lean_lbf: float, *ends: EndsGive) -> LeanOn:
    return LeanOn(lean_lbf, EndsGive(sum((end.low for end in ends), 0.0), sum((end.high for end in ends), 0.0)))


def _round_again(job: Job, cable: Cable, layout: Layout, strung: Sequence[StrungLoop]) -> tuple[Item, ...]:
    if not strung:
        return ()
    ends = dict.fromkeys(end for loop in strung for end in (loop.bays[0].from_id, loop.bays[-1].to_id))
    of = TickFacts(layout.places(*ends), stock=hung_on(job, (layout.supports[end] for end in ends)))
    return (round_again(job.rules.cables, cable, longest([bay for loop in strung for bay in loop.bays]), of),)


def _spools(name: str, cable: Cable, loops: Mapping[str, Loop]) -> CutPlan:
    stock = Stock(name, cable.spool_ft) if cable.spool_ft else None
    return plan_cuts({name: loop.cut_ft for name, loop in loops.items()}, stock)


def _unknown(job: Job) -> tuple[Finding, ...]:
    says = f"The stock doesn't give the diameter, construction, weight, strength and modulus of {job.fence.cable}, so no loops are planned."
    return (_finding("cable_unknown", "fix", ("job",), says, "Add them to the stock from the maker's sheet."),)
