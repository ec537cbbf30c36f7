"""Take-off: everything the fence needs, in packs, against what the truck carries and what was delivered."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain
from math import ceil

from engine.calc.cutting.cut_plan import CutPlan, Stock, plan_cuts
from engine.calc.frozen import dataclass
from engine.calc.tolerances import ROUNDING_COUNT
from engine.checklist import Checklist
from engine.findings import StageName
from engine.job.model.job import Job
from engine.job.model.log_entries import DeliveryEntry, live
from engine.job.model.stock_row import StockKind, StockRow
from engine.job.model.stock_table import fabric_ids, first_of, stock_of
from engine.stages.brace_stock import BraceStock, brace_stock
from engine.stages.bracing.stage import Bracing
from engine.stages.cables.stage import Cables
from engine.stages.counted_work import CountedWork
from engine.stages.fabric.infills import StripNumber
from engine.stages.fabric.stage import Fabric
from engine.stages.gate.frame_tubes import face_wires, frame_tubes
from engine.stages.gate.pairs import PAIR_PARTS
from engine.stages.gate.stage import Gates
from engine.stages.given_up_stock import cable_cut_up_ft, locks_cut_off, sleeves_given_up, spools
from engine.stages.layout.stage import Layout
from engine.stages.posts.plates import ANCHORS
from engine.stages.posts.stage import Posts
from engine.stages.posts_in_sleeves import posts_in_sleeves, sleeves_driven
from engine.stages.staking.stage import Staking


@dataclass(frozen=True)
class TakeoffRow:
    """One stock row: `needed` in `unit`, `spare` on top of it for loose pieces, whole packs to load, packs loaded, and packs short.

    `delivered` packs and `loose` units came after the truck was loaded. `loaded` is None where nobody counted; nothing is called short
    then. `used` counts what ticked work has used, in `unit`. `offcuts` are what the cut plan leaves of its rolls, ft, longest first.
    """

    stock: str
    name: str
    unit: str
    needed: float
    spare: float
    per_pack: float
    packs: int
    loaded: int | None
    delivered: int
    loose: float
    short: int
    used: float
    price: float | None
    offcuts: tuple[float, ...]

    @property
    def cost(self) -> float | None:
        """Price of the packs to load, where a pack has one."""
        return None if self.price is None else self.packs * self.price

    @property
    def came(self) -> float | None:
        """Everything loaded and delivered, in `unit`; None where nobody counted and nothing was delivered."""
        if self.loaded is None and not self.delivered and not self.loose:
            return None
        return ((self.loaded or 0) + self.delivered) * self.per_pack + self.loose

    @property
    def left(self) -> float | None:
        """What came less what is used, in `unit`: below 0 where more was used than anybody counted; None where nobody counted."""
        return None if self.came is None else self.came - self.used


@dataclass(frozen=True)
class Takeoff:
    """All rows in the order of the work; a row that nothing is needed of, and nothing came of, is left out."""

    rows: tuple[TakeoffRow, ...]


@dataclass(frozen=True)
class _Need:
    stock: str
    unit: str
    needed: float
    used: float
    spare: float = 0.0
    packs: int | None = None
    offcuts: tuple[float, ...] = ()


def takeoff(
    job: Job,
    layout: Layout,
    posts: Posts,
    bracing: Bracing,
    cables: Cables,
    fabric: Fabric,
    staking: Staking,
    gates: Gates,
    checklists: Mapping[StageName, Checklist],
) -> Takeoff:
    """Everything the fence needs against what is loaded and what was delivered."""
    stock = stock_of(job.stock)
    done = CountedWork(checklists, job.repair_of)
    new_gates = done.counted("gate", gates.gates, "hung").needed
    gates = gates if len(new_gates) == len(gates.gates) else replace(gates, gates={name: gates.gates[name] for name in new_gates})
    braced = dict(zip(bracing.pulls, brace_stock(bracing.pulls.values()), strict=True))
    needs = (
        *_post_needs(job, stock, layout, posts, braced, done),
        *_loop_needs(job, stock, layout, cables, fabric, staking, gates, done),
        *_gate_needs(job, stock, braced, gates, done),
    )
    came = _came(job)
    planned = [_row(need, stock[need.stock], came.get(need.stock, (0, 0.0))) for need in needs if need.needed > 0]
    known = {row.stock for row in planned}
    besides = [
        _row(_Need(name, unit_of(stock[name]), 0.0, 0.0), stock[name], brought) for name, brought in came.items() if name not in known
    ]
    return Takeoff((*planned, *besides))


def _came(job: Job) -> dict[str, tuple[int, float]]:
    """Packs and loose units delivered of each stock row."""
    came: dict[str, tuple[int, float]] = {}
    for entry in live(job.log):
        if isinstance(entry, DeliveryEntry):
            packs, loose = came.get(entry.stock, (0, 0.0))
            came[entry.stock] = (packs + (entry.packs or 0), loose + (entry.loose or 0.0))
    return came


def unit_of(row: StockRow) -> str:
    """What a stock row is counted in."""
    return "ft" if row.per_pack is None and row.length_ft else "pieces"


_Cut = tuple[float, bool]
"""What is cut of a roll for a loop or a gate, ft, and whether it hangs."""


def _post_needs(
    job: Job, stock: Mapping[str, StockRow], layout: Layout, posts: Posts, braced: Mapping[str, BraceStock], done: CountedWork
) -> tuple[_Need, ...]:
    driven = [name for name, support in layout.supports.items() if support.support == "driven"]
    plated = [name for name, support in layout.supports.items() if support.at in job.surfaces]
    held = [name for name, support in layout.supports.items() if support.support != "driven" and name not in plated]
    in_sleeves = posts_in_sleeves(layout, posts, done.checklists)
    sleeved, plumb = sleeves_driven(driven, posts, in_sleeves, done, job.fence.sleeve), done.counted("posts", driven, "plumb")
    bolted, held_up = done.counted("posts", plated, "plate"), done.counted("posts", held, "eyes")
    driven = [name for name in driven if name in sleeved.needed or name in plumb.needed]
    set_plumb = done.of("posts", "plumb")
    stand = [name for name in driven if name in in_sleeves and (name in sleeved.used or name in set_plumb)]
    stand = list(filter(done.answered("posts", "plumb", job.fence.post), stand))
    posts_needed, posts_done = [*driven, *bolted.needed], [*stand, *bolted.used]
    given_up = sleeves_given_up(job, posts, done)
    buried = given_up.pop(job.fence.sleeve, 0)
    eyes = {name: max(len(row), 1) for name, row in posts.heights.items()}
    legs: dict[str, list[str]] = {}
    for support, letter in chain.from_iterable(one.legs for one in braced.values()):
        legs.setdefault(letter, []).append(support)
    footed = [done.counted("bracing", supports, f"foot_{letter}") for letter, supports in legs.items()]
    braces, stand_braced = sum(len(one.needed) for one in footed), sum(len(one.used) for one in footed)
    return (
        _Need(job.fence.post, "posts", len(posts_needed), len(posts_done)),
        _Need(job.fence.sleeve, "sleeves", len(sleeved.needed) + buried, len(sleeved.used) + buried),
        *(_Need(row, "sleeves", count, count) for row, count in given_up.items() if row in stock),
        *_loose(stock, "base plate", "plates", len(bolted.needed), len(bolted.used)),
        *_loose(stock, "cap", "caps", len(posts_needed), len(posts_done)),
        _Need(job.fence.brace, "braces", braces, stand_braced),
        *_loose(stock, "band", "bands", braces, stand_braced),
        *_plates(stock, braced, done),
        *_loose(stock, "eye", "eyes", *(2 * sum(eyes[name] for name in some) for some in (posts_needed, posts_done))),
        *_loose(stock, "tree eye", "eyes", *(2 * sum(eyes[name] for name in some) for some in held_up)),
    )


def _plates(stock: Mapping[str, StockRow], braced: Mapping[str, BraceStock], done: CountedWork) -> Iterator[_Need]:
    """Of every width that is asked under brace feet so many; one that the stock doesn't give is told where it is asked."""
    footed = done.counted("bracing", [name for name, one in braced.items() if one.plates], "footed")
    rows = {row.width_in: name for name, row in reversed(list(stock.items())) if row.kind == "foot plate"}
    for width_in in sorted({braced[name].plates_in for name in footed.needed}.intersection(rows)):
        needed, used = (sum(braced[name].plates for name in some if braced[name].plates_in == width_in) for some in footed)
        yield _Need(rows[width_in], "plates", needed, used)


