"""Stage 5, cable loops: where loops begin and end, what to cut, how tight, and what weather and a leaning dog do to them.

Limits: a parabola a bay and an elastic change of state over the loop's ruling span, from a target tension by hand: no measurement, the
sag reading is. Stretch that doesn't come back, slip in locks and give of posts are left out (but see gripped_leans for a lean on a bay
whose eyes grip); tensions on the day are lower. With wire hung see engine.stages.bracing.what_pulls. A loop that is closed stays the loop
it is: its tick says between which supports; where its lock was opened again, what was done at it since says so.
"""

from collections.abc import Mapping, Sequence
from dataclasses import field
from itertools import repeat
from typing import NamedTuple

from engine.calc.cutting.cut_plan import CutPlan, Stock, plan_cuts
from engine.calc.frozen import dataclass
from engine.calc.remember import ByParts, remembered_columns, remembered_of, remembered_parts
from engine.checklist import Item, TicksOf, counts
from engine.findings import UNPRINTED, Finding, FindingOf
from engine.job.model.checks import Tick
from engine.job.model.fence import Fence
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.rules import CableRules, Rules
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import stock_of
from engine.job.model.tick_facts import LOOPS, At, TickFacts
from engine.stages.bracing.cable_pull import Cable
from engine.stages.bracing.loop_runs import row_of
from engine.stages.bracing.stage import Bracing
from engine.stages.cables.bay_cable import BayCable
from engine.stages.cables.blown_loops import BlownLoop
from engine.stages.cables.brace_strength import brace_tube
from engine.stages.cables.cable_loop import Loop, LoopWork, loop_work
from engine.stages.cables.cable_states import longest
from engine.stages.cables.depth_reading import any_with_weight, chosen_weight_lb, read_of, weight_read_with
from engine.stages.cables.fence_parts import FencePart, fence_parts, floors_of, in_order
from engine.stages.cables.first_to_give import Blowing, Gives
from engine.stages.cables.gripped_leans import LeanOn, leans_on
from engine.stages.cables.leaned_braces import LeanedBrace, leaned_brace_findings, leaned_braces
from engine.stages.cables.leans import leans_lbf
from engine.stages.cables.loop_findings import loop_findings
from engine.stages.cables.loop_items import round_again
from engine.stages.cables.wind_findings import wind_findings
from engine.stages.cables.wind_on_loops import WindOnPart, blowing, wind_on_part
from engine.stages.layout.stage import Layout
from engine.stages.made_of import Rows, hung_on, made_along
from engine.stages.posts.stage import Posts
from engine.stages.posts.standing_supports import Span
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
    rules, stock = job.rules.cables, stock_of(job.stock)
    bays = [bay for loop in bracing.strung.values() for bay in loop.bays]
    each_lbf = {bay.id: lean_lbf for bay, lean_lbf in zip(bays, leans_lbf(job, survey, layout, bays), strict=True)}
    parts = fence_parts(layout, posts, bracing, each_lbf, _read_with_lb(job, layout, posts, bracing))
    by = blowing(job.rules, job.fence, stock)
    strung = _strung(repeat(_basis(cable, job.rules, job.fence, stock, floors_of(tuple(job.surfaces)), by)), ByParts(parts))
    worked = in_order(bracing.strung, [part.worked for part in strung])
    loops = {name: one.loop for name, one in worked.items()}
    spans = {span.bay: span for one in worked.values() for span in one.spans}
    spools = _spools(job.fence.cable, cable, loops)
    leaned = in_order((leg.id for pull in bracing.pulls.values() for leg in pull.legs), [part.leaned for part in strung])
    told = in_order(layout.supports, [part.wind.under for part in strung]).values()
    found = wind_findings(by, (row for rows in told for row in rows), posts.work, job.rules.layout.bay_min_ft) if by else ()
    return Cables(
        loops=loops,
        bays=spans,
        loop_of={name: span.loop for name, span in spans.items()},
        cable_weight_plf=cable.weight_plf,
        strength_lbf=cable.strength_lbf,
        spools=spools,
        total_ft=sum(loop.cut_ft for loop in loops.values()),
        read_with_lb=chosen_weight_lb(rules),
        findings=(*loop_findings(rules, cable, worked.values(), spools), *leaned_brace_findings(leaned), *found) if loops else (),
        items=(*(item for one in worked.values() for item in one.items), *_round_again(job, cable, layout, loops, bays)),
        gives=in_order(layout.supports, [part.wind.gives for part in strung]),
        blown=in_order(bracing.strung, [part.wind.loops for part in strung]),
        leaned=leaned,
    )


