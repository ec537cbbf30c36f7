"""Stage 6, wire and mesh: what to cut for each loop, the apron the ground leaves in every bay, rings and ties.

Limits: cut along straight chords between supports, on ground that is straight between level shots: shoot every break. Steps are treads of
one depth that share the rise of the ground shot at their ends. What a dog stands on is taken to stand on ground as high as the fence's;
reach and height are rules. Cut plans are proven best where the bound says so, else the best found in a fixed effort.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field

from engine.calc.cutting.cut_plan import CutPlan, Stock, plan_cuts
from engine.calc.cutting.run_shares import count_along, partition_run
from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import slope_distance_ft
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.phrases import listed
from engine.calc.remember import remembered
from engine.checklist import Item, TicksOf
from engine.findings import UNPRINTED, Finding, FindingOf, Level
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.stock_table import fabric_ids, stock_of
from engine.job.model.tick_facts import Size, TickFacts
from engine.stages.cables.cable_loop import Loop
from engine.stages.cables.stage import Cables
from engine.stages.fabric.aprons import BayApron, Filled, bay_aprons, filled, short_facts
from engine.stages.fabric.bay_ground import BayGround, bay_grounds
from engine.stages.fabric.corner_laps import CornerLap, corner_laps
from engine.stages.fabric.infills import Infill, StripNumber, apron_findings, infill_pieces, strip_cuts
from engine.stages.fabric.jump_offs import JumpOff, jump_offs, over_findings
from engine.stages.fabric.slits import HungWire, slit_round
from engine.stages.fabric.under_decks import UnderDeck, closed_decks, under_decks, under_findings, under_items
from engine.stages.layout.stage import Layout
from engine.stages.posts.stage import Posts
from engine.stages.survey.stage import Survey

_finding = FindingOf("fabric")

__all__ = ["READS", "BayApron", "Fabric", "LoopFabric", "fabric"]

READS = (
    "rules", "stock", "fence", "dogs", "structures", "obstacles", "decks",
    TicksOf("infill"), TicksOf("dips_filled"), TicksOf("under_closed"),
)  # fmt: skip

Pieces = dict[str, float]


@dataclass(frozen=True)
class LoopFabric:
    """Wire and mesh for one loop, with its rings and ties."""

    loop: str
    wire_cut_ft: float
    mesh_cut_ft: float
    cable_rings: int
    mesh_rings: int
    seam_rings: int
    splice_rings: int
    corner_ties: int

    @property
    def rings(self) -> int:
        """All hog rings of the loop."""
        return self.cable_rings + self.mesh_rings + self.seam_rings + self.splice_rings


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


@dataclass(frozen=True)
class _Roll:
    """One kind of fabric as the stock gives it."""

    word: str
    name: str
    width_in: float
    length_ft: float | None


def fabric(job: Job, survey: Survey, layout: Layout, posts: Posts, cables: Cables) -> Fabric:
    """Wire and mesh for every loop, rolls to cut them from, and the apron along every bay.

    Wire is cut along the ground, mesh along the slope of the top cable; both get the overrun once a loop and a lap at every splice.
    Source: common practice, no source, for overrun, laps, rings and ties; engine.calc.geometry.ground, loops and cutting for the rest.
    Valid for: any job; what the stock doesn't give is left out and told.
    """
    grounds = bay_grounds(survey, layout)
    wire, mesh = _rolls(job)
    aprons = bay_aprons(job, grounds, posts, cables, wire.width_in) if wire.width_in else {}
    wire_pieces = {name: _pieces(job, name, _along_ground_ft(loop, layout, grounds), wire) for name, loop in cables.loops.items()}
    mesh_pieces = {name: _pieces(job, name, _along_cable_ft(loop, layout), mesh) for name, loop in cables.loops.items()}
    laps = _laps(cables)
    loops = {
        name: _loop_fabric(job, layout, posts, loop, wire_pieces[name], mesh_pieces[name], laps[name], (wire, mesh))
        for name, loop in cables.loops.items()
    }
    lap_in = mesh.width_in - 12 * _most_apart_ft(posts, grounds) if mesh.width_in else 0.0
    level_in = _level_aprons_in(job, posts, grounds, wire)
    narrow = frozenset(name for name, left_in in level_in.items() if left_in < job.rules.fabric.apron_min_in)
    decks = under_decks(job, survey) if grounds else ()
    answered, closed = filled(job, layout, aprons), closed_decks(job, layout, decks)
    infills = infill_pieces(job, aprons, answered, decks, wire.width_in, narrow) if aprons else ()
    strips = strip_cuts(infills)
    jumps = jump_offs(job, survey, layout, posts.hangs) if grounds else ()
    wire_rolls = _plan(wire, [*wire_pieces.values(), {str(strip): cut_ft for strip, cut_ft in strips.items()}])
    mesh_rolls = _plan(mesh, mesh_pieces.values())
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
        items=(*_items(level_in, layout, posts, cables, loops, aprons), *under_items(decks)),
        filled=answered,
        closed_decks=closed,
        pieces={"wire": wire_pieces, "mesh": mesh_pieces},
    )


def _most_apart_ft(posts: Posts, grounds: Mapping[str, BayGround]) -> float:
    """The most that two eyes stand apart, over all bays."""
    eyes = [posts.hangs[name].eyes for name in grounds]
    return max((pair.high_ft - pair.low_ft for pair in eyes), default=posts.eye_high_ft - posts.eye_low_ft)


def _level_aprons_in(job: Job, posts: Posts, grounds: Mapping[str, BayGround], wire: _Roll) -> dict[str, float]:
    """What level ground would leave of the wire in every bay, from the bottom eye as high as it is there."""
    return {name: wire.width_in - job.rules.fabric.fold_in - 12 * posts.hangs[name].eyes.low_ft for name in grounds}


def _rolls(job: Job) -> tuple[_Roll, _Roll]:
    stock = stock_of(job.stock)
    rolls = []
    for word, name in zip(("wire", "mesh"), fabric_ids(job.fence), strict=True):
        row = stock.get(name)
        rolls.append(_Roll(word, (row and row.name) or name, (row and row.width_in) or 0.0, row.length_ft if row else None))
    return rolls[0], rolls[1]


def _along_ground_ft(loop: Loop, layout: Layout, grounds: Mapping[str, BayGround]) -> list[float]:
    """Length of each bay along the ground, break by break, and never less than straight from support to support."""
    lengths = []
    for name in loop.bays:
        ground = grounds.get(name)
        along_ft = slope_distance_ft(ground.profile, ground.start_ft, ground.end_ft) if ground else 0.0
        lengths.append(max(along_ft, layout.bays[name].slope_ft))
    return lengths


def _along_cable_ft(loop: Loop, layout: Layout) -> list[float]:
    return [layout.bays[name].slope_ft for name in loop.bays]


def _pieces(job: Job, loop: str, bays_ft: Sequence[float], roll: _Roll) -> Pieces:
    """Lengths to cut for one loop; more than one where no roll is as long, the fewest that end at supports."""
    rules = job.rules.fabric
    over_ft, lap_ft = rules.overrun_in / 12, rules.lap_in / 12
    whole_ft = sum(bays_ft) + over_ft
    most_ft = (roll.length_ft or 0.0) - over_ft - lap_ft
    if roll.length_ft is None or whole_ft <= roll.length_ft or most_ft <= 0 or len(bays_ft) == 1:
        return {loop: whole_ft}
    parts = partition_run(bays_ft, [True] * (len(bays_ft) - 1), 0.0, most_ft)
    lengths = [sum(bays_ft[first : last + 1]) + (lap_ft if first else 0.0) for first, last in parts]
    lengths[-1] += over_ft
    return {f"{loop}-{_letter(place)}": length for place, length in enumerate(lengths)}


def _letter(place: int) -> str:
    return chr(ord("a") + place) if place < 26 else f"{place + 1}"


def _plan(roll: _Roll, pieces: Iterable[Pieces]) -> CutPlan:
    cuts = {name: length for of_loop in pieces for name, length in of_loop.items() if length > 0}
    return plan_cuts(cuts, Stock(roll.name, roll.length_ft) if roll.length_ft else None)


def _laps(cables: Cables) -> dict[str, int]:
    """Ends of each loop whose fabric laps that of a loop before it, at a support of both."""
    seen: set[str] = set()
    laps = {}
    for name, loop in cables.loops.items():
        ends = (loop.supports[0], loop.supports[-1])
        laps[name] = sum(end in seen for end in ends) + (ends[0] == ends[1])
        seen.update(ends)
    return laps


def _loop_fabric(
    job: Job, layout: Layout, posts: Posts, loop: Loop, wire_pieces: Pieces, mesh_pieces: Pieces, laps: int, rolls: tuple[_Roll, _Roll]
) -> LoopFabric:
    rules = job.rules.fabric
    splices = zip(rolls, (len(wire_pieces) - 1 + laps, len(mesh_pieces) - 1 + laps), strict=True)
    tied = [name for name in dict.fromkeys(loop.supports) if layout.supports[name].kind != "line"]
    height_ft = posts.hangs[loop.bays[0]].height_ft  # a loop keeps to one height
    return LoopFabric(
        loop=loop.id,
        wire_cut_ft=sum(wire_pieces.values()),
        mesh_cut_ft=sum(mesh_pieces.values()),
        cable_rings=count_along(loop.run_ft, rules.ring_cable_ft),
        mesh_rings=count_along(loop.run_ft, rules.ring_mesh_ft),
        seam_rings=count_along(loop.run_ft, rules.ring_seam_ft),
        splice_rings=sum(count * count_along(roll.width_in / 12, rules.ring_splice_ft) for roll, count in splices if roll.width_in),
        corner_ties=len(tied) * count_along(height_ft, rules.tie_corner_in / 12),
    )


def _stock_findings(*rolls: _Roll) -> Iterator[Finding]:
    for roll in rolls:
        lacks = [size for size, given in (("width", roll.width_in), ("roll length", roll.length_ft)) if not given]
        if lacks:
            so = "its apron can't be worked out" if roll.word == "wire" and not roll.width_in else "its cuts can't be checked"
            says = f"The stock doesn't give the {listed(lacks)} of {roll.name}, so {so}."
            yield _finding(f"{roll.word}_unknown", "fix", ("job",), says, "Add the sizes to the stock.")


def _width_findings(job: Job, wire: _Roll, mesh: _Roll, level_apron_in: float, lap_in: float) -> Iterator[Finding]:
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


def _roll_findings(roll: _Roll, pieces: Iterable[tuple[str, Pieces]], plan: CutPlan) -> Iterator[Finding]:
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
    level_in: Mapping[str, float],
    layout: Layout,
    posts: Posts,
    cables: Cables,
    loops: Mapping[str, LoopFabric],
    aprons: Mapping[str, BayApron],
) -> Iterator[Item]:
    wires = {
        name: HungWire(
            tuple(layout.supports[support].xy for support in cables.loops[name].supports),
            max(0.0, level_in.get(cables.loops[name].bays[0], 0.0) / 12),
        )
        for name in loops
    }
    rocks = slit_round(layout.keep_outs, wires)
    for name, cut in loops.items():
        loop = cables.loops[name]
        eyes = posts.hangs[loop.bays[0]].eyes
        of = TickFacts(layout.places(*loop.supports), (Size("bottom cable", eyes.low_ft), Size("top cable", eyes.high_ft)))
        infills = _infills(layout, (aprons[bay] for bay in loop.bays if bay in aprons))
        yield from _loop_items(cut, of, TickFacts(of.places, (*of.sizes, *rocks[name]), of.words), infills)
    yield from _infill_items(_infills(layout, (bay for key, bay in aprons.items() if key not in cables.loop_of)))


@remembered
def _loop_items(cut: LoopFabric, of: TickFacts, slit: TickFacts, infills: tuple[tuple[BayApron, TickFacts], ...]) -> tuple[Item, ...]:
    """What a loop's wire and mesh ask; `slit` is what is done round rocks, too."""
    name = cut.loop
    ties = f"{name}: zip ties up corner, end and gate posts, {cut.corner_ties}"
    wire = TickFacts(of.places, (*of.sizes, Size("cut to", round(cut.wire_cut_ft, 3))), of.words)
    mesh = TickFacts(of.places, (*of.sizes, Size("cut to", round(cut.mesh_cut_ft, 3))), of.words)
    tied = TickFacts(of.places, of.sizes, (*of.words, f"{cut.corner_ties} ties"))
    return (
        _item(name, "wire_hung", f"{name}: wire hung, {format_ft_in(cut.wire_cut_ft)}, ringed to the bottom cable", wire),
        _item(name, "apron_turned", f"{name}: apron turned out flat", slit),
        *_infill_items(infills),
        _item(name, "slits_lapped", f"{name}: slits round rocks lapped and ringed", slit),
        _item(name, "mesh_hung", f"{name}: mesh hung, {format_ft_in(cut.mesh_cut_ft)}, clean edge to the top cable", mesh),
        _item(name, "seam_ringed", f"{name}: mesh ringed to the wire along the lap", of),
        *([_item(name, "corners_tied", ties, tied)] if cut.corner_ties else []),
    )


def _infills(layout: Layout, aprons: Iterable[BayApron]) -> tuple[tuple[BayApron, TickFacts], ...]:
    return tuple((bay, short_facts(layout, bay)) for bay in aprons if bay.short)


def _infill_items(infills: Iterable[tuple[BayApron, TickFacts]]) -> Iterator[Item]:
    for bay, of in infills:
        yield _item(bay.bay, "infill", f"{bay.bay}: infill piece ringed in, {format_ft_in(bay.infill_ft)} in all", of)


def _item(subject: str, what: str, says: str, of: TickFacts) -> Item:
    return Item(ItemKey("fabric", subject, what), says, of=of)