def _loop_needs(
    job: Job,
    stock: Mapping[str, StockRow],
    layout: Layout,
    cables: Cables,
    fabric: Fabric,
    staking: Staking,
    gates: Gates,
    done: CountedWork,
) -> tuple[_Need, ...]:
    wire, mesh = fabric_ids(job.fence)
    spare = job.rules.fabric.spare_pct / 100.0
    strung, locked = (done.counted("cables", cables.loops, what) for what in ("cut_length", "closed"))
    read_ft = {name: tick.reading for name, tick in strung.used.items()}
    cable_used = sum(cables.loops[name].cut_ft if ft is None else ft for name, ft in read_ft.items())
    ringed, tied, wires, meshes = (
        done.counted("fabric", fabric.loops, what) for what in ("seam_ringed", "corners_tied", "wire_hung", "mesh_hung")
    )
    hung, flush = done.used("gate", "hung"), done.counted("staking", staking.bays, "flush")
    rings = fabric.rings + sum(work.rings for work in gates.gates.values())
    rings_used = sum(fabric.loops[name].rings for name in ringed.used) + sum(
        gates.gates[name].rings for name in gates.gates if name in hung
    )
    ties_used = sum(fabric.loops[name].corner_ties for name in tied.used)
    stakes, stakes_used = (sum(len(staking.bays[name].stations_ft) for name in some) for some in flush)
    cut, cut_up_ft = locks_cut_off(job, done), cable_cut_up_ft(job, done)
    cut_ft = cut_up_ft.pop(job.fence.cable, 0.0)
    packs, offcuts = spools(cables, cut_ft), _left_of(cables.spools)
    wire_cuts = [(fabric.loops[name].wire_cut_ft, name in wires.used) for name in wires.needed]
    wire_cuts += [(strip_ft, _all_ringed_in(fabric, strip, done)) for strip, strip_ft in fabric.strips.items()]
    mesh_cuts = [(fabric.loops[name].mesh_cut_ft, name in meshes.used) for name in meshes.needed]
    gate_wires = {name: (work.fabric_wire_ft, name in hung) for name, work in gates.gates.items()}
    gate_meshes = {name: (work.fabric_mesh_ft, name in hung) for name, work in gates.gates.items()}
    return (
        _Need(job.fence.cable, "ft", cables.total_ft + cut_ft, cable_used + cut_ft, packs=packs, offcuts=offcuts),
        *(_Need(row, "ft", ft, ft) for row, ft in cut_up_ft.items() if row in stock),
        *_loose(stock, "lock", "locks", len(locked.needed) + cut, len(locked.used) + cut),
        _hung_need(stock, wire, wire_cuts, gate_wires, fabric.wire_rolls),
        _hung_need(stock, mesh, mesh_cuts, gate_meshes, fabric.mesh_rolls),
        *_loose(stock, "ring", "rings", rings, rings_used, spare),
        *_loose(stock, "tie", "ties", fabric.ties, ties_used, spare),
        *_loose(stock, "anchor", "anchors", *_anchors(job, layout, staking, done)),
        *_loose(stock, "stake", "stakes", stakes, stakes_used, staking.spare / staking.total if staking.total else 0.0),
    )


