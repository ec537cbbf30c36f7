"""Take-off: everything the fence needs, in packs, against what the truck carries and what was delivered."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain
from math import ceil
from typing import NamedTuple

from engine.calc.cutting.cut_plan import CutPlan, Stock, plan_cuts
from engine.calc.frozen import dataclass
from engine.calc.tolerances import ROUNDING_COUNT
from engine.checklist import Checklist
from engine.findings import StageName
from engine.job.model.job import Job
from engine.job.model.log_entries import DeliveryEntry, live
from engine.job.model.stock_row import StockKind, StockRow
from engine.job.model.stock_table import fabric_ids, first_of, plate_rows, stock_of
from engine.stages.brace_stock import BraceStock, brace_stock
from engine.stages.bracing.stage import Bracing
from engine.stages.cables.stage import Cables
from engine.stages.counted_work import CountedWork
from engine.stages.fabric.stage import Fabric
from engine.stages.gate.frame_tubes import face_wires, frame_tubes
from engine.stages.gate.gate_work import IN_LEAF
from engine.stages.gate.pairs import PAIR_PARTS
from engine.stages.gate.stage import Gates
from engine.stages.given_up_stock import given_up, not_out_yet, spools
from engine.stages.layout.stage import Layout
from engine.stages.posts.plates import ANCHORS
from engine.stages.posts.stage import Posts
from engine.stages.posts_in_sleeves import SleevesDriven, posts_in_sleeves, sleeves_driven, stood_before
from engine.stages.staking.stage import Staking
from engine.stages.used_stock import added_up, rows_of, used_at_posts, used_on_aprons, used_on_braces, used_on_gates, used_on_loops


@dataclass(frozen=True)
class TakeoffRow:
    """One stock row: `needed` in `unit`, `spare` on top of it for loose pieces, whole packs to load, packs loaded, and packs short.

    `delivered` packs and `loose` units came after the truck was loaded. `loaded` is None where nobody counted; nothing is called short
    then. `used` counts what ticked work has used as it was made, in `unit`, whatever is needed today. `offcuts` are what the cut plan
    leaves of its rolls, ft, longest first.
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
    """All rows in the order of the work, then those that something was used or came of though nothing is needed; others are left out."""

    rows: tuple[TakeoffRow, ...]


@dataclass(frozen=True)
class _Need:
    stock: str
    unit: str
    needed: float
    spare: float = 0.0
    packs: int | None = None
    offcuts: tuple[float, ...] = ()


class _Supports(NamedTuple):
    """Supports by what carries their eyes: posts that are driven, on base plates, neither; and driven ones that stand in their sleeves."""

    driven: Sequence[str]
    plated: Sequence[str]
    held: Sequence[str]
    stand: Sequence[str]


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
    """Everything the fence needs against what is loaded and what was delivered. What was given up is needed and used."""
    stock, done = stock_of(job.stock), CountedWork(job, layout, checklists)
    braced = dict(zip(bracing.pulls, brace_stock(bracing.pulls.values()), strict=True))
    supports, sleeved = _supports(job, layout, posts, done)
    rows, gone = rows_of(stock, job.fence), added_up(given_up(job, stock, posts, done))
    in_ground = (
        *((row, 1) for row in sleeved.used.values()),
        *used_at_posts(rows, posts, supports.stand, supports.plated, supports.held, done),
        *used_on_braces(rows, braced, done),
    )
    used = added_up((
        *in_ground,
        *used_on_loops(rows, cables, fabric, done.made("cables"), done.made("fabric")),
        *used_on_aprons(rows, staking, done.made("staking")),
        *used_on_gates(rows, gates, done.made("gate")),
        *gone.items(),
        *not_out_yet(job, posts, done),
    ))  # fmt: skip
    new_gates = done.needed("gate", gates.gates, "hung")
    gates = gates if len(new_gates) == len(gates.gates) else replace(gates, gates={name: gates.gates[name] for name in new_gates})
    needs = (
        *_post_needs(job, stock, supports, sleeved, posts, braced, done),
        *_loop_needs(job, stock, supports, cables, fabric, staking, gates, done, gone.get(job.fence.cable, 0.0)),
        *_gate_needs(job, stock, braced, gates, done),
    )
    pieces = {*(row for row, _ in in_ground), *(sleeve.row for sleeve in posts.old_sleeves)}
    return Takeoff(tuple(_rows(_with_unlisted(stock, used, pieces), needs, gone, used, _came(job))))


def _with_unlisted(stock: Mapping[str, StockRow], used: Mapping[str, float], pieces: Collection[str | None]) -> Mapping[str, StockRow]:
    """The stock, and what ticks say was used of a row that isn't in it: by the name they say, in feet but for posts, sleeves and braces."""
    unlisted = {name: StockRow(length_ft=None if name in pieces else 1) for name in used if name not in stock}
    return {**stock, **unlisted} if unlisted else stock


