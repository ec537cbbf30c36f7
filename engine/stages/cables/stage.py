"""Stage 5, cable loops: where loops begin and end, what to cut, how tight, and what weather and a leaning dog do to them.

Limits: a parabola a bay and an elastic change of state over the loop's ruling span, from a target tension by hand: no measurement, the
sag reading is. Stretch that doesn't come back, slip in locks and give of posts are left out (but see gripped_leans for a lean on a bay
whose eyes grip); tensions on the day are lower. With wire hung see engine.stages.bracing.what_pulls. A loop that is closed stays the loop
it is: its tick says between which supports.
"""

from collections.abc import Mapping, Sequence
from dataclasses import field
from itertools import repeat

from engine.calc.cutting.cut_plan import CutPlan, Stock, plan_cuts
from engine.calc.frozen import dataclass
from engine.calc.remember import ByParts, remembered_columns
from engine.checklist import Item, TicksOf
from engine.findings import UNPRINTED, Finding, FindingOf
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.rules import CableRules
from engine.job.model.stock_table import stock_of
from engine.job.model.tick_facts import At, TickFacts
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.stage import Bracing
from engine.stages.cables.bay_cable import BayCable
from engine.stages.cables.blown_loops import BlownLoop
from engine.stages.cables.cable_loop import Loop, LoopWork, loop_work, row_of
from engine.stages.cables.cable_states import longest
from engine.stages.cables.depth_reading import any_with_weight, chosen_weight_lb, weight_to_read_with
from engine.stages.cables.first_to_give import Gives
from engine.stages.cables.gripped_leans import LeanOn, leans_on
from engine.stages.cables.leaned_braces import LeanedBrace, leaned_brace_findings, leaned_braces
from engine.stages.cables.leans import leans_lbf
from engine.stages.cables.loop_findings import loop_findings
from engine.stages.cables.loop_items import round_again
from engine.stages.cables.wind_on_loops import wind_on_loops
from engine.stages.layout.stage import Bay, Layout
from engine.stages.made_of import Rows, hung_on, made_along
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
    bays = [bay for loop in bracing.strung.values() for bay in loop.bays]
    given = (cable, stock.get(job.fence.post), job.rules.bracing.band_below_eye_in)
    leaned_on = leans_on(layout, posts, bracing, given, bays, leans_lbf(job, survey, layout, bays))
    leans = {bay.id: on for bay, on in zip(bays, leaned_on, strict=True)}
    leaned = leaned_braces(job, stock, posts, bracing, cable, leans)
    worked = _worked(job, layout, posts, bracing, cable, leans)
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
        findings=(*loop_findings(rules, cable, worked, spools), *leaned_brace_findings(leaned), *wind.findings) if loops else (),
        items=(*(item for one in worked for item in one.items), *_round_again(job, cable, layout, loops, bays)),
        gives=wind.gives,
        blown=wind.loops,
        leaned=leaned,
    )


def _worked(job: Job, layout: Layout, posts: Posts, bracing: Bracing, cable: Cable, leans: Mapping[str, LeanOn]) -> list[LoopWork]:
    """Every loop worked out."""
    strung, chosen_lb = list(bracing.strung.values()), chosen_weight_lb(job.rules.cables)
    rows = [row_of(loop.bays) for loop in strung]
    places, eyes = [layout.places(*row) for row in rows], [posts.hangs[loop.bays[0].id].eyes for loop in strung]
    on_all = made_along(job, hung_on, layout.supports, rows)
    read_with_lb = [
        weight_to_read_with(chosen_lb, job.checks.get(ItemKey("cables", loop.id, "sag")), layout.stood, there, on, at, loop.bays)
        for loop, there, on, at in zip(strung, places, on_all, eyes, strict=True)
    ]
    return loop_work(
        repeat(cable),
        repeat(job.rules.cables),
        strung,
        eyes,
        read_with_lb,
        on_all,
        made_along(job, hung_on, layout.supports, [(row[0], row[-1]) for row in rows]),
        ByParts(places),
        ByParts([tuple([leans[bay.id] for bay in loop.bays]) for loop in strung]),
    )


def _round_again(job: Job, cable: Cable, layout: Layout, loops: Mapping[str, Loop], bays: Sequence[Bay]) -> tuple[Item, ...]:
    if not bays:
        return ()
    ends = dict.fromkeys(end for loop in loops.values() for end in (loop.supports[0], loop.supports[-1]))
    (stock,) = made_along(job, hung_on, layout.supports, [(*ends,)])
    return tuple(_asked_last([job.rules.cables], [cable], [longest(bays)], [stock], ByParts([layout.places(*ends)])))


@remembered_columns
def _asked_last(rules: CableRules, cable: Cable, read_in: Bay, stock: Rows, ends: tuple[At, ...]) -> Item:
    return round_again(rules, cable, read_in, TickFacts(ends, stock=stock))


def _spools(name: str, cable: Cable, loops: Mapping[str, Loop]) -> CutPlan:
    stock = Stock(name, cable.spool_ft) if cable.spool_ft else None
    return plan_cuts({name: loop.cut_ft for name, loop in loops.items()}, stock)


def _unknown(job: Job) -> tuple[Finding, ...]:
    says = f"The stock doesn't give the diameter, construction, weight, strength and modulus of {job.fence.cable}, so no loops are planned."
    return (_finding("cable_unknown", "fix", ("job",), says, "Add them to the stock from the maker's sheet."),)
