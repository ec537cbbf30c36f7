"""Stage 7, staking: where every stake through the apron goes, and where none may.

Limits: spacing along the lower edge of the wire and a share more on slopes; what a stake holds in the soil isn't worked out.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain, pairwise
from math import ceil, inf

from engine.calc.cutting.run_shares import even_stations_ft, stake_stations_ft
from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.phrases import counted
from engine.calc.remember import remembered, remembered_rows
from engine.calc.tolerances import EDGE_FT, ROUNDING_COUNT, ROUNDING_FT
from engine.checklist import Item
from engine.findings import Finding, FindingOf
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.rules import StakeRules
from engine.job.model.site import Utility
from engine.job.model.tick_facts import Size, TickFacts
from engine.stages.fabric.aprons import BayApron, dip_facts
from engine.stages.fabric.bay_ground import BayGround, bay_grounds
from engine.stages.fabric.stage import Fabric
from engine.stages.layout.keep_outs import KeepOutId, merged
from engine.stages.layout.stage import KeepOut, Layout, Support
from engine.stages.made_of import wire_on
from engine.stages.staking.no_stakes import Part, Stopped, Stretch, blocked_in, past_ends, reach_in, stopped
from engine.stages.survey.stage import Survey

_finding = FindingOf("staking")

READS = ("rules", "fence", "surfaces", "utilities")

_OPEN_SOURCES = ("tree", "structure", "sleeve")
_OPEN_KINDS = ("roots", "bed")


@dataclass(frozen=True)
class BayStakes:
    """Stake stations of one bay on its line; `fastened_ft` are spots where the edge is fastened to a hard floor, or weighted, instead;
    `uncovered` are gaps over the limit that a keep-out leaves: (from, to)."""

    bay: str
    stations_ft: tuple[float, ...]
    uncovered: tuple[tuple[float, float], ...]
    blocked_by: tuple[KeepOutId, ...]
    fastened_ft: tuple[float, ...] = ()


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
    fastened or weighted at the wider spacing, and at every post that stands there.
    Source: common practice, no source, for spacing and slope; engine.calc.cutting.run_shares for the stations.
    Valid for: any job; a gap no stake may fill is a finding.
    """
    grounds = bay_grounds(survey, layout)
    areas, passed = _areas(job, layout.keep_outs)
    blocked, crossed = stopped(job.rules.staking, layout, grounds, areas), blocked_in(layout, grounds, passed)
    bays: dict[str, BayStakes] = {}
    last_ft: dict[str, float] = {}
    for name, ground in grounds.items():
        start, end = layout.supports[ground.bay.from_id], layout.supports[ground.bay.to_id]
        given = (job.rules.staking, start, end, fabric.bays.get(name), last_ft.get(start.id))
        bays[name], last_ft[end.id] = _stakes(ground, given, *blocked.get(name, ((), ())))
    total = sum(len(bay.stations_ft) for bay in bays.values())
    return Staking(
        bays=bays,
        total=total,
        fastened=sum(len(bay.fastened_ft) for bay in bays.values()),
        spare=ceil(total * job.rules.fabric.spare_pct / 100 - ROUNDING_COUNT),
        findings=(*_gap_findings(grounds, bays, blocked, layout.keep_outs), *_depth_findings(job, crossed)),
        items=tuple(
            item
            for bay in bays.values()
            for item in _items(bay.bay, len(bay.stations_ft), len(bay.fastened_ft), *_facts(job, layout, fabric, bay.bay))
        ),
    )


def _areas(job: Job, keep_outs: Iterable[KeepOut]) -> tuple[list[KeepOut], list[KeepOut]]:
    """Keep-outs that stop a stake, and buried lines that lie deep enough to pass over."""
    stop, passed = [], []
    for area in keep_outs:
        utility = job.utilities.get(area.id.record) if area.id.buried else None
        if utility is not None and _lies_deep(utility, job.rules.staking):
            passed.append(area)
        elif area.id.source not in (*_OPEN_SOURCES, "surface") and area.kind not in _OPEN_KINDS:
            stop.append(area)
    return stop, passed


def _lies_deep(utility: Utility, rules: StakeRules) -> bool:
    return utility.depth_in is not None and utility.depth_in > reach_in(rules) + utility.tolerance_in