def _rows(
    stock: Mapping[str, StockRow],
    needs: Sequence[_Need],
    gone: Mapping[str, float],
    used: Mapping[str, float],
    came: Mapping[str, tuple[int, float]],
) -> Iterator[TakeoffRow]:
    units = {stock[need.stock].kind: need.unit for need in needs if need.stock in stock}
    planned = {need.stock: need for need in needs}
    for name in dict.fromkeys((*planned, *gone, *used, *came)):
        if name in stock:
            need = planned.get(name) or _Need(name, units.get(stock[name].kind, unit_of(stock[name])), 0.0)
            if name in gone:
                need = replace(need, needed=need.needed + gone[name])
            if need.needed > 0 or name in used or name in came:
                yield _row(need, stock[name], came.get(name, (0, 0.0)), used.get(name, 0.0))


def _supports(job: Job, layout: Layout, posts: Posts, done: CountedWork) -> tuple[_Supports, SleevesDriven]:
    every = [name for name, support in layout.supports.items() if support.support == "driven"]
    plated = [name for name, support in layout.supports.items() if support.at in job.surfaces]
    held = [name for name, support in layout.supports.items() if support.support != "driven" and name not in plated]
    in_sleeves = posts_in_sleeves(layout, posts, done.checklists)
    sleeved, plumb = sleeves_driven(every, posts, in_sleeves, done, job.fence.sleeve), done.needed("posts", every, "plumb")
    new, set_plumb = plumb.keys() - stood_before(posts, done), done.of("posts", "plumb")
    driven = [name for name in every if name in sleeved.needed or name in new]
    stand = [name for name in driven if name in sleeved.used or (name in in_sleeves and name in set_plumb)]
    return _Supports(driven, plated, held, stand), sleeved


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


def _post_needs(
    job: Job,
    stock: Mapping[str, StockRow],
    supports: _Supports,
    sleeved: SleevesDriven,
    posts: Posts,
    braced: Mapping[str, BraceStock],
    done: CountedWork,
) -> tuple[_Need, ...]:
    bolted, held_up = done.needed("posts", supports.plated, "plate"), done.needed("posts", supports.held, "eyes")
    stand = [*supports.driven, *bolted]
    eyes = {name: 2 * max(len(row), 1) for name, row in posts.heights.items()}
    legs: dict[str, list[str]] = {}
    for support, letter in chain.from_iterable(one.legs for one in braced.values()):
        legs.setdefault(letter, []).append(support)
    braces = sum(len(done.needed("bracing", footed, f"foot_{letter}")) for letter, footed in legs.items())
    return (
        _Need(job.fence.post, "posts", len(stand)),
        _Need(job.fence.sleeve, "sleeves", len(sleeved.needed)),
        *_loose(stock, "base plate", "plates", len(bolted)),
        *_loose(stock, "cap", "caps", len(stand)),
        _Need(job.fence.brace, "braces", braces),
        *_loose(stock, "band", "bands", braces),
        *_plates(stock, braced, done),
        *_loose(stock, "eye", "eyes", sum(eyes[name] for name in stand)),
        *_loose(stock, "tree eye", "eyes", sum(eyes[name] for name in held_up)),
    )


def _plates(stock: Mapping[str, StockRow], braced: Mapping[str, BraceStock], done: CountedWork) -> Iterator[_Need]:
    """Of every width that is asked under brace feet so many; one that the stock doesn't give is told where it is asked."""
    footed = done.needed("bracing", [name for name, one in braced.items() if one.plates], "footed")
    rows = plate_rows(stock)
    for width_in in sorted({braced[name].plates_in for name in footed}.intersection(rows)):
        yield _Need(rows[width_in], "plates", sum(braced[name].plates for name in footed if braced[name].plates_in == width_in))


def _loop_needs(
    job: Job,
    stock: Mapping[str, StockRow],
    supports: _Supports,
    cables: Cables,
    fabric: Fabric,
    staking: Staking,
    gates: Gates,
    done: CountedWork,
    cut_up_ft: float,
) -> tuple[_Need, ...]:
    wire, mesh = fabric_ids(job.fence)
    spare = job.rules.fabric.spare_pct / 100.0
    wires = [fabric.loops[name].wire_cut_ft for name in done.needed("fabric", fabric.loops, "wire_hung")]
    meshes = [fabric.loops[name].mesh_cut_ft for name in done.needed("fabric", fabric.loops, "mesh_hung")]
    gate_wires = {name: work.fabric_wire_ft for name, work in gates.gates.items()}
    gate_meshes = {name: work.fabric_mesh_ft for name, work in gates.gates.items()}
    rings = fabric.rings + sum(work.rings for work in gates.gates.values())
    fastened, stakes = (done.needed("staking", staking.bays, what) for what in ("fastened", "flush"))
    anchors = ANCHORS * len(done.needed("posts", supports.plated, "plate")) + sum(len(staking.bays[name].fastened_ft) for name in fastened)
    more_stakes = staking.spare / staking.total if staking.total else 0.0
    return (
        _Need(job.fence.cable, "ft", cables.total_ft, packs=spools(cables, cut_up_ft), offcuts=_left_of(cables.spools)),
        *_loose(stock, "lock", "locks", len(done.needed("cables", cables.loops, "closed"))),
        _hung_need(stock, wire, (*wires, *fabric.strips.values()), gate_wires, fabric.wire_rolls),
        _hung_need(stock, mesh, meshes, gate_meshes, fabric.mesh_rolls),
        *_loose(stock, "ring", "rings", rings, spare),
        *_loose(stock, "tie", "ties", fabric.ties, spare),
        *_loose(stock, "anchor", "anchors", anchors),
        *_loose(stock, "stake", "stakes", sum(len(staking.bays[name].stations_ft) for name in stakes), more_stakes),
    )


