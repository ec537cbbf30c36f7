"""Stage 6, wire and mesh: what to cut for each loop, the apron the ground leaves in every bay, rings and ties.

Limits: cut along straight chords between supports, on ground that is straight between level shots: shoot every break. Steps are treads of
one depth that share the rise of the ground shot at their ends. What a dog stands on is taken to stand on ground as high as the fence's;
reach and height are rules. Cut plans are proven best where the bound says so, else the best found in a fixed effort.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field
from itertools import repeat

from engine.calc.cutting.cut_plan import CutPlan, Stock, plan_cuts
from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.phrases import listed
from engine.calc.remember import ByParts, remembered, remembered_columns
from engine.checklist import Item, TicksOf
from engine.findings import UNPRINTED, Finding, FindingOf, Level
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.rules import FabricRules
from engine.job.model.stock_table import fabric_ids, stock_of
from engine.job.model.tick_facts import At, Size, TickFacts
from engine.stages.cables.stage import Cables
from engine.stages.fabric.aprons import BayApron, Filled, bay_aprons, filled, infill_facts
from engine.stages.fabric.bay_ground import bay_grounds
from engine.stages.fabric.corner_laps import CornerLap, corner_laps
from engine.stages.fabric.infills import Infill, StripNumber, apron_findings, infill_pieces, strip_cuts
from engine.stages.fabric.jump_offs import JumpOff, jump_offs, over_findings
from engine.stages.fabric.loop_fabric import FabricRoll, LoopFabric, Pieces, cut_fabric, rolls_of
from engine.stages.fabric.slits import hung_wires, slit_round
from engine.stages.fabric.under_decks import UnderDeck, closed_decks, under_decks, under_findings, under_items
from engine.stages.layout.stage import Layout
from engine.stages.made_of import Carrier, Fenced, Rows, fabric_on, made_along, mesh_on, wire_on
from engine.stages.posts.depths import EyeHeights
from engine.stages.posts.heights import BayHeight
from engine.stages.posts.stage import Posts
from engine.stages.survey.stage import Survey

_finding = FindingOf("fabric")

__all__ = ["READS", "BayApron", "Fabric", "LoopFabric", "fabric"]

READS = (
    "rules", "stock", "fence", "dogs", "structures", "obstacles", "decks", "surfaces",
    TicksOf("infill"), TicksOf("dips_filled"), TicksOf("under_closed"),
)  # fmt: skip


@dataclass(frozen=True)
class Fabric:
    """Fabric of every loop and bay, roll plans, and totals.

    A width is 0 where the stock doesn't give it. A loop that takes more than one piece of a roll has pieces L1-a, L1-b, spliced at
    supports; `pieces` are those of "wire" and of "mesh" by loop, ft. `infills` are pieces of wire to ring in, `strips` the lengths (ft)
    of roll that they are slit from, in the wire roll plan too. `filled` and `closed_decks` are what the crew has answered for.
    """

    loops: Mapping[str, LoopFabric]
    bays: Mapping[str, BayApron]
    infills: tuple[Infill, ...]
    strips: Mapping[StripNumber, float]
    under_decks: tuple[UnderDeck, ...]
    corners: tuple[CornerLap, ...]
    jump_offs: tuple[JumpOff, ...]
    wire_width_in: float
    mesh_width_in: float
    lap_in: float
    wire_rolls: CutPlan
    mesh_rolls: CutPlan
    rings: int
    ties: int
    findings: tuple[Finding, ...]
    items: tuple[Item, ...]
    filled: Filled = field(metadata=UNPRINTED)
    closed_decks: frozenset[str] = field(metadata=UNPRINTED)
    pieces: Mapping[str, Mapping[str, Pieces]] = field(metadata=UNPRINTED)


def fabric(job: Job, survey: Survey, layout: Layout, posts: Posts, cables: Cables) -> Fabric:
    """Wire and mesh for every loop, rolls to cut them from, and the apron along every bay.

    Wire is cut along the ground, mesh along the slope of the top cable; both get the overrun once a loop and a lap at every splice.
    Source: common practice, no source, for overrun, laps, rings and ties; engine.calc.geometry.ground, loops and cutting for the rest.
    Valid for: any job; what the stock doesn't give is left out and told.
    """
    grounds = bay_grounds(survey, layout)
    wire, mesh = rolls_of(job.fence, stock_of(job.stock))
    aprons = bay_aprons(job, grounds, posts, cables, wire.width_in) if wire.width_in else {}
    supports, rows = layout.supports, [loop.supports for loop in cables.loops.values()]
    firm = {name for name, support in supports.items() if support.kind != "line"}
    cut = cut_fabric(
        repeat(job.rules.fabric),
        repeat(wire),
        repeat(mesh),
        cables.loops.values(),
        [posts.hangs[loop.bays[0]] for loop in cables.loops.values()],  # a loop keeps to one height
        _laps(rows),
        [len(firm.intersection(row)) for row in rows],
        ByParts([[layout.bays[bay] for bay in loop.bays] for loop in cables.loops.values()]),
        ByParts([[grounds.get(bay) for bay in loop.bays] for loop in cables.loops.values()]),
    )
    cuts = dict(zip(cables.loops, cut, strict=True))
    loops = {name: one.fabric for name, one in cuts.items()}
    wire_pieces, mesh_pieces = ({name: one.wire for name, one in cuts.items()}, {name: one.mesh for name, one in cuts.items()})
    hangs = [posts.hangs[name] for name in grounds]
    lap_in = mesh.width_in - 12 * _most_apart_ft(posts, {id(hang): hang for hang in hangs}.values()) if mesh.width_in else 0.0
    level_in = dict(zip(grounds, _level_aprons_in(repeat(job.rules.fabric), repeat(wire), hangs), strict=True))
    narrow = frozenset(name for name, left_in in level_in.items() if left_in < job.rules.fabric.apron_min_in)
    decks = under_decks(job, survey) if grounds else ()
    answered, closed = filled(job, layout, aprons), closed_decks(job, layout, decks)
    infills = infill_pieces(job, aprons, answered, decks, wire.width_in, narrow) if aprons else ()
    strips = strip_cuts(infills)
    jumps = jump_offs(job, survey, layout, posts.hangs) if grounds else ()
    wire_id, mesh_id = fabric_ids(job.fence)
    wire_rolls = _plan(wire_id, wire, [*wire_pieces.values(), {str(strip): cut_ft for strip, cut_ft in strips.items()}])
    mesh_rolls = _plan(mesh_id, mesh, mesh_pieces.values())
    return Fabric(
        loops=loops,
        bays=aprons,
        infills=infills,
        strips=strips,
        under_decks=decks,
        jump_offs=jumps,
        corners=corner_laps(survey, layout, aprons, job.rules.layout.corner_deg, job.rules.fabric.lap_in),
        wire_width_in=wire.width_in,
        mesh_width_in=mesh.width_in,
        lap_in=lap_in,
        wire_rolls=wire_rolls,
        mesh_rolls=mesh_rolls,
        rings=sum(cut.rings for cut in loops.values()),
        ties=sum(cut.corner_ties for cut in loops.values()),
        findings=(
            *(_stock_findings(wire, mesh) if grounds else ()),
            *(_width_findings(job, wire, mesh, min(level_in.values()), lap_in) if grounds else ()),
            *_roll_findings(wire, [*wire_pieces.items(), *_of_bays(infills, strips)], wire_rolls),
            *_roll_findings(mesh, mesh_pieces.items(), mesh_rolls),
            *apron_findings(job, grounds, aprons, answered, narrow),
            *under_findings(decks, closed),
            *over_findings(job, survey, layout, posts.hangs, jumps),
        ),
        items=(*_items(job, (wire, mesh), level_in, layout, posts, cables, loops, aprons), *under_items(job, decks)),
        filled=answered,
        closed_decks=closed,
        pieces={"wire": wire_pieces, "mesh": mesh_pieces},
    )


def _most_apart_ft(posts: Posts, hangs: Iterable[BayHeight]) -> float:
    """The most that two eyes stand apart, over all bays."""
    return max((hang.eyes.high_ft - hang.eyes.low_ft for hang in hangs), default=posts.eye_high_ft - posts.eye_low_ft)


@remembered_columns
def _level_aprons_in(rules: FabricRules, wire: FabricRoll, hang: BayHeight) -> float:
    """What level ground would leave of the wire in a bay, from the bottom eye as high as it is there."""
    return wire.width_in - rules.fold_in - 12 * hang.eyes.low_ft


def _plan(name: str, roll: FabricRoll, pieces: Iterable[Pieces]) -> CutPlan:
    cuts = {name: length for of_loop in pieces for name, length in of_loop.items() if length > 0}
    return plan_cuts(cuts, Stock(name, roll.length_ft) if roll.length_ft else None)


def _laps(rows: Iterable[Sequence[str]]) -> list[int]:
    """Ends of each loop whose fabric laps that of a loop before it, at a support of both."""
    seen: set[str] = set()
    laps = []
    for row in rows:
        first, last = row[0], row[-1]
        laps.append((first in seen) + (last in seen) + (first == last))
        seen.update((first, last))
    return laps


def _stock_findings(*rolls: FabricRoll) -> Iterator[Finding]:
    for roll in rolls:
        lacks = [size for size, given in (("width", roll.width_in), ("roll length", roll.length_ft)) if not given]
        if lacks:
            so = "its apron can't be worked out" if roll.word == "wire" and not roll.width_in else "its cuts can't be checked"
            says = f"The stock doesn't give the {listed(lacks)} of {roll.name}, so {so}."
            yield _finding(f"{roll.word}_unknown", "fix", ("job",), says, "Add the sizes to the stock.")


def _width_findings(job: Job, wire: FabricRoll, mesh: FabricRoll, level_apron_in: float, lap_in: float) -> Iterator[Finding]:
    rules = job.rules.fabric
    if wire.width_in and level_apron_in < rules.apron_min_in:
        leaves = f"leaves {format_in(level_apron_in)} of apron" if level_apron_in >= 0 else f"ends {format_in(-level_apron_in)} in the air"
        says = f"Wire {format_in(wire.width_in)} wide {leaves} on level ground; the rule is {format_in(rules.apron_min_in)}."
        yield _finding("wire_too_narrow", "fix", ("job",), says, "Use wider wire, or ring in a strip the whole length.")
    if mesh.width_in and lap_in < rules.lap_in:
        laps = f"laps the wire by {format_in(lap_in)}" if lap_in >= 0 else f"ends {format_in(-lap_in)} over the wire"
        says = f"Mesh {format_in(mesh.width_in)} wide {laps}; the rule is a lap of {format_in(rules.lap_in)}."
        level: Level = "fix" if lap_in >= 0 else "stop"
        yield _finding("lap_short", level, ("job",), says, "Use wider mesh, or wire that stands up past the bottom cable.")


def _roll_findings(roll: FabricRoll, pieces: Iterable[tuple[str, Pieces]], plan: CutPlan) -> Iterator[Finding]:
    if roll.length_ft is None:
        return
    loop_of = {name: (loop, length) for loop, of_loop in pieces for name, length in of_loop.items()}
    long_ft: dict[str, list[float]] = {}
    for piece in plan.unplaced:
        loop, length_ft = loop_of[piece.piece_id]
        long_ft.setdefault(loop, []).append(length_ft)
    for loop, lengths_ft in long_ft.items():
        count = len(lengths_ft)
        in_one = "in one piece" if count == 1 else f"in one piece at the longest, {count} such pieces"
        says = f"{loop} takes {format_ft_in(max(lengths_ft))} of {roll.word} {in_one}, and a roll holds {format_ft_in(roll.length_ft)}."
        yield _finding(f"{roll.word}_roll_too_short", "fix", (loop,), says, "Bring a longer roll, or add a support to splice at.")


def _of_bays(infills: Sequence[Infill], strips: Mapping[StripNumber, float]) -> Iterator[tuple[str, Pieces]]:
    """Strips by the first bay that a piece of theirs goes to."""
    for strip, cut_ft in strips.items():
        yield next(piece.bay for piece in infills if piece.strip == strip), {str(strip): cut_ft}


def _items(
    job: Job,
    rolls: tuple[FabricRoll, FabricRoll],
    level_in: Mapping[str, float],
    layout: Layout,
    posts: Posts,
    cables: Cables,
    loops: Mapping[str, LoopFabric],
    aprons: Mapping[str, BayApron],
) -> tuple[Item, ...]:
    hung, supports = cables.loops.values(), layout.supports
    rows = [loop.supports for loop in hung]
    wires = hung_wires([level_in.get(loop.bays[0], 0.0) for loop in hung], [[supports[name].xy for name in row] for row in rows])
    short = {name: apron for name, apron in aprons.items() if apron.short}
    infills = dict(zip(short, _infill_items(short.values(), infill_facts(job, layout, short.values())), strict=True))
    of_loops = _loop_items(
        loops.values(),
        [posts.hangs[loop.bays[0]].eyes for loop in hung],
        *(repeat(_wide(roll.word, roll.width_in)) for roll in rolls),
        *zip(*made_along(job, _hung_on_each, supports, rows), strict=True),
        slit_round(layout.keep_outs, dict(zip(loops, wires, strict=True))).values(),
        ByParts([[supports[name].there for name in row] for row in rows]),
        ByParts([[infills[bay] for bay in loop.bays if bay in infills] for loop in hung]),
    )
    return (*(item for items in of_loops for item in items), *(item for name, item in infills.items() if name not in cables.loop_of))


def _hung_on_each(job: Fenced, supports: Iterable[Carrier]) -> tuple[Rows, Rows, Rows]:
    """Of what wire, mesh and both are made with what they hang on."""
    there = tuple(supports)
    return wire_on(job, there), mesh_on(job, there), fabric_on(job, there)


@remembered
def _wide(word: str, width_in: float) -> Size:
    return Size(f"{word} wide", width_in / 12)


@remembered_columns
def _loop_items(
    cut: LoopFabric,
    eyes: EyeHeights,
    wire_wide: Size,
    mesh_wide: Size,
    of_wire: Rows,
    of_mesh: Rows,
    of_both: Rows,
    rocks: tuple[Size, ...],
    row: Sequence[At],
    infills: Sequence[Item],
) -> tuple[Item, ...]:
    """What a loop's wire and mesh ask."""
    name, places = cut.loop, tuple(row)
    at = (Size("bottom cable", eyes.low_ft), Size("top cable", eyes.high_ft))
    slit = TickFacts(places, (*at, *rocks, wire_wide), stock=of_wire)
    ties = f"{name}: zip ties up corner, end and gate posts, {cut.corner_ties}"
    wire = TickFacts(places, (*at, Size("cut to", round(cut.wire_cut_ft, 3)), wire_wide), stock=of_wire)
    mesh = TickFacts(places, (*at, Size("cut to", round(cut.mesh_cut_ft, 3)), mesh_wide), stock=of_mesh)
    seam = TickFacts(places, (*at, wire_wide, mesh_wide), stock=of_both)
    tied = TickFacts(places, (*at, mesh_wide), (f"{cut.corner_ties} ties",), of_mesh)
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
def _infill_items(bay: BayApron, of: TickFacts) -> Item:
    return _item(bay.bay, "infill", f"{bay.bay}: infill piece ringed in, {format_ft_in(bay.infill_ft)} in all", of)


def _item(subject: str, what: str, says: str, of: TickFacts) -> Item:
    return Item(ItemKey("fabric", subject, what), says, of=of)