def _all_ringed_in(fabric: Fabric, strip: StripNumber, done: CountedWork) -> bool:
    return all(piece.bay in done.used("fabric", piece.ticked_as) for piece in fabric.infills if piece.strip == strip)


def _anchors(job: Job, layout: Layout, staking: Staking, done: CountedWork) -> tuple[int, int]:
    """Anchors needed and used: for base plates, and for the wire's edge on hard floors."""
    plated = done.counted("posts", [name for name, support in layout.supports.items() if support.at in job.surfaces], "plate")
    edges = done.counted("staking", staking.bays, "fastened")
    needed, used = (
        ANCHORS * len(plates) + sum(len(staking.bays[name].fastened_ft) for name in bays)
        for plates, bays in zip(plated, edges, strict=True)
    )
    return needed, used


def _hung_need(stock: Mapping[str, StockRow], name: str, loops: Sequence[_Cut], gates: Mapping[str, _Cut], rolls: CutPlan) -> _Need:
    """Wire or mesh: length and whether it hangs, of every loop and every gate; gates are covered from what the loops' rolls leave."""
    cuts = (*loops, *gates.values())
    roll_ft = stock[name].length_ft
    cut_fts = {gate: cut_ft for gate, (cut_ft, _) in gates.items()}
    for_gates = cuts_for_gates(cut_fts, Stock(name, roll_ft) if roll_ft else None, rolls)
    needed, used = sum(cut_ft for cut_ft, _ in cuts), sum(cut_ft for cut_ft, hangs in cuts if hangs)
    packs = len(rolls.rolls) + sum(not roll.is_offcut for roll in for_gates.rolls)
    return _Need(name, "ft", needed, used, packs=packs, offcuts=_left_of(rolls, for_gates))


def cuts_for_gates(gates: Mapping[str, float], roll: Stock | None, rolls: CutPlan) -> CutPlan:
    """What gates take, ft, cut from what the loops' rolls leave, each called by its place among them, and from fresh rolls."""
    left = {f"{number}": one.left for number, one in enumerate(rolls.rolls) if one.left > 0}
    return plan_cuts(gates, roll, left)