@remembered_rows
def _stakes(
    ground: BayGround,
    given: tuple[StakeRules, Support, Support, BayApron | None, float | None],
    others: tuple[Part, ...],
    zones: tuple[Part, ...],
) -> tuple[BayStakes, float]:
    """The stakes of a bay after another, whose last stake is given, and the last of it."""
    rules, start, end, apron, last_ft = given
    dips = tuple((short.from_ft, short.to_ft) for short in apron.short if short.kind == "soil") if apron else ()
    floors = tuple((*past_ends(one.from_ft, one.to_ft, ground), KeepOutId("surface", one.surface)) for one in ground.floors)
    firm = (start.kind != "line", end.kind != "line")
    parts = tuple(sorted([*others, *zones]))
    stakes = _bay_stakes(rules, ground.bay.id, (ground.start_ft, ground.end_ft), firm, parts, dips, floors)
    stakes = _across_post(rules, stakes, -inf if last_ft is None else last_ft, ground.start_ft)
    own = _without_shared(stakes, start, inf if last_ft is None else last_ft)
    return own, max((*stakes.stations_ft, *stakes.fastened_ft), default=inf)


def _bay_stakes(
    rules: StakeRules,
    bay: str,
    ends: Stretch,
    firm: tuple[bool, bool],
    parts: tuple[Part, ...],
    dips: tuple[Stretch, ...],
    floors: tuple[Part, ...],
) -> BayStakes:
    """The stakes of a bay; `firm` is whether the support at either end is more than a line post."""
    (start, end), most = ends, rules.stake_max_ft
    blocked = merged((low, high, 0) for low, high, _ in sorted([*parts, *floors]))
    wanted = [*dips]
    if firm[0]:
        wanted.append((start, start + most))
    if firm[1]:
        wanted.append((end - most, end))
    close, asked = _close_stretches(wanted, blocked, start, end), _close_stretches(wanted, (), start, end)
    edges = sorted({start, end, *(edge for stretch in close for edge in stretch)})
    stations: set[float] = set()
    fastened: set[float] = set()
    uncovered: list[Stretch] = []
    for low, high in pairwise(edges):
        limit = min(most, rules.stake_close_ft) if any(a <= low and high <= b for a, b in close) else most
        stakes = stake_stations_ft(low, high, limit, blocked)
        stations.update(stakes.stations_ft)
        for gap in stakes.uncovered:
            spots = _fastened(gap, floors, most)
            fastened.update(spots)
            uncovered += _still_open(gap, spots, floors, rules, asked)
    fastened.update(at for at in ends if any(low < at < high for low, high, _ in floors))
    by = tuple(dict.fromkeys(area for _, _, area in (*parts, *floors)))
    return BayStakes(bay, tuple(sorted(stations)), tuple(uncovered), by, tuple(sorted(fastened - stations)))


def _fastened(gap: Stretch, floors: Iterable[Part], most_ft: float) -> tuple[float, ...]:
    """Spots on the floors inside a gap, shared evenly, both edges of each included."""
    inside = ((max(gap[0], low), min(gap[1], high)) for low, high, _ in floors)
    return tuple(spot for low, high in inside if high - low > EDGE_FT for spot in even_stations_ft(low, high, most_ft))


def _still_open(
    gap: Stretch, spots: Sequence[float], floors: Iterable[Part], rules: StakeRules, close: Sequence[Stretch]
) -> Iterator[Stretch]:
    """What of a gap is wider than the limit once its floors are fastened. The closer limit holds for as much of it as lies where stakes are
    wanted closer, and on no floor."""
    for low, high in pairwise((gap[0], *spots, gap[1])):
        on_floor = any(a - ROUNDING_FT <= low and high <= b + ROUNDING_FT for a, b, _ in floors)
        in_close_ft = 0.0 if on_floor else sum(max(0.0, min(high, b) - max(low, a)) for a, b in close)
        if high - low > rules.stake_max_ft + ROUNDING_FT or in_close_ft > rules.stake_close_ft + ROUNDING_FT:
            yield low, high


def _close_stretches(wanted: Iterable[Stretch], blocked: Sequence[Stretch], start: float, end: float) -> list[Stretch]:
    """Stretches staked closer, each carried on to the far edge of blocked ground that it ends in, joined where they meet."""
    joined: list[Stretch] = []
    for low, high in sorted(wanted):
        low = min([low, *(a for a, b in blocked if a < low < b)])
        high = max([high, *(b for a, b in blocked if a < high < b)])
        low, high = start if low < start + ROUNDING_FT else low, end if high > end - ROUNDING_FT else high
        if joined and low <= joined[-1][1] + ROUNDING_FT:
            joined[-1] = (joined[-1][0], max(high, joined[-1][1]))
        elif high > low + ROUNDING_FT:
            joined.append((low, high))
    return joined


