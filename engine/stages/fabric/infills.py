"""Infill: pieces of wire ringed in where the apron falls short or the edge stands over a hard floor, and how they are slit."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import ceil
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.phrases import counted
from engine.calc.tolerances import ROUNDING_IN, TAPE_IN
from engine.findings import Finding, FindingOf, Level
from engine.job.model.job import Job
from engine.job.model.rules import FabricRules
from engine.job.model.tick_facts import TAKEN, Size, TickFacts
from engine.stages.fabric.aprons import BayApron, Filled, Short
from engine.stages.fabric.bay_ground import BayGround
from engine.stages.fabric.under_decks import UnderDeck

_finding = FindingOf("fabric")

UNDER = "under deck"
_LONG, _WIDE = f" long{TAKEN}", f" wide{TAKEN}"


class StripNumber(NamedTuple):
    """A strip of the roll, counted from 1."""

    number: int

    def __str__(self) -> str:
        return f"strip {self.number}"


class WireCut(NamedTuple):
    """What a piece takes of a strip of the roll: how long, ft, those that lie side by side one after the other, and how wide, in."""

    long_ft: float
    wide_in: float


@dataclass(frozen=True)
class Infill:
    """One piece to ring in: where it goes, its size in whole inches, and the strip of the roll it is cut from.

    `open_in` is the height of the hole it closes, 0 where only the apron is short; `count` pieces of `width_in` lie side by side where one
    roll isn't wide enough. `over` is `soil`, the hard floor, or `under deck`, where the piece hangs from a deck's rim and `bay` is that
    deck.
    """

    id: str
    bay: str
    start_ft: float
    length_ft: float
    width_in: float
    count: int
    open_in: float
    over: str
    strip: StripNumber

    @property
    def cut(self) -> WireCut:
        """What it takes of its strip."""
        return WireCut(self.length_ft * self.count, self.width_in)

    @property
    def ticked_as(self) -> str:
        """What its item is called: `fabric.BAY.infill`, or `fabric.DECK.under_closed`."""
        return "under_closed" if self.over == UNDER else "infill"


@dataclass(frozen=True)
class _Size:
    bay: str
    short: Short
    length_ft: float
    width_in: float
    count: int

    @property
    def cut(self) -> WireCut:
        """What it takes of a strip."""
        return WireCut(self.length_ft * self.count, self.width_in)


def infill_pieces(
    job: Job, aprons: Mapping[str, BayApron], filled: Filled, decks: Iterable[UnderDeck], wire_in: float, narrow: frozenset[str]
) -> tuple[Infill, ...]:
    """Every piece that closes a short apron, a hole or a gap over a floor, with the strip it is slit from.

    A piece laps the wire (or a deck's rim) by the lap rule, closes the hole, and lies on soil as wide as the apron rule wants. Pieces are
    laid side by side across the roll, the longest first, each in the first strip that has room for its width.
    `narrow` are bays where the wire is too narrow all along, so that only holes are told; a bay whose dip was filled takes none.
    Source: common practice, no source, for lap and apron; derived: first fit by falling length.
    """
    rules = job.rules.fabric
    sizes = [
        _size(rules, name, short, wire_in)
        for name, apron in aprons.items()
        if name in filled.ringed or name not in filled.dug
        for short in _ringed_in(apron, narrow=name in narrow)
    ]
    sizes += [_size(rules, deck.deck, short, wire_in) for deck in decks for short in _hung_under(deck)]
    strips = strips_of([one.cut for one in sizes], wire_in)
    return tuple(
        Infill(
            f"I{n + 1}", one.bay, one.short.from_ft, one.length_ft, one.width_in, one.count, max(0.0, -one.short.least_in), one.short.kind,
            strips[n],
        )
        for n, one in enumerate(sizes)
    )  # fmt: skip


def _ringed_in(apron: BayApron, *, narrow: bool) -> Iterator[Short]:
    """Stretches of a bay that take a piece: of wire that is too narrow all along only the holes under it."""
    return (short for short in apron.short if short.least_in < 0 or not narrow)


def _hung_under(deck: UnderDeck) -> Iterator[Short]:
    """The opening under a deck that takes a piece: one whose width is known."""
    if deck.width_ft > 0:
        yield Short(deck.from_ft, deck.to_ft, -deck.height_in, UNDER)


def taken_in_bay(rules: FabricRules, apron: BayApron, wire_in: float, *, narrow: bool) -> tuple[Size, ...]:
    """What the pieces of a bay take of the wire, as their tick says it."""
    return _taken(_size(rules, apron.bay, short, wire_in) for short in _ringed_in(apron, narrow=narrow))


def taken_under(rules: FabricRules, decks: Iterable[UnderDeck], wire_in: float) -> dict[str, tuple[Size, ...]]:
    """The same of what closes each deck."""
    found: dict[str, list[_Size]] = {}
    for deck in decks if wire_in else ():
        found.setdefault(deck.deck, []).extend(_size(rules, deck.deck, short, wire_in) for short in _hung_under(deck))
    return {name: _taken(sizes) for name, sizes in found.items()}


def _taken(sizes: Iterable[_Size]) -> tuple[Size, ...]:
    cuts = enumerate([one.cut for one in sizes], 1)
    return tuple(size for n, cut in cuts for size in (Size(f"{n}{_LONG}", cut.long_ft), Size(f"{n}{_WIDE}", cut.wide_in / 12)))


def cuts_said(of: TickFacts) -> list[WireCut]:
    """What the pieces took that a tick was made for; their widths are whole inches."""
    long_ft, wide_ft = ([size.value for size in of.sizes if size.name.endswith(end)] for end in (_LONG, _WIDE))
    return [WireCut(long, float(round(12 * wide))) for long, wide in zip(long_ft, wide_ft, strict=False)]


def _size(rules: FabricRules, bay: str, short: Short, wire_in: float) -> _Size:
    wanted_in = wanted_width_in(rules, short)
    count = ceil(wanted_in / wire_in)
    return _Size(bay, short, _whole_in(12 * (short.to_ft - short.from_ft)) / 12, min(wanted_in, wire_in), count)


def wanted_width_in(rules: FabricRules, short: Short) -> float:
    """Width of the piece a short stretch takes: lap, hole, and on soil the apron. Source: common practice, no source."""
    return _whole_in(rules.lap_in + (rules.apron_min_in if short.kind in ("soil", UNDER) else 0.0) - short.least_in)


def _whole_in(length_in: float) -> float:
    return float(ceil(length_in - ROUNDING_IN))


def strips_of(cuts: Sequence[WireCut], wire_in: float) -> list[StripNumber]:
    """The strip that each is slit from, in whatever order they are given: the longest and widest first, each from the first strip that has
    room for its width."""
    room_in: list[float] = []
    found = dict.fromkeys(range(len(cuts)), StripNumber(1))
    for n in sorted(found, key=lambda n: (-cuts[n].long_ft, -cuts[n].wide_in)):
        strip = next((place for place, room in enumerate(room_in) if room >= cuts[n].wide_in), len(room_in))
        if strip == len(room_in):
            room_in.append(wire_in)
        room_in[strip] -= cuts[n].wide_in
        found[n] = StripNumber(strip + 1)
    return list(found.values())


def strip_cuts(cuts: Sequence[WireCut], strips: Sequence[StripNumber]) -> dict[StripNumber, float]:
    """Length of every strip to cut from the roll: its longest piece, as often as that lies side by side."""
    long_ft: dict[StripNumber, float] = {}
    for cut, strip in zip(cuts, strips, strict=True):
        long_ft[strip] = max(long_ft.get(strip, 0.0), cut.long_ft)
    return dict(sorted(long_ft.items()))


def apron_findings(
    job: Job, grounds: Mapping[str, BayGround], aprons: Mapping[str, BayApron], filled: Filled, narrow: frozenset[str]
) -> Iterator[Finding]:
    """Holes under the wire, aprons under the rule, gaps over floors and treads, and cables that touch the ground; a bay that was filled is
    left out."""
    for name, apron in [(name, apron) for name, apron in aprons.items() if apron.told]:
        ground = grounds[name]
        for kind in dict.fromkeys(short.kind for short in apron.short):
            short = [one for one in apron.short if one.kind == kind]
            if name not in filled and (min(one.least_in for one in short) < 0 or name not in narrow):
                yield _soil_finding(job, ground, apron, short) if kind == "soil" else _floor_finding(job, ground, short)
        if min(apron.height_in) <= 0:
            at = format_ft_in(ground.shown_ft(apron.stations_ft[apron.height_in.index(min(apron.height_in))]))
            says = f"{_between(ground)} the bottom cable touches the ground at {at}."
            yield _finding("cable_on_ground", "fix", (name,), says, "Dig it down by hand, or see what a post on the hump would do.")


def _between(ground: BayGround) -> str:
    return f"Between {ground.bay.from_id} and {ground.bay.to_id}"


def _soil_finding(job: Job, ground: BayGround, apron: BayApron, shorts: list[Short]) -> Finding:
    rules = job.rules.fabric
    worst = min(shorts, key=lambda short: short.least_in)
    more = f"; {len(shorts) - 1} more like it in this bay" if len(shorts) > 1 else ""
    at_ft = min((left, at) for left, at, on in zip(apron.apron_in, apron.stations_ft, apron.under, strict=True) if on == "soil")[1]
    at = format_ft_in(ground.shown_ft(at_ft))
    do = f"{_ring_in(rules, ground, worst)}, or fill the dip."
    if worst.least_in < -TAPE_IN:
        says = f"{_between(ground)} the wire hangs {format_in(-worst.least_in)} over the ground at {at}{more}."
        return _finding("hole_under_wire", "stop", (apron.bay,), says, do)
    says = f"{_between(ground)} the apron is {format_in(worst.least_in)} at {at}, under the {format_in(rules.apron_min_in)} rule{more}."
    return _finding("apron_short", "fix", (apron.bay,), says, do)


def _floor_finding(job: Job, ground: BayGround, shorts: list[Short]) -> Finding:
    worst = min(shorts, key=lambda short: short.least_in)
    kind, gap = worst.kind, format_in(-worst.least_in)
    level: Level = "stop" if -worst.least_in > job.rules.gate.bottom_gap_max_in else "fix"
    ring_in = _ring_in(job.rules.fabric, ground, worst)
    if kind == "steps":
        count = len(shorts)
        says = f"{_between(ground)} the straight edge of the wire stands up to {gap} over {counted(count, 'tread')}."
        pieces = f"{ring_in[0].lower()}{ring_in[1:]}" + (f", {count} of them, one per tread" if count > 1 else "")
        return _finding("gap_over_treads", level, (ground.bay.id,), says, f"Cut the wire to every tread; where it is too short, {pieces}.")
    says = f"{_between(ground)} the wire ends {gap} over the {kind}; the rule is {format_in(job.rules.fabric.floor_gap_in)}."
    return _finding("gap_over_floor", level, (ground.bay.id,), says, f"{ring_in}, or hang the bottom cable lower there.")


def _ring_in(rules: FabricRules, ground: BayGround, short: Short) -> str:
    long = format_ft_in(_whole_in(12 * (short.to_ft - short.from_ft)) / 12, 1)
    wide = format_in(wanted_width_in(rules, short), 1)
    return f"Ring in an infill piece {long} long and {wide} wide from {format_ft_in(ground.shown_ft(short.from_ft), 1)}"