def _gate_needs(
    job: Job, stock: Mapping[str, StockRow], braced: Mapping[str, BraceStock], gates: Gates, done: CountedWork
) -> tuple[_Need, ...]:
    leaves = [(name, leaf) for name, work in gates.gates.items() for leaf in work.leaves]
    hangs = done.used("gate", "hung")
    hung = [leaf for name, leaf in leaves if name in hangs]
    pairs = [name for name, work in gates.gates.items() if work.standing]
    tubes = frame_tubes(job, gates)
    total, total_hung = (2 * sum(leaf.stile_ft + leaf.rail_ft for leaf in some) for some in ([leaf for _, leaf in leaves], hung))
    packs, offcuts = (len(tubes.rolls), _left_of(tubes)) if tubes else (None, ())
    wire = 2 * sum(leaf.wire_ft for _, leaf in leaves)
    screws = sum(work.screws for work in gates.gates.values())
    screwed = sum(work.screws for name, work in gates.gates.items() if name in hangs)
    pins = done.counted("bracing", [name for name, one in braced.items() if one.pinned], "pinned")
    return (
        _Need(job.fence.gate_tube, "ft", total, total_hung, packs=packs, offcuts=offcuts),
        *_loose(stock, "gate corner", "corners", 4 * len(leaves), 4 * len(hung)),
        *_loose(stock, "screw", "screws", screws + len(pins.needed), screwed + len(pins.used)),
        *_loose(stock, "hinge", "hinges", 2 * len(leaves), 2 * len(hung)),
        *_loose(stock, "latch", "latches", len(gates.gates), len(gates.gates.keys() & hangs.keys())),
        *(
            need
            for part in PAIR_PARTS
            for need in _loose(
                stock, part.kind, part.unit, part.each * len(pairs), part.each * sum(name in done.used("gate", part.what) for name in pairs)
            )
        ),
        *_loose(stock, "turnbuckle", "turnbuckles", 2 * len(leaves), 2 * len(hung)),
        *_face_wire(stock, wire, 2 * sum(leaf.wire_ft for leaf in hung), face_wires(job, gates)),
    )


def _face_wire(stock: Mapping[str, StockRow], needed: float, used: float, plan: CutPlan | None) -> tuple[_Need, ...]:
    """Coils that hold every wire in one piece, where each fits one."""
    whole = plan is not None and not plan.unplaced
    return tuple(
        replace(need, packs=len(plan.rolls) if whole and plan else None) for need in _loose(stock, "brace wire", "ft", needed, used)
    )


def _left_of(plan: CutPlan, after: CutPlan | None = None) -> tuple[float, ...]:
    """What a cut plan leaves of its rolls, longest first; `after` was cut from what it leaves, numbered as its rolls are."""
    left = {f"{number}": roll.left for number, roll in enumerate(plan.rolls)}
    fresh = []
    for roll in after.rolls if after else ():
        if roll.is_offcut:
            left[roll.stock_id] = roll.left
        else:
            fresh.append(roll.left)
    return tuple(sorted((length for length in (*left.values(), *fresh) if length > 0), reverse=True))


def _loose(stock: Mapping[str, StockRow], kind: StockKind, unit: str, needed: float, used: float, spare: float = 0.0) -> tuple[_Need, ...]:
    name = first_of(stock, kind)
    return () if name is None else (_Need(name, unit, needed, used, spare=float(ceil(needed * spare - ROUNDING_COUNT))),)


def _row(need: _Need, row: StockRow, came: tuple[int, float]) -> TakeoffRow:
    per_pack = float((row.length_ft if need.unit == "ft" else row.per_pack) or 1.0)
    packs = need.packs if need.packs is not None else ceil((need.needed + need.spare) / per_pack - ROUNDING_COUNT)
    return TakeoffRow(
        stock=need.stock,
        name=row.name or need.stock,
        unit=need.unit,
        needed=need.needed,
        spare=need.spare,
        per_pack=per_pack,
        packs=packs,
        loaded=row.loaded,
        delivered=came[0],
        loose=came[1],
        short=0 if row.loaded is None else _short(need, packs, per_pack, row.loaded + came[0], came[1]),
        used=need.used,
        price=row.price,
        offcuts=need.offcuts,
    )


def _short(need: _Need, packs: int, per_pack: float, have: int, loose: float) -> int:
    """Packs still to come: loose pieces count one by one, a loose length only where it is as long as a whole roll."""
    if need.unit == "ft":
        return max(0, packs - have - int(loose // per_pack))
    return max(0, ceil((need.needed + need.spare - loose) / per_pack - ROUNDING_COUNT) - have)