def _across_post(rules: StakeRules, stakes: BayStakes, before_ft: float, start_ft: float) -> BayStakes:
    """The stakes with the gap across the post they begin at, where neither bay has one near enough to it."""
    first_ft = min((*stakes.stations_ft, *stakes.fastened_ft), default=inf)
    if not start_ft - rules.stake_max_ft <= before_ft <= start_ft <= first_ft <= start_ft + rules.stake_max_ft:
        return stakes
    if first_ft - before_ft <= rules.stake_max_ft + ROUNDING_FT:
        return stakes
    return replace(stakes, uncovered=((before_ft, first_ft), *stakes.uncovered))


def _without_shared(stakes: BayStakes, post: Support, shared: float) -> BayStakes:
    """The stakes without the first, where it is the last of the bay before at a line post; so too spots that are fastened."""
    if post.kind != "line":
        return stakes
    stations, fastened = (tuple(at for at in row if abs(at - shared) > ROUNDING_FT) for row in (stakes.stations_ft, stakes.fastened_ft))
    return (
        stakes
        if len(stations) == len(stakes.stations_ft) and len(fastened) == len(stakes.fastened_ft)
        else replace(stakes, stations_ft=stations, fastened_ft=fastened)
    )


def _gap_findings(
    grounds: Mapping[str, BayGround], bays: Mapping[str, BayStakes], blocked: Mapping[str, Stopped], keep_outs: Iterable[KeepOut]
) -> Iterator[Finding]:
    why = {area.id: area.why for area in keep_outs}
    for name, bay in bays.items():
        if not bay.uncovered:
            continue
        ground = grounds[name]
        low, high = max(bay.uncovered, key=lambda gap: gap[1] - gap[0])
        more = f", and in {counted(len(bay.uncovered) - 1, 'more gap')}" if len(bay.uncovered) > 1 else ""
        by = next(area for _, b, area in sorted(chain(*blocked[name])) if b > low)
        span = f"{format_ft_in(ground.shown_ft(low))} to {format_ft_in(ground.shown_ft(high))}"
        says = f"Between {ground.bay.from_id} and {ground.bay.to_id} no stake goes in from {span}{more}: {why[by]}."
        do = "Weight the apron down there, or pin it in spots dug by hand."
        yield _finding("apron_unstaked", "fix", (name,), says, do)


def _depth_findings(job: Job, crossed: Mapping[str, Sequence[Part]]) -> Iterator[Finding]:
    """One note for each buried line that stakes are driven over because of its depth."""
    over: dict[str, list[str]] = {}
    for bay, parts in crossed.items():
        for _, _, area in parts:
            over.setdefault(area.record, []).append(bay)
    for record, bays in over.items():
        depth_in = job.utilities[record].depth_in or 0.0
        reach = format_in(reach_in(job.rules.staking))
        says = f"Stakes reach {reach} down over {record}, which is marked as {format_in(depth_in)} deep."
        do = "Dig by hand until its depth is seen before anything is driven over it."
        yield _finding("stakes_over_line", "note", (record, *dict.fromkeys(bays)), says, do)


def _facts(job: Job, layout: Layout, fabric: Fabric, bay: str) -> tuple[TickFacts, TickFacts | None]:
    """What a bay's stakes are for, wire so wide that hangs so high, and its dips where there are any."""
    apron, ends = fabric.bays.get(bay), layout.bays[bay]
    dips = apron is not None and any(short.kind == "soil" for short in apron.short)
    hangs = (Size("low eyes", apron.height_in[0] / 12), Size("wire wide", fabric.wire_width_in / 12)) if apron is not None else ()
    stock = wire_on(job, (layout.supports[ends.from_id], layout.supports[ends.to_id]))
    held = TickFacts(layout.places(ends.from_id, ends.to_id), hangs, stock=stock)
    return held, dip_facts(job, layout, apron) if apron is not None and dips else None


@remembered
def _items(bay: str, count: int, fastened: int, ends: TickFacts, dips: TickFacts | None) -> tuple[Item, ...]:
    stakes, spots = counted(count, "stake"), counted(fastened, "spot")
    held = f"{bay}: edge fastened to the hard floor or weighted, {spots}"
    return (
        *([_item(bay, "flush", f"{bay}: {stakes} driven flush, so that a mower passes", _counting(ends, stakes))] if count else []),
        *([_item(bay, "fastened", held, _counting(ends, spots))] if fastened else []),
        *([_item(bay, "tight", f"{bay}: apron tight and flat", ends)] if count or not fastened else []),
        *([_item(bay, "dips_filled", f"{bay}: dip filled", dips)] if dips else []),
    )


def _counting(ends: TickFacts, how_many: str) -> TickFacts:
    return ends._replace(words=(how_many,))


def _item(bay: str, what: str, says: str, of: TickFacts) -> Item:
    return Item(ItemKey("staking", bay, what), says, of=of)
