"""Stage 7, staking: where every stake through the apron goes, and where none may.

Limits: spacing along the lower edge of the wire and a share more on slopes; what a stake holds in the soil isn't worked out.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain, compress
from math import ceil
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.phrases import counted
from engine.calc.remember import remembered, remembered_columns, remembered_of, remembered_rows
from engine.calc.tolerances import ROUNDING_COUNT
from engine.checklist import Item, TicksOf
from engine.findings import Finding, FindingOf
from engine.job.model.checks import Tick
from engine.job.model.fence import Fence
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.rules import StakeRules
from engine.job.model.site import Utility
from engine.job.model.tick_facts import SPOT, STAKE, Size, TickFacts
from engine.stages.fabric.aprons import BayApron, dip_facts
from engine.stages.fabric.bay_ground import BayGround, bay_grounds
from engine.stages.fabric.stage import Fabric
from engine.stages.layout.keep_outs import Ground, KeepOutId
from engine.stages.layout.stage import Bay, KeepOut, Layout
from engine.stages.made_of import OfFence, Rows, made_along, wire_on
from engine.stages.posts.adjoining import ground_of
from engine.stages.posts.standing_supports import Stand
from engine.stages.staking.bay_stakes import BayStakes, Given, stakes_of
from engine.stages.staking.no_stakes import BayRow, Part, Parts, bay_rows, blocked_in, reach_in
from engine.stages.staking.set_stakes import FASTENED, FLUSH, as_planned, as_set, ticked
from engine.stages.survey.stage import Survey

_finding = FindingOf("staking")

READS = ("rules", "fence", "surfaces", "utilities", TicksOf(FLUSH), TicksOf(FASTENED))

_OPEN_SOURCES = ("tree", "structure", "sleeve")
_OPEN_KINDS = ("roots", "bed")


@dataclass(frozen=True)
class Staking:
    """Stakes of every bay, their total and the spare to load."""

    bays: Mapping[str, BayStakes]
    total: int
    spare: int
    fastened: int
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]


def staking(job: Job, survey: Survey, layout: Layout, fabric: Fabric) -> Staking:
    """Every stake along every bay: as few as leave no gap over the limit, closer beside corner, end, tee and gate posts and where
    the apron is short, none where nothing may be driven.

    A stake goes in on the line. It keeps out of the tolerance zone of buried lines and of hard ground (rock, slab, wall, pit, deck); it is
    too short and too thin to harm roots or a footing, so trees, structures and beds don't stop it. A buried line deeper than a
    stake's reach and the line's tolerance together doesn't stop it either; that is told. It slopes square off the fence, to whichever side
    the apron lies, so it keeps as far from the zone as it reaches sideways. Two bays share the stake at a line post, and neighbours are
    looked at across the posts too. Through a hard floor no stake goes: those beside it cover it where it is narrow, else the edge is
    fastened or weighted at the wider spacing, and at every post that stands there. What was set otherwise and meets all this stays.
    Source: common practice, no source, for spacing and slope; engine.calc.cutting.run_shares for the stations.
    Valid for: any job; a gap no stake may fill is a finding.
    """
    rows = _staked_rows(job, survey, layout, fabric)
    bays = {name: bay for row in rows for name, bay in row.bays.items()}
    total = sum(row.total for row in rows)
    return Staking(
        bays=bays,
        total=total,
        fastened=sum(row.fastened for row in rows),
        spare=ceil(total * job.rules.fabric.spare_pct / 100 - ROUNDING_COUNT),
        findings=(*(finding for row in rows for finding in row.planned.gaps), *_depth_findings(job, rows)),
        items=tuple(item for row in rows for item in row.items),
    )


class _Given(NamedTuple):
    """What stakes go by besides their line: rules, fence and how wide its wire is; and areas: those with no stake in them, those
    to keep off besides as far as a stake reaches sideways, and those to pass over."""

    rules: StakeRules
    fence: Fence
    wire_width_in: float
    around: Ground | None
    beside: Ground | None
    over: Ground | None


class _PlannedRow(NamedTuple):
    """The stakes of the bays of one line as they are planned, what each goes by and what is asked of them with the columns that is made of;
    the last stake of each by the support its bay ends at, gaps that are told, and buried lines passed over with the bay."""

    stakes: Sequence[BayStakes]
    by: Sequence[tuple[BayGround, Given, Parts, Parts]]
    items: Sequence[tuple[Item, ...]]
    columns: Sequence[Sequence[object]]
    last_ft: Mapping[str, float]
    gaps: tuple[Finding, ...]
    over: tuple[tuple[str, str], ...]


class _StakedRow(NamedTuple):
    """The same as they stand, those that were set otherwise where they are."""

    bays: Mapping[str, BayStakes]
    total: int
    fastened: int
    items: tuple[Item, ...]
    planned: _PlannedRow


def _staked_rows(job: Job, survey: Survey, layout: Layout, fabric: Fabric) -> list[_StakedRow]:
    """The stakes line by line: one that begins where another ended knows the last stake there."""
    grounds = bay_grounds(survey, layout)
    areas = _areas(job.utilities, job.rules.staking, layout.keep_outs)
    given = _Given(job.rules.staking, job.fence, fabric.wire_width_in, *areas)
    driven, fastened = ticked(job.checks)
    last_ft: dict[str, float] = {}
    rows = []
    for row in bay_rows(layout, grounds):
        aprons = tuple([fabric.bays.get(bay.id) for bay in row.bays])
        dips = tuple([_dips(job, layout, apron) if apron is not None and apron.short else None for apron in aprons])
        before = tuple([last_ft.get(start.id) for start in row.starts])
        planned = _planned(given.rules, given, *row, aprons, dips, before, tuple(job.surfaces))
        names = [bay.bay for bay in planned.stakes]
        rows.append(_as_they_stand(planned, tuple([*map(driven.get, names)]), tuple([*map(fastened.get, names)])))
        last_ft |= planned.last_ft
    return rows


def _dips(job: Job, layout: Layout, apron: BayApron) -> TickFacts | None:
    """What a tick for the filling of a bay's dips is for, where there are any."""
    return _known(dip_facts(job, layout, apron)) if any(short.kind == "soil" for short in apron.short) else None