def _read_with_lb(job: Job, layout: Layout, posts: Posts, bracing: Bracing) -> dict[str, float | None]:
    """With which weight hung the pull of each loop is read, lb; None by its sag. What was read stays read the way it was."""
    chosen_lb = chosen_weight_lb(job.rules.cables)
    ticks = {name: job.checks.get(ItemKey("cables", name, "sag")) for name in bracing.strung}
    read = dict(zip(ticks, _weights_of(ticks.values()), strict=True))
    found = {name: chosen_lb for name in ticks}
    for name, tick in ticks.items():
        if tick is not None and read[name] != chosen_lb:
            bays = bracing.strung[name].bays
            row = row_of(bays)
            of_row = TickFacts(layout.places(*row), stock=hung_on(job, [layout.supports[one] for one in row]))
            if counts(tick, read_of(of_row, posts.hangs[bays[0].id].eyes, longest(bays).id, read[name]), layout.stood):
                found[name] = read[name]
    return found


@remembered_columns
def _weights_of(tick: Tick | None) -> float | None:
    return None if tick is None else weight_read_with(tick.of)


class _Basis(NamedTuple):
    """What all parts of a fence are worked out by."""

    cable: Cable
    rules: Rules
    fence: Fence
    stock: Mapping[str, StockRow]
    surfaces: tuple[str, ...]
    by: Blowing | None


_basis = remembered_of(_Basis)


class _Strung(NamedTuple):
    """The loops of a part of the fence, worked out; its braces that are leaned on; and what a wind does to it."""

    worked: Mapping[str, LoopWork]
    leaned: Mapping[str, LeanedBrace]
    wind: WindOnPart


@remembered_parts
def _strung(basis: _Basis, part: FencePart) -> _Strung:
    cable, rules, fence, stock, _, by = basis
    leans = leans_on(part, cable, stock.get(fence.post), rules.bracing.band_below_eye_in)
    leaned = leaned_braces(part, cable, brace_tube(stock.get(fence.brace)), rules.posts.soil, leans)
    return _Strung(_worked(basis, part, leans), leaned, wind_on_part(part, by, cable))


def _worked(basis: _Basis, part: FencePart, leans: Mapping[str, LeanOn]) -> dict[str, LoopWork]:
    strung, supports = part.strung.values(), part.supports
    rows = [row_of(loop.bays) for loop in strung]
    worked = loop_work(
        repeat(basis.cable),
        repeat(basis.rules.cables),
        strung,
        [part.hangs[loop.bays[0].id].eyes for loop in strung],
        part.read_with_lb.values(),
        made_along(basis, hung_on, supports, rows),
        made_along(basis, hung_on, supports, [(row[0], row[-1]) for row in rows]),
        ByParts([tuple([supports[name].there for name in row]) for row in rows]),
        ByParts([tuple([leans[bay.id] for bay in loop.bays]) for loop in strung]),
    )
    return dict(zip(part.strung, worked, strict=True))


def _round_again(job: Job, cable: Cable, layout: Layout, loops: Mapping[str, Loop], bays: Sequence[Span]) -> tuple[Item, ...]:
    if not bays:
        return ()
    ends = dict.fromkeys(end for loop in loops.values() for end in (loop.supports[0], loop.supports[-1]))
    stock = hung_on(job, map(layout.supports.__getitem__, ends))
    return tuple(_asked_last([job.rules.cables], [cable], [longest(bays)], [stock], ByParts([layout.places(*ends)]), [len(loops)]))


@remembered_columns
def _asked_last(rules: CableRules, cable: Cable, read_in: Span, stock: Rows, ends: tuple[At, ...], count: int) -> Item:
    return round_again(rules, cable, read_in, TickFacts(ends, words=(f"{count} {LOOPS}",), stock=stock))


def _spools(name: str, cable: Cable, loops: Mapping[str, Loop]) -> CutPlan:
    stock = Stock(name, cable.spool_ft) if cable.spool_ft else None
    return plan_cuts({name: loop.cut_ft for name, loop in loops.items()}, stock)


def _unknown(job: Job) -> tuple[Finding, ...]:
    says = f"The stock doesn't give the diameter, construction, weight, strength and modulus of {job.fence.cable}, so no loops are planned."
    return (_finding("cable_unknown", "fix", ("job",), says, "Add them to the stock from the maker's sheet."),)
