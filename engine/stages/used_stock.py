"""What went into the ground and the fence, by stock row: as ticks say that it was made, whatever is wanted today and of which row. A tick
of an older file, which doesn't say what it took, counts for what is asked today."""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from itertools import repeat
from math import fsum
from operator import attrgetter
from typing import NamedTuple

from engine.calc.remember import remembered_columns, remembered_of
from engine.job.model.checks import Tick
from engine.job.model.fence import Fence
from engine.job.model.item_key import ItemKey
from engine.job.model.stock_row import StockKind, StockRow
from engine.job.model.stock_table import fabric_ids, first_rows_of, plate_rows
from engine.job.model.tick_facts import CUT_TO, PLATE, PLATES, RINGS, SPOTS, STAKES, TAKEN, TIES, count_of, size_of
from engine.stages.brace_stock import BraceStock
from engine.stages.cables.stage import Cables
from engine.stages.counted_work import CountedWork, Made
from engine.stages.fabric.infills import WireCut, cuts_said, strip_cuts, strips_of
from engine.stages.fabric.loop_fabric import LoopFabric
from engine.stages.fabric.stage import Fabric
from engine.stages.gate.gate_work import BY_LENGTH, IN_LEAF
from engine.stages.gate.pairs import PAIR_PARTS
from engine.stages.gate.stage import Gates
from engine.stages.posts.plates import ANCHORS
from engine.stages.posts.stage import Posts
from engine.stages.staking.bay_stakes import BayStakes
from engine.stages.staking.stage import Staking

NOT_BRACED = BraceStock((), 0, 0.0, pinned=False)
NO_FABRIC = LoopFabric("", 0.0, 0.0, 0, 0, 0, 0, 0, 0)
_OF_LEAF: Mapping[StockKind, int] = {"gate tube": -3, "wire": -2, "mesh": -1}
"""Where a hung gate's tick says the rows of a leaf: last."""
Took = Iterable[tuple[str | None, float]]
"""Stock rows and how much of each, in its unit; None where the stock has none of a kind."""


@remembered_columns
def _counted(tick: Tick, what: str) -> int | None:
    """How many of a thing each tick says; None where it doesn't."""
    return count_of(tick.of, what)


@remembered_columns
def _sized(tick: Tick, name: str) -> float | None:
    """Of what size each tick says that a thing is; None where it doesn't."""
    return size_of(tick.of, name)


_HANGING_TAKES: Sequence[tuple[str, StockKind, Callable[..., Sequence[float | None]], str, Callable[[LoopFabric], float]]] = (
    ("wire_hung", "ring", _counted, RINGS, attrgetter("cable_rings")),
    ("mesh_hung", "ring", _counted, RINGS, attrgetter("mesh_rings")),
    ("seam_ringed", "ring", _counted, RINGS, lambda loop: loop.seam_rings + loop.splice_rings),
    ("wire_hung", "wire", _sized, CUT_TO, attrgetter("wire_cut_ft")),
    ("mesh_hung", "mesh", _sized, CUT_TO, attrgetter("mesh_cut_ft")),
    ("corners_tied", "tie", _counted, TIES, attrgetter("corner_ties")),
)
"""What each item of a loop's fabric takes of which stock, as its tick says it, and as it is asked of a loop today."""


class UsedRows(NamedTuple):
    """The rows of a job's stock, and of every kind the one that its fence names today, or the first."""

    stock: Mapping[str, StockRow]
    today: Mapping[StockKind | None, str]

    def of(self, kind: StockKind, tick: Tick | None = None, place: int = -1) -> str | None:
        """The row that a tick says in that place of its stock, else today's."""
        said = tick.of.stock[place:] if tick is not None else ()
        return said[0] if said else self.today.get(kind)


@remembered_of
def rows_of(stock: Mapping[str, StockRow], fence: Fence) -> UsedRows:
    """The rows that may be used."""
    wire, mesh = fabric_ids(fence)
    named: dict[StockKind | None, str] = {
        "post": fence.post, "brace": fence.brace, "cable": fence.cable, "wire": wire, "mesh": mesh, "gate tube": fence.gate_tube,
    }  # fmt: skip
    return UsedRows(stock, {**first_rows_of(stock), **named})


def added_up(took: Took) -> dict[str, float]:
    """How much of every row, the same in whatever order things were ticked."""
    used: dict[str, list[float]] = {}
    for row, amount in took:
        if row is not None and amount:
            used.setdefault(row, []).append(amount)
    return {row: fsum(used[row]) for row in sorted(used)}


def used_at_posts(
    rows: UsedRows, posts: Posts, stand: Sequence[str], plated: Collection[str], held: Collection[str], done: CountedWork
) -> Took:
    """Posts with cap and eyes in sleeves, plumb or not, and on base plates, anchors that were set, and eyes in trees and walls."""
    asked, made, post = done.checklists["posts"].by_key, done.made("posts"), rows.of("post")
    eyes = made.get("eyes", {})
    eyes_at = dict(zip(eyes, _heights_of_eyes(eyes.values()), strict=True))

    def eyed(name: str) -> int:
        return 2 * (eyes_at.get(name) or max(len(posts.heights.get(name, ())), 1))

    plates = made.get("plate", {})
    bolted = {name: tick for name, tick in plates.items() if name in plated}
    lines = ((name, asked.get(ItemKey("posts", name, "plumb"))) for name in stand)
    plumb = {name: tick for name, line in lines if line is not None and (tick := line.tick if line.settled else line.was) is not None}
    stood = {**{name: eyes[name] for name in stand if name in eyes}, **plumb}
    set_up = {name: rows.of("post", tick) for name, tick in (*stood.items(), *bolted.items())}
    new = [name for name, row in set_up.items() if row == post or done.since((stood.get(name) or bolted[name]).at)]
    yield from ((set_up[name], 1) for name in new)
    yield rows.of("cap"), len(new)
    yield rows.of("eye"), sum(map(eyed, new))
    yield rows.of("base plate"), len(bolted)
    yield rows.of("anchor"), ANCHORS * len(plates)
    yield rows.of("tree eye"), sum(eyed(name) for name in eyes if (name in held or name not in posts.heights) and not eyes[name].of.stock)