@remembered
def _known(facts: TickFacts) -> TickFacts:
    """The facts that were found before where they are the same."""
    return facts


@remembered_rows
def _planned(
    rules: StakeRules,
    given: _Given,
    bays: tuple[Bay, ...],
    starts: tuple[Stand, ...],
    ends: tuple[Stand, ...],
    grounds: tuple[BayGround | None, ...],
    aprons: tuple[BayApron | None, ...],
    dips: tuple[TickFacts | None, ...],
    before: tuple[float | None, ...],
    surfaces: tuple[str, ...],
) -> _PlannedRow:
    """The stakes of one line; `before` is the last stake of another line at each bay's start, and `surfaces` are floors by name."""
    row = BayRow(bays, starts, ends, grounds)
    around, beside, over = blocked_in(row, given.around), blocked_in(row, given.beside, reach_in(rules) / 12), blocked_in(row, given.over)
    why = {area.id: area.why for ground in (given.around, given.beside) if ground is not None for area in ground.areas}
    planned: list[BayStakes] = []
    by: list[tuple[BayGround, Given, Parts, Parts]] = []
    last_ft: dict[str, float] = {}
    gaps: list[Finding] = []
    passed: list[tuple[str, str]] = []
    for n, ground in enumerate(grounds):
        if ground is None:
            continue
        start, end = starts[n], ends[n]
        went_by = ground, (rules, start, end, aprons[n], last_ft.get(start.id, before[n])), around[n], beside[n]
        stakes, last_ft[end.id] = stakes_of(*went_by)
        planned.append(stakes)
        by.append(went_by)
        if stakes.uncovered:
            gaps.append(_gap_finding(ground, stakes, (*around[n], *beside[n]), why))
        passed += [(area.record, stakes.bay) for _, _, area in over[n]]
    supports = {one.id: one for one in (*starts, *ends)}
    stock = made_along(OfFence(given.fence, surfaces), wire_on, supports, [(bay.from_id, bay.to_id) for bay in bays])
    under = [ground is not None for ground in grounds]
    columns: list[list[object]] = [list(compress(column, under)) for column in (starts, ends, aprons, dips, stock)]
    columns += [[ground.start_ft for ground, *_ in by], [given.wire_width_in] * len(by)]
    return _PlannedRow(planned, by, _bay_items(planned, *columns), columns, last_ft, tuple(gaps), tuple(passed))


@remembered_rows
def _as_they_stand(planned: _PlannedRow, driven: tuple[Tick | None, ...], fastened: tuple[Tick | None, ...]) -> _StakedRow:
    """The stakes of one line where they were set, by what is done, or are planned."""
    made, items = planned.stakes, planned.items
    otherwise = [n for n, asked in enumerate(items) if not as_planned(asked, driven[n], fastened[n])]
    if otherwise:
        stands = {n: as_set(*planned.by[n], (made[n], driven[n], fastened[n]), items[n]) for n in otherwise}
        made = [stands.get(n, stakes) for n, stakes in enumerate(made)]
        items = _bay_items(made, *planned.columns)
    total, spots = sum(len(bay.stations_ft) for bay in made), sum(len(bay.fastened_ft) for bay in made)
    return _StakedRow({bay.bay: bay for bay in made}, total, spots, tuple(chain.from_iterable(items)), planned)


