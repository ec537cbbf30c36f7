"""Wire and mesh of one part of the fence: the apron in every bay, the pieces of every loop, and what both ask of the crew."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain, repeat
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in
from engine.calc.remember import ByParts, remembered, remembered_columns, remembered_of, remembered_parts
from engine.checklist import Item
from engine.job.model.fence import Fence
from engine.job.model.item_key import ItemKey
from engine.job.model.rules import FabricRules
from engine.job.model.tick_facts import APART, CUT_TO, RINGS, SPLICES_APART, TIES, At, Size, TickFacts
from engine.stages.cables.bay_cable import BayCable
from engine.stages.cables.cable_loop import Loop
from engine.stages.cables.fence_parts import lines_that_meet
from engine.stages.cables.stage import Cables
from engine.stages.fabric.aprons import BayApron, bay_aprons, infill_facts
from engine.stages.fabric.bay_ground import BayGround
from engine.stages.fabric.infills import taken_in_bay
from engine.stages.fabric.loop_fabric import CutFabric, FabricRoll, LoopFabric, cut_fabric
from engine.stages.fabric.slits import hung_wires, slit_round
from engine.stages.layout.keep_outs import KeepOut
from engine.stages.layout.stage import Layout
from engine.stages.made_of import Carrier, Fenced, Rows, fabric_on, made_along, mesh_on, wire_on
from engine.stages.posts.depths import EyeHeights
from engine.stages.posts.heights import BayHeight
from engine.stages.posts.stage import Posts
from engine.stages.posts.standing_supports import Span, Stand, spans_of, stands_of


@dataclass(frozen=True)
class FabricPart:
    """A part of the fence that hangs together: its supports, its bays with their heights, cables and ground, without gates and lines that
    weren't surveyed, and its loops."""

    supports: Mapping[str, Stand]
    bays: Mapping[str, Span]
    hangs: Mapping[str, BayHeight]
    cables: Mapping[str, BayCable | None]
    grounds: Mapping[str, BayGround]
    loops: Mapping[str, Loop]

    def __iter__(self) -> Iterator[object]:
        """All that tells it from another."""
        return chain.from_iterable(map(dict.values, vars(self).values()))


class FabricBasis(NamedTuple):
    """What the fabric of all parts is worked out by; `rocks` are what it is slit round."""

    rules: FabricRules
    fence: Fence
    surfaces: tuple[str, ...]
    wire: FabricRoll
    mesh: FabricRoll
    rocks: tuple[KeepOut, ...]


fabric_basis = remembered_of(FabricBasis)


class HungFabric(NamedTuple):
    """The apron of every bay, also as level ground would leave it, in; the pieces of every loop and what it asks; and what is asked of bays
    without cables."""

    aprons: Mapping[str, BayApron]
    level_in: Mapping[str, float]
    cuts: Mapping[str, CutFabric]
    items: Mapping[str, tuple[Item, ...]]
    infills: Mapping[str, Item]


def fabric_parts(layout: Layout, posts: Posts, cables: Cables, grounds: Mapping[str, BayGround]) -> list[FabricPart]:
    """A fence by its parts, each in layout order."""
    parts, stands, spans = [], stands_of(layout), spans_of(layout)
    for lines in lines_that_meet(layout):
        bays = [name for line in lines for name in layout.lines[line].bays]
        part = FabricPart(
            supports={name: stands[name] for line in lines for name in layout.lines[line].supports},
            bays={name: spans[name] for name in bays},
            hangs={name: posts.hangs[name] for name in bays},
            cables={name: cables.bays.get(name) for name in bays},
            grounds={name: grounds[name] for name in bays if name in grounds},
            loops={name: loop for name, loop in cables.loops.items() if loop.line in lines},
        )
        parts.append(part)
    return parts