def _hung_need(stock: Mapping[str, StockRow], name: str, loops: Sequence[float], gates: Mapping[str, float], rolls: CutPlan) -> _Need:
    """Wire or mesh of every loop and every gate, ft; gates are covered from what the loops' rolls leave."""
    roll_ft = stock[name].length_ft
    for_gates = cuts_for_gates(gates, Stock(name, roll_ft) if roll_ft else None, rolls)
    packs = len(rolls.rolls) + sum(not roll.is_offcut for roll in for_gates.rolls)
    return _Need(name, "ft", sum((*loops, *gates.values())), packs=packs, offcuts=_left_of(rolls, for_gates))


def cuts_for_gates(gates: Mapping[str, float], roll: Stock | None, rolls: CutPlan) -> CutPlan:
    """What gates take, ft, cut from what the loops' rolls leave, each called by its place among them, and from fresh rolls."""
    left = {f"{number}": one.left for number, one in enumerate(rolls.rolls) if one.left > 0}
    return plan_cuts(gates, roll, left)


def _gate_needs(
    job: Job, stock: Mapping[str, StockRow], braced: Mapping[str, BraceStock], gates: Gates, done: CountedWork
) -> tuple[_Need, ...]:
    leaves = sum(len(work.leaves) for work in gates.gates.values())
    pairs = sum(work.standing > 0 for work in gates.gates.values())
    tubes, faces = frame_tubes(job, gates), face_wires(job, gates)
    of_tube, of_wire = (sum(work.taken_ft[kind] for work in gates.gates.values()) for kind in ("gate tube", "brace wire"))
    packs, offcuts = (len(tubes.rolls), _left_of(tubes)) if tubes else (None, ())
    pins = done.needed("bracing", [name for name, one in braced.items() if one.pinned], "pinned")
    return (
        _Need(job.fence.gate_tube, "ft", of_tube, packs=packs, offcuts=offcuts),
        *_loose(stock, "gate corner", "corners", leaves * IN_LEAF["gate corner"]),
        *_loose(stock, "screw", "screws", leaves * IN_LEAF["screw"] + len(pins)),
        *_loose(stock, "hinge", "hinges", leaves * IN_LEAF["hinge"]),
        *_loose(stock, "latch", "latches", len(gates.gates)),
        *(need for part in PAIR_PARTS for need in _loose(stock, part.kind, part.unit, part.each * pairs)),
        *_loose(stock, "turnbuckle", "turnbuckles", leaves * IN_LEAF["turnbuckle"]),
        *_face_wire(stock, of_wire, faces),
    )


def _face_wire(stock: Mapping[str, StockRow], needed: float, plan: CutPlan | None) -> tuple[_Need, ...]:
    """Coils that hold every wire in one piece, where each fits one."""
    whole = plan is not None and not plan.unplaced
    return tuple(replace(need, packs=len(plan.rolls) if whole and plan else None) for need in _loose(stock, "brace wire", "ft", needed))


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


def _loose(stock: Mapping[str, StockRow], kind: StockKind, unit: str, needed: float, spare: float = 0.0) -> tuple[_Need, ...]:
    name = first_of(stock, kind)
    return () if name is None else (_Need(name, unit, needed, spare=float(ceil(needed * spare - ROUNDING_COUNT))),)


def _row(need: _Need, row: StockRow, came: tuple[int, float], used: float) -> TakeoffRow:
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
        used=used,
        price=row.price,
        offcuts=need.offcuts,
    )


def _short(need: _Need, packs: int, per_pack: float, have: int, loose: float) -> int:
    """Packs still to come: loose pieces count one by one, a loose length only where it is as long as a whole roll."""
    if need.unit == "ft":
        return max(0, packs - have - int(loose // per_pack))
    return max(0, ceil((need.needed + need.spare - loose) / per_pack - ROUNDING_COUNT) - have)
