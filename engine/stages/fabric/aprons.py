"""The apron that the ground leaves along every bay, at every foot of the line and every break of the ground, and where it falls short."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from itertools import pairwise, repeat
from math import ceil, floor, inf
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import Profile, apron_left_in, breaks_between, height_of_chord_ft, level_at_ft, levels_along_ft
from engine.calc.large_libraries import np
from engine.calc.remember import remembered, remembered_columns
from engine.calc.tolerances import ROUNDING_IN, TAPE_IN
from engine.checklist import is_done
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.rules import FabricRules
from engine.job.model.tick_facts import SHORT, At, Size, TickFacts
from engine.stages.cables.bay_cable import BayCable
from engine.stages.fabric.bay_ground import BayGround
from engine.stages.layout.stage import Layout
from engine.stages.made_of import Fenced, Rows, made_along, stock_rows, wire_on
from engine.stages.posts.heights import BayHeight
from engine.stages.posts.standing_supports import Span, Stand, spans_of, stands_of
from engine.stages.survey.floors import RISER_FT, gaps_over_treads
from engine.stages.survey.stage import Floor


class Short(NamedTuple):
    """A stretch of a bay under the rule: from, to, and the least apron there, a hole's height where it is negative; `kind` is `soil`,
    or the hard floor it stands over."""

    from_ft: float
    to_ft: float
    least_in: float
    kind: str = "soil"


@dataclass(frozen=True)
class BayApron:
    """What the ground leaves of the wire's lower edge along one bay, at every foot, every ground break and both sides of a floor's edge.

    `stations_ft`, `ground_ft` (level underfoot), `height_in` (bottom cable over it), `apron_in` and `under` (`soil` or the hard floor)
    are parallel. On soil a negative apron is a hole of that height under the wire; on a hard floor no apron is turned, and what is left
    is cut off. `least_*` is the worst spot: the least apron, or the highest opening under the wire's edge wherever it is. `short` are
    the stretches under the rule; over steps those are treads. Stations run on past the line's ends where the bay does.
    """

    bay: str
    stations_ft: tuple[float, ...]
    ground_ft: tuple[float, ...]
    height_in: tuple[float, ...]
    apron_in: tuple[float, ...]
    under: tuple[str, ...]
    least_apron_in: float
    least_at_ft: float
    short: tuple[Short, ...]
    infill_ft: float

    @cached_property
    def told(self) -> bool:
        """Whether anything is to be told of it: it is short somewhere, or the bottom cable touches the ground."""
        return bool(self.short) or min(self.height_in) <= 0

    @property
    def hole_in(self) -> float:
        """Height of the worst hole under the wire, in; 0 where there is none that a tape shows."""
        return -self.least_apron_in if self.least_apron_in < -TAPE_IN else 0.0


class _Under(NamedTuple):
    """As much of a bay's ground as its apron hangs on."""

    start_ft: float
    end_ft: float
    underfoot: Profile
    floors: tuple[Floor, ...]


class _Hung(NamedTuple):
    """Wire as it hangs in one bay, and what the rules want of it: in, sag in ft."""

    eye_ft: float
    sag_ft: float
    wire_in: float
    fold_in: float
    apron_min_in: float
    floor_gap_in: float


def bay_aprons(
    rules: FabricRules,
    wire_in: float,
    grounds: Mapping[str, BayGround],
    hangs: Mapping[str, BayHeight],
    cables: Mapping[str, BayCable | None],
) -> dict[str, BayApron]:
    """The apron along every bay: the wire hangs plumb from the bottom cable, and what doesn't hang lies on the ground.

    The cable runs straight between the eyes, which stand at their height over the ground at both supports, less the bay's sag.
    Over a hard floor the wire is cut to the floor; over steps its edge runs straight from nosing to nosing.
    """
    along = [hangs[name] for name in grounds], [cables[name] for name in grounds]
    return dict(zip(grounds, _in_bay(repeat(rules), repeat(wire_in), grounds.values(), *along), strict=True))