@remembered_columns
def _heights_of_eyes(tick: Tick) -> int:
    """At how many fences' heights each tick says that eyes are, 0 where an older file doesn't say."""
    return next((1 + word.count(", and ") for word in tick.of.words if word.startswith("eyes at ")), 0)


def used_on_braces(rows: UsedRows, braced: Mapping[str, BraceStock], done: CountedWork) -> Took:
    """Braces with their bands, plates under their feet, and screws through posts."""
    made, plates = done.made("bracing"), plate_rows(rows.stock)
    feet = [tick for what, ticks in made.items() if what.startswith("foot_") for tick in ticks.values()]
    yield from ((rows.of("brace", tick), 1) for tick in feet)
    yield rows.of("band"), len(feet)
    footed = made.get("footed", {})
    wide_ft, counts = _sized(footed.values(), repeat(PLATE)), _counted(footed.values(), repeat(PLATES))
    for name, wide, count in zip(footed, wide_ft, counts, strict=True):
        today = braced.get(name, NOT_BRACED)
        yield plates.get(today.plates_in if wide is None else round(12 * wide, 1)), _or(count, today.plates)
    yield rows.of("screw"), len(made.get("pinned", {}))


@remembered_of
def used_on_loops(rows: UsedRows, cables: Cables, fabric: Fabric, strung: Made, hung: Made) -> Took:
    """Cable with its locks, wire and mesh with their rings and ties, and what is slit from the wire."""
    used: list[tuple[str | None, float]] = []
    for name, tick in strung.get("cut_length", {}).items():
        used.append((rows.of("cable", tick), _or(tick.reading_ft, cables.loops[name].cut_ft if name in cables.loops else 0.0)))
    used.append((rows.of("lock"), len(strung.get("closed", {}))))
    today = fabric.loops.get
    for what, kind, says, word, of_loop in _HANGING_TAKES:
        ticks = hung.get(what, {})
        said = zip(ticks, says(ticks.values(), repeat(word)), strict=True)
        took = [of_loop(today(name, NO_FABRIC)) if known is None else known for name, known in said]
        used += zip([rows.of(kind, tick) for tick in ticks.values()] if says is _sized else repeat(rows.of(kind)), took, strict=False)
    return tuple(added_up((*used, *_slit(rows, fabric, hung))).items())


def _slit(rows: UsedRows, fabric: Fabric, hung: Made) -> Took:
    """The strips that pieces ringed in and hung under decks are slit from, of each row of wire."""
    cuts: dict[str | None, list[WireCut]] = {}
    for what in ("infill", "under_closed"):
        for name, tick in hung.get(what, {}).items():
            today = [piece.cut for piece in fabric.infills if (piece.bay, piece.ticked_as) == (name, what)]
            cuts.setdefault(rows.of("wire", tick), []).extend(cuts_said(tick.of) or today)
    for row, of_row in cuts.items():
        yield row, sum(strip_cuts(of_row, strips_of(of_row, fabric.wire_width_in)).values())


@remembered_of
def used_on_aprons(rows: UsedRows, staking: Staking, staked: Made) -> Took:
    """Stakes, and anchors where the edge is fastened to a hard floor."""
    today, bare, flush, fastened = staking.bays, BayStakes("", (), (), ()), staked.get("flush", {}), staked.get("fastened", {})
    staked_at, fastened_at = _counted(flush.values(), repeat(STAKES)), _counted(fastened.values(), repeat(SPOTS))
    stakes = sum(_or(said, len(today.get(name, bare).stations_ft)) for name, said in zip(flush, staked_at, strict=True))
    anchors = sum(_or(said, len(today.get(name, bare).fastened_ft)) for name, said in zip(fastened, fastened_at, strict=True))
    return (rows.of("stake"), stakes), (rows.of("anchor"), anchors)


@remembered_of
def used_on_gates(rows: UsedRows, gates: Gates, hung: Made) -> Took:
    """Frames with their metal, wires and fabric, and what two leaves take besides."""
    return tuple(_on_gates(rows, gates, hung))


def _on_gates(rows: UsedRows, gates: Gates, hung: Made) -> Took:
    for name, tick in hung.get("hung", {}).items():
        work = gates.gates.get(name)
        for kind in BY_LENGTH:
            row = rows.of(kind, tick, _OF_LEAF[kind]) if kind in _OF_LEAF else rows.of(kind)
            yield row, _or(size_of(tick.of, f"{kind}{TAKEN}"), work.taken_ft[kind] if work else 0.0)
        yield rows.of("ring"), _or(count_of(tick.of, RINGS), work.rings if work else 0)
        leaves = sum(size.name.endswith(" wide") for size in tick.of.sizes) or (len(work.leaves) if work else 0)
        yield from ((rows.of(kind), each * leaves) for kind, each in IN_LEAF.items())
        yield rows.of("latch"), 1
    yield from ((rows.of(part.kind), part.each * len(hung.get(part.what, {}))) for part in PAIR_PARTS)


def _or(said: float | None, today: float) -> float:
    return today if said is None else said