@remembered_parts
def hung_fabric(basis: FabricBasis, part: FabricPart) -> HungFabric:
    """Wire and mesh of one part."""
    level = _level_aprons_in(repeat(basis.rules), repeat(basis.wire), [part.hangs[name] for name in part.grounds])
    level_in = dict(zip(part.grounds, level, strict=True))
    aprons = bay_aprons(basis.rules, basis.wire.width_in, part.grounds, part.hangs, part.cables) if basis.wire.width_in else {}
    cuts = _cuts(basis, part)
    short = {name: apron for name, apron in aprons.items() if apron.short}
    facts = infill_facts(basis, part.supports, part.bays, short.values())
    narrow = [level_in[name] < basis.rules.apron_min_in for name in short]
    asked = _infill_items(repeat(basis.rules), short.values(), facts, repeat(basis.wire), narrow)
    infills = dict(zip(short, asked, strict=True))
    in_loops = {name for loop in part.loops.values() for name in loop.bays}
    items = _items(basis, part, cuts, level_in, infills)
    return HungFabric(aprons, level_in, cuts, items, {name: item for name, item in infills.items() if name not in in_loops})


@remembered_columns
def _level_aprons_in(rules: FabricRules, wire: FabricRoll, hang: BayHeight) -> float:
    """What level ground would leave of the wire in a bay, from the bottom eye as high as it is there."""
    return wire.width_in - rules.fold_in - 12 * hang.eyes.low_ft


def _cuts(basis: FabricBasis, part: FabricPart) -> dict[str, CutFabric]:
    loops = part.loops.values()
    firm = {name for name, support in part.supports.items() if support.kind != "line"}
    cut = cut_fabric(
        repeat(basis.rules),
        repeat(basis.wire),
        repeat(basis.mesh),
        loops,
        [part.hangs[loop.bays[0]] for loop in loops],  # a loop keeps to one height
        _laps([loop.supports for loop in loops]),
        [len(firm.intersection(loop.supports)) for loop in loops],
        ByParts([[part.bays[bay] for bay in loop.bays] for loop in loops]),
        ByParts([[part.grounds[bay].along_ft if bay in part.grounds else None for bay in loop.bays] for loop in loops]),
    )
    return dict(zip(part.loops, cut, strict=True))


def _laps(rows: Iterable[Sequence[str]]) -> list[int]:
    """Ends of each loop whose fabric laps that of a loop before it, at a support of both."""
    seen: set[str] = set()
    laps = []
    for row in rows:
        first, last = row[0], row[-1]
        laps.append((first in seen) + (last in seen) + (first == last))
        seen.update((first, last))
    return laps


def _items(
    basis: FabricBasis, part: FabricPart, cuts: Mapping[str, CutFabric], level_in: Mapping[str, float], infills: Mapping[str, Item]
) -> dict[str, tuple[Item, ...]]:
    """What every loop asks."""
    loops, supports = part.loops.values(), part.supports
    rows = [[supports[name] for name in loop.supports] for loop in loops]
    wires = hung_wires([level_in.get(loop.bays[0], 0.0) for loop in loops], [[stand.xy for stand in row] for row in rows])
    items = _loop_items(
        [cuts[name].fabric for name in part.loops],
        [part.hangs[loop.bays[0]].eyes for loop in loops],
        *(repeat(_wide(roll.word, roll.width_in)) for roll in (basis.wire, basis.mesh)),
        repeat(_rings_apart(basis.rules)),
        ByParts(made_along(basis, _hung_on_each, supports, [loop.supports for loop in loops])),
        slit_round(basis.rocks, dict(zip(part.loops, wires, strict=True))).values(),
        ByParts([[stand.there for stand in row] for row in rows]),
        ByParts([[infills[bay] for bay in loop.bays if bay in infills] for loop in loops]),
    )
    return dict(zip(part.loops, items, strict=True))


def _hung_on_each(basis: Fenced, supports: Iterable[Carrier]) -> tuple[Rows, Rows, Rows]:
    """Of what wire, mesh and both are made with what they hang on."""
    row = tuple(supports)
    return wire_on(basis, row), mesh_on(basis, row), fabric_on(basis, row)