@remembered_columns
def _in_bay(rules: FabricRules, wire_in: float, ground: BayGround, hang: BayHeight, cable: BayCable | None) -> BayApron:
    under = _Under(ground.start_ft, ground.end_ft, ground.underfoot, ground.floors)
    sag_ft, fold_in = cable.sag_in / 12 if cable else 0.0, min(rules.fold_in, wire_in)
    return _apron(ground.bay.id, under, _Hung(hang.eyes.low_ft, sag_ft, wire_in, fold_in, rules.apron_min_in, rules.floor_gap_in))


@remembered
def _apron(bay: str, ground: _Under, hung: _Hung) -> BayApron:
    eye_a_ft = level_at_ft(ground.underfoot, ground.start_ft) + hung.eye_ft
    eye_b_ft = level_at_ft(ground.underfoot, ground.end_ft) + hung.eye_ft
    stations = _stations(ground)
    ground_ft = levels_along_ft(ground.underfoot, stations)
    height_in = [12 * height_ft for height_ft in height_of_chord_ft(stations, ground_ft, eye_a_ft, eye_b_ft, hung.sag_ft)]
    hangs_in = apron_left_in(hung.wire_in, 0.0, hung.fold_in)
    apron_in = [hangs_in - height for height in height_in]
    under, soil_in = ("soil",) * len(stations), apron_in
    if ground.floors:
        under = tuple([_under(ground, station) for station in stations])
        soil_in = [apron if kind == "soil" else inf for apron, kind in zip(apron_in, under, strict=True)]
    least_in = min(soil_in)
    at_ft = stations[soil_in.index(least_in)]
    short: tuple[Short, ...] = ()
    if ground.floors or least_in < hung.apron_min_in:
        short = tuple(sorted([*_short(stations, apron_in, under, hung), *_treads(ground, stations, apron_in, hung)]))
    if least_in == inf:
        least_in = 0.0
    for stretch in short:
        if stretch.least_in < min(least_in, 0.0):
            least_in, at_ft = stretch.least_in, (stretch.from_ft + stretch.to_ft) / 2
    return BayApron(
        bay=bay,
        stations_ft=tuple(stations),
        ground_ft=tuple(ground_ft),
        height_in=tuple(height_in),
        apron_in=tuple(apron_in),
        under=under,
        least_apron_in=least_in,
        least_at_ft=at_ft,
        short=short,
        infill_ft=sum(stretch.to_ft - stretch.from_ft for stretch in short),
    )


def _stations(ground: _Under) -> list[float]:
    """Every foot, every break underfoot, and both sides of every edge of a floor."""
    start, end, apart_ft = ground.start_ft, ground.end_ft, RISER_FT / 4
    stations = [start, *map(float, range(floor(start) + 1, ceil(end))), *breaks_between(ground.underfoot, start, end)]
    if ground.floors:
        edges = [edge + step for one in ground.floors for edge in (one.from_ft, one.to_ft) for step in (0.0, RISER_FT)]
        stations += [edge for edge in edges if start < edge < end]
    stations.sort()
    inside = [station for before, station in pairwise(stations) if station - before > apart_ft and end - station > apart_ft]
    return [start, *inside, end]


def _under(ground: _Under, station_ft: float) -> str:
    """What a station lies on; a floor holds what follows its first edge up to its last one."""
    for one in ground.floors:
        first = one.from_ft if one.from_ft <= ground.start_ft else one.from_ft + RISER_FT / 2
        if first <= station_ft <= one.to_ft + RISER_FT / 2:
            return one.kind
    return "soil"


def _short(stations: Sequence[float], aprons: Sequence[float], under: Sequence[str], hung: _Hung) -> Iterator[Short]:
    """Stretches under the rule, straight between samples; steps are looked at tread by tread."""
    stretch: Short | None = None
    rows = zip(stations, aprons, under, strict=True)
    for (before, apron_before, kind_before), (after, apron_after, kind) in pairwise(rows):
        wanted_in = hung.apron_min_in if kind == "soil" else -hung.floor_gap_in
        if kind != kind_before or kind == "steps" or min(apron_before, apron_after) >= wanted_in - ROUNDING_IN:
            continue
        crosses = max(apron_before, apron_after) > wanted_in
        edge = before + (after - before) * (wanted_in - apron_before) / (apron_after - apron_before) if crosses else 0.0
        low = edge if apron_before > wanted_in else before
        high = edge if apron_after > wanted_in else after
        if stretch is not None and stretch.to_ft >= low:
            stretch = Short(stretch.from_ft, high, min(stretch.least_in, apron_after), kind)
            continue
        if stretch is not None:
            yield stretch
        stretch = Short(low, high, min(apron_before, apron_after), kind)
    if stretch is not None:
        yield stretch