@remembered_of
def _areas(utilities: Mapping[str, Utility], rules: StakeRules, keep_outs: Iterable[KeepOut]) -> tuple[Ground | None, ...]:
    """Areas that no stake stands in, buried lines that it keeps off as far as it reaches, and those that lie deep enough to pass over."""
    around: list[KeepOut] = []
    beside: list[KeepOut] = []
    over: list[KeepOut] = []
    for area in keep_outs:
        if area.id.buried:
            utility = utilities.get(area.id.record)
            (over if utility is not None and _lies_deep(utility, rules) else beside).append(area)
        elif area.id.source not in (*_OPEN_SOURCES, "surface") and area.kind not in _OPEN_KINDS:
            around.append(area)
    return tuple([ground_of(tuple(some)) if some else None for some in (around, beside, over)])


def _lies_deep(utility: Utility, rules: StakeRules) -> bool:
    return utility.depth_in is not None and utility.depth_in > reach_in(rules) + utility.tolerance_in


def _gap_finding(ground: BayGround, stakes: BayStakes, blocked: Iterable[Part], why: Mapping[KeepOutId, str]) -> Finding:
    low, high = max(stakes.uncovered, key=lambda gap: gap[1] - gap[0])
    more = f", and in {counted(len(stakes.uncovered) - 1, 'more gap')}" if len(stakes.uncovered) > 1 else ""
    by = next(area for _, b, area in sorted(blocked) if b > low)
    span = f"{format_ft_in(ground.shown_ft(low))} to {format_ft_in(ground.shown_ft(high))}"
    says = f"Between {ground.bay.from_id} and {ground.bay.to_id} no stake goes in from {span}{more}: {why[by]}."
    return _finding("apron_unstaked", "fix", (stakes.bay,), says, "Weight the apron down there, or pin it in spots dug by hand.")


def _depth_findings(job: Job, rows: Iterable[_StakedRow]) -> Iterator[Finding]:
    """One note for each buried line that stakes are driven over because of its depth."""
    over: dict[str, list[str]] = {}
    for record, bay in (passed for row in rows for passed in row.planned.over):
        over.setdefault(record, []).append(bay)
    for record, bays in over.items():
        depth_in = job.utilities[record].depth_in or 0.0
        reach = format_in(reach_in(job.rules.staking))
        says = f"Stakes reach {reach} down over {record}, which is marked as {format_in(depth_in)} deep."
        do = "Dig by hand until its depth is seen before anything is driven over it."
        yield _finding("stakes_over_line", "note", (record, *dict.fromkeys(bays)), says, do)


@remembered_columns
def _bay_items(
    stakes: BayStakes,
    start: Stand,
    end: Stand,
    apron: BayApron | None,
    dips: TickFacts | None,
    stock: Rows,
    start_ft: float,
    wire_width_in: float,
) -> tuple[Item, ...]:
    """What is asked of a bay's stakes, each so far along from the bay's start: of wire so wide that hangs so high, and of its dips."""
    hangs = (Size("low eyes", round(apron.height_in[0] / 12, 3)), Size("wire wide", round(wire_width_in / 12, 3))) if apron else ()
    held = TickFacts((start.there, end.there), hangs, stock=stock)
    return _items(stakes.bay, _along(stakes.stations_ft, start_ft, STAKE), _along(stakes.fastened_ft, start_ft, SPOT), held, dips)


def _along(stations_ft: Sequence[float], start_ft: float, what: str) -> tuple[Size, ...]:
    return tuple([Size(f"{n}{what}", round(at_ft - start_ft, 3)) for n, at_ft in enumerate(stations_ft, 1)])


@remembered
def _items(bay: str, driven: tuple[Size, ...], fastened: tuple[Size, ...], ends: TickFacts, dips: TickFacts | None) -> tuple[Item, ...]:
    stakes, spots = counted(len(driven), "stake"), counted(len(fastened), "spot")
    flush = f"{bay}: {stakes} driven flush, so that a mower passes"
    held = f"{bay}: edge fastened to the hard floor or weighted, {spots}"
    return (
        *([_item(bay, FLUSH, flush, _counting(ends, driven, stakes))] if driven else []),
        *([_item(bay, FASTENED, held, _counting(ends, fastened, spots))] if fastened else []),
        *([_item(bay, "tight", f"{bay}: apron tight and flat", ends)] if driven or not fastened else []),
        *([_item(bay, "dips_filled", f"{bay}: dip filled", dips)] if dips else []),
    )


def _counting(ends: TickFacts, along: tuple[Size, ...], how_many: str) -> TickFacts:
    return ends._replace(sizes=(*ends.sizes, *along), words=(how_many,))


def _item(bay: str, what: str, says: str, of: TickFacts) -> Item:
    return Item(ItemKey("staking", bay, what), says, of=of)
