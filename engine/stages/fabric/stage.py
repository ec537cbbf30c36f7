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
from engine.calc.remember import ByParts
from engine.checklist import Item, TicksOf
from engine.findings import UNPRINTED, Finding, FindingOf, Level
from engine.job.model.job import Job
from engine.job.model.stock_table import fabric_ids, stock_of
from engine.stages.cables.fence_parts import floors_of, in_order
from engine.stages.cables.stage import Cables
from engine.stages.fabric.aprons import BayApron, Filled, filled
from engine.stages.fabric.bay_ground import bay_grounds
from engine.stages.fabric.corner_laps import CornerLap, corner_laps
from engine.stages.fabric.hung_fabric import fabric_basis, fabric_parts, hung_fabric
from engine.stages.fabric.infills import Infill, StripNumber, apron_findings, infill_pieces, strip_cuts, taken_under
from engine.stages.fabric.jump_offs import JumpOff, jump_offs, over_findings
from engine.stages.fabric.loop_fabric import FabricRoll, LoopFabric, Pieces, rolls_of
from engine.stages.fabric.slits import rocks_in
from engine.stages.fabric.under_decks import UnderDeck, closed_decks, under_decks, under_findings, under_items
from engine.stages.layout.stage import Layout
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
    basis = fabric_basis(job.rules.fabric, job.fence, floors_of(tuple(job.surfaces)), wire, mesh, rocks_in(layout.keep_outs))
    hung = hung_fabric(repeat(basis), ByParts(fabric_parts(layout, posts, cables, grounds)))
    aprons, level_in = in_order(grounds, [part.aprons for part in hung]), in_order(grounds, [part.level_in for part in hung])
    cuts = in_order(cables.loops, [part.cuts for part in hung])
    loops = {name: one.fabric for name, one in cuts.items()}
    wire_pieces, mesh_pieces = ({name: one.wire for name, one in cuts.items()}, {name: one.mesh for name, one in cuts.items()})
    lap_in = mesh.width_in - 12 * _most_apart_ft(posts, grounds) if mesh.width_in else 0.0
    narrow = frozenset(name for name, left_in in level_in.items() if left_in < job.rules.fabric.apron_min_in)
    decks = under_decks(job, survey) if grounds else ()
    answered, closed = filled(job, layout, aprons), closed_decks(job, layout, decks)
    infills = infill_pieces(job, aprons, answered, decks, wire.width_in, narrow) if aprons else ()
    strips = strip_cuts([piece.cut for piece in infills], [piece.strip for piece in infills])
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
        items=(
            *(item for items in in_order(cables.loops, [part.items for part in hung]).values() for item in items),
            *in_order(grounds, [part.infills for part in hung]).values(),
            *under_items(job, decks, taken_under(job.rules.fabric, decks, wire.width_in)),
        ),
        filled=answered,
        closed_decks=closed,
        pieces={"wire": wire_pieces, "mesh": mesh_pieces},
    )


def _most_apart_ft(posts: Posts, grounds: Iterable[str]) -> float:
    """The most that two eyes stand apart, over all bays."""
    hangs = {id(hang): hang for hang in [posts.hangs[name] for name in grounds]}.values()
    return max((hang.eyes.high_ft - hang.eyes.low_ft for hang in hangs), default=posts.eye_high_ft - posts.eye_low_ft)


def _plan(name: str, roll: FabricRoll, pieces: Iterable[Pieces]) -> CutPlan:
    cuts = {name: length for of_loop in pieces for name, length in of_loop.items() if length > 0}
    return plan_cuts(cuts, Stock(name, roll.length_ft) if roll.length_ft else None)


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
        yield _finding(
            f"{roll.word}_roll_too_short", "fix", (loop,), says, "Bring a longer roll, or see what a support to splice at would do."
        )


def _of_bays(infills: Sequence[Infill], strips: Mapping[StripNumber, float]) -> Iterator[tuple[str, Pieces]]:
    """Strips by the first bay that a piece of theirs goes to."""
    for strip, cut_ft in strips.items():
        yield next(piece.bay for piece in infills if piece.strip == strip), {str(strip): cut_ft}