def _treads(ground: _Under, stations: Sequence[float], aprons: Sequence[float], hung: _Hung) -> Iterator[Short]:
    """Treads over which the wire's edge stands higher than the rule: it runs along the nosings, or hangs over them."""
    for steps in (one for one in ground.floors if one.kind == "steps"):
        for low, high, level, line_low, line_high in gaps_over_treads(steps):
            here = max(low, ground.start_ft), min(high, ground.end_ft)
            if here[1] - here[0] <= RISER_FT:
                continue
            line_in = 12 * (np.interp(here, (low, high), (line_low, line_high)) - level)
            wire_in = -np.interp([here[0] + RISER_FT, here[1] - RISER_FT], stations, aprons)
            gap_in = float(np.max(np.maximum(line_in, wire_in)))
            if gap_in > hung.floor_gap_in + ROUNDING_IN:
                yield Short(*here, -gap_in, "steps")


@dataclass(frozen=True)
class Filled:
    """Bays whose short apron the crew has answered for: with an infill piece ringed in, or with the dip filled."""

    ringed: frozenset[str]
    dug: frozenset[str]

    def __contains__(self, bay: object) -> bool:
        """Whether a bay is answered for either way."""
        return bay in self.ringed or bay in self.dug


def filled(job: Job, layout: Layout, aprons: Mapping[str, BayApron]) -> Filled:
    """What the crew's ticks still answer for: a dip that has grown since is open again."""

    keys = _asked(aprons)
    ringed, dug = ([both[at] for both in keys if both[at] in job.checks] for at in (0, 1))
    stands = stands_of(layout)
    of_rings = infill_facts(job, stands, spans_of(layout), [aprons[key.subject] for key in ringed])
    of_dips = _facts(stands, spans_of(layout), [aprons[key.subject] for key in dug], repeat(stock_rows()))

    def standing(ticked: Sequence[ItemKey], facts: Sequence[TickFacts]) -> frozenset[str]:
        rows = zip(ticked, facts, strict=True)
        return frozenset(key.subject for key, of in rows if is_done(job.checks, key, of, layout.stood))

    return Filled(standing(ringed, of_rings), standing(dug, of_dips))


@remembered_columns
def _asked(bay: str) -> tuple[ItemKey, ItemKey]:
    """What may be ticked of a short apron: a piece ringed in, and the dip filled."""
    return ItemKey("fabric", bay, "infill"), ItemKey("staking", bay, "dips_filled")


def dip_facts(_job: Job, layout: Layout, bay: BayApron) -> TickFacts:
    """What a tick for the filling under a bay's short apron is made for: its supports, how long it is short, the least there and where."""
    return _facts(stands_of(layout), spans_of(layout), [bay], [stock_rows()])[0]


def infill_facts(job: Fenced, stands: Mapping[str, Stand], bays: Mapping[str, Span], aprons: Collection[BayApron]) -> list[TickFacts]:
    """The same of pieces ringed in, which are of the wire and hang with it."""
    ends = [(bay.from_id, bay.to_id) for bay in (bays[apron.bay] for apron in aprons)]
    return _facts(stands, bays, aprons, made_along(job, wire_on, stands, ends))


def _facts(stands: Mapping[str, Stand], bays: Mapping[str, Span], aprons: Collection[BayApron], stock: Iterable[Rows]) -> list[TickFacts]:
    ends = [bays[apron.bay] for apron in aprons]
    return _short_facts(aprons, [stands[bay.from_id].there for bay in ends], [stands[bay.to_id].there for bay in ends], stock)


@remembered_columns
def _short_facts(bay: BayApron, start: At, end: At, stock: Rows) -> TickFacts:
    along = [Size(f"{n}{SHORT}", round(short.from_ft - bay.stations_ft[0], 3)) for n, short in enumerate(bay.short, 1)]
    return TickFacts((start, end), (Size("short", bay.infill_ft), Size("least", bay.least_apron_in / 12), *along), stock=stock)