@remembered_of
def _rings_apart(rules: FabricRules) -> tuple[Size, Size, Size, Size]:
    """How far apart rings may be along the cables, the seam and splices."""
    cable, mesh = Size(f"cable rings{APART}", rules.ring_cable_ft), Size(f"mesh rings{APART}", rules.ring_mesh_ft)
    return cable, mesh, Size(f"seam rings{APART}", rules.ring_seam_ft), Size(SPLICES_APART, rules.ring_splice_ft)


@remembered
def _splices_apart(apart: Size, splices: int) -> tuple[Size, ...]:
    """How far apart the rings of each splice may be: one more splice is one more that is asked."""
    return tuple(apart._replace(name=f"splice {nth} rings{APART}") for nth in range(1, splices + 1))


@remembered
def _wide(word: str, width_in: float) -> Size:
    return Size(f"{word} wide", width_in / 12)


@remembered_columns
def _loop_items(
    cut: LoopFabric,
    eyes: EyeHeights,
    wire_wide: Size,
    mesh_wide: Size,
    apart: tuple[Size, Size, Size, Size],
    made_of: tuple[Rows, Rows, Rows],
    rocks: tuple[Size, ...],
    row: Sequence[At],
    infills: Sequence[Item],
) -> tuple[Item, ...]:
    """What a loop's wire and mesh ask."""
    name, places, (of_wire, of_mesh, of_both) = cut.loop, tuple(row), made_of
    at = (Size("bottom cable", eyes.low_ft), Size("top cable", eyes.high_ft))
    slit = TickFacts(places, (*at, *rocks, wire_wide), stock=of_wire)
    ties = f"{name}: zip ties up corner, end and gate posts, {cut.corner_ties}"
    cable_apart, mesh_apart, seam_apart, splice_apart = apart
    both_apart = (seam_apart, *_splices_apart(splice_apart, cut.splices))
    wire_cut, mesh_cut = Size(CUT_TO, round(cut.wire_cut_ft, 3)), Size(CUT_TO, round(cut.mesh_cut_ft, 3))
    wire_rings, mesh_rings, seam_rings = (f"{count} {RINGS}" for count in cut.rings_by.values())
    wire = TickFacts(places, (*at, wire_cut, wire_wide, cable_apart), (wire_rings,), of_wire)
    mesh = TickFacts(places, (*at, mesh_cut, mesh_wide, mesh_apart), (mesh_rings,), of_mesh)
    seam = TickFacts(places, (*at, wire_wide, mesh_wide, *both_apart), (seam_rings,), of_both)
    tied = TickFacts(places, (*at, mesh_wide), (f"{cut.corner_ties} {TIES}",), of_mesh)
    return (
        _item(name, "wire_hung", f"{name}: wire hung, {format_ft_in(cut.wire_cut_ft)}, ringed to the bottom cable", wire),
        _item(name, "apron_turned", f"{name}: apron turned out flat", slit),
        *infills,
        _item(name, "slits_lapped", f"{name}: slits round rocks lapped and ringed", slit),
        _item(name, "mesh_hung", f"{name}: mesh hung, {format_ft_in(cut.mesh_cut_ft)}, clean edge to the top cable", mesh),
        _item(name, "seam_ringed", f"{name}: mesh ringed to the wire along the lap", seam),
        *([_item(name, "corners_tied", ties, tied)] if cut.corner_ties else []),
    )


@remembered_columns
def _infill_items(rules: FabricRules, bay: BayApron, facts: TickFacts, wire: FabricRoll, narrow: bool) -> Item:
    of = facts._replace(sizes=(*facts.sizes, *taken_in_bay(rules, bay, wire.width_in, narrow=narrow)))
    return _item(bay.bay, "infill", f"{bay.bay}: infill piece ringed in, {format_ft_in(bay.infill_ft)} in all", of)


def _item(subject: str, what: str, says: str, of: TickFacts) -> Item:
    return Item(ItemKey("fabric", subject, what), says, of=of)
