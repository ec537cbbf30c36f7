"""Cut lists: which piece comes from which spool, roll or length, in which order, and what is left on it then."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain
from typing import NamedTuple

from engine.calc.cutting.cut_plan import CutPlan, Stock
from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import counted, listed
from engine.findings import StageName
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.stock_row import StockKind
from engine.job.model.stock_table import fabric_ids, first_of, stock_of
from engine.paper.pack_words import HELD_IN
from engine.sheets.sheet import answer_words
from engine.stages.counted_work import CountedWork
from engine.stages.gate.frame_tubes import GatePiece, face_wire_pieces, face_wires, frame_pieces, frame_tubes
from engine.stages.takeoff import cuts_for_gates
from engine.walk import Walk

ORDER = "Cut in this order, the longest first: a piece cut wrong still makes a shorter one (common practice, no source)."


class CutPiece(NamedTuple):
    """One cut: the roll it comes from, counted from 1 (0: from none), which cut of it, what it is for, and what is left on the roll.
    `done` is how far it is, as its sheet says; empty where it is still to be cut."""

    roll: int
    cut: int
    name: str
    length_ft: float
    use: str
    left_ft: float
    done: str


@dataclass(frozen=True)
class CutList:
    """All cuts of one thing. `held_in` is what one piece of its stock is called, `roll_ft` how long that is, 0 where the stock doesn't
    say."""

    title: str
    stock: str
    held_in: str
    roll_ft: float
    rolls: int
    pieces: tuple[CutPiece, ...]

    @property
    def total_ft(self) -> float:
        """The length of all pieces."""
        return sum(piece.length_ft for piece in self.pieces)

    @property
    def says(self) -> str:
        """What to take and what comes out of it: `2 spools of 500' 0", 558' 4" in 6 pieces.`"""
        took = f"{counted(self.rolls, self.held_in)} of {format_ft_in(self.roll_ft)}, " if self.roll_ft else ""
        return f"{took}{format_ft_in(self.total_ft)} in {counted(len(self.pieces), 'piece')}."


class _ToCut(NamedTuple):
    """A piece before it has a roll."""

    length_ft: float
    use: str
    done: str


def cut_lists(job: Job, walk: Walk) -> tuple[CutList, ...]:
    """Cable, wire, mesh, and of gates the frame and the face wires; what nothing is cut of is left out, and in a repair what stands."""
    wire, mesh = fabric_ids(job.fence)
    new = CountedWork(job, walk.layout, walk.checklists).new
    walk = _with_new_hung(walk, new) if job.repair_of is not None else walk
    cables = {name: one for name, one in _cables(walk).items() if new("cables", name, "cut_length")}
    made = (
        _list(job, "Cable", job.fence.cable, cables, walk.cables.spools),
        _hung(job, walk, "wire", wire, walk.fabric.wire_rolls),
        _hung(job, walk, "mesh", mesh, walk.fabric.mesh_rolls),
        _list(job, "Gate frames", job.fence.gate_tube, _of_gates(walk, frame_pieces(walk.gate), "frame"), frame_tubes(job, walk.gate)),
        _face_wires(job, walk),
    )
    return tuple(one for one in made if one is not None and one.pieces)


def _with_new_hung(walk: Walk, new: Callable[[StageName, str, str], bool]) -> Walk:
    """The walk, with those pieces and gates alone that the take-off counts."""
    gates = {name: work for name, work in walk.gate.gates.items() if new("gate", name, "hung")}
    pieces = {
        word: {name: cut for name, cut in cuts.items() if new("fabric", name, f"{word}_hung")} for word, cuts in walk.fabric.pieces.items()
    }
    return replace(walk, fabric=replace(walk.fabric, pieces=pieces), gate=replace(walk.gate, gates=gates))


def _list(
    job: Job, title: str, stock_id: str, pieces: Mapping[str, _ToCut], plan: CutPlan | None, after: CutPlan | None = None
) -> CutList | None:
    """The cuts of a plan roll by roll; `after` was cut from what it leaves, and from fresh rolls."""
    row = stock_of(job.stock).get(stock_id)
    filled: list[list[str]] = [list(roll.piece_ids) for roll in plan.rolls] if plan else []
    for roll in after.rolls if after else ():
        if roll.is_offcut:
            filled[int(roll.stock_id)] += roll.piece_ids
        else:
            filled.append(list(roll.piece_ids))
    roll_ft = (row and row.length_ft) or 0.0
    placed = set(chain.from_iterable(filled))
    cuts = (*_cuts(filled, pieces, roll_ft), *(CutPiece(0, 0, name, *_told(one), 0.0, one.done) for name, one in _left(pieces, placed)))
    return CutList(title, (row and row.name) or stock_id, _held(row.kind if row else None), roll_ft, len(filled), cuts)


def _left(pieces: Mapping[str, _ToCut], placed: set[str]) -> Iterator[tuple[str, _ToCut]]:
    return ((name, one) for name, one in pieces.items() if name not in placed)


def _told(piece: _ToCut) -> tuple[float, str]:
    return piece.length_ft, piece.use


def _held(kind: StockKind | None) -> str:
    return HELD_IN.get(kind, "piece") if kind else "piece"


def _cuts(filled: Sequence[Sequence[str]], pieces: Mapping[str, _ToCut], roll_ft: float) -> Iterator[CutPiece]:
    for number, names in enumerate(filled, 1):
        left_ft = roll_ft
        for cut, name in enumerate(names, 1):
            left_ft -= pieces[name].length_ft
            yield CutPiece(number, cut, name, *_told(pieces[name]), max(0.0, left_ft), pieces[name].done)


def _cables(walk: Walk) -> dict[str, _ToCut]:
    return {
        name: _ToCut(loop.cut_ft, _ends(walk, name), _done(walk, "cables", name, "cut_length")) for name, loop in walk.cables.loops.items()
    }


def _ends(walk: Walk, loop: str) -> str:
    supports = walk.cables.loops[loop].supports
    return f"{supports[0]} to {supports[-1]}"


def _hung(job: Job, walk: Walk, word: str, stock_id: str, plan: CutPlan) -> CutList | None:
    """Wire or mesh: of the loops, of strips to ring in, then of the gates."""
    pieces: dict[str, _ToCut] = {}
    for loop, of_loop in walk.fabric.pieces[word].items():
        pieces |= {
            name: _ToCut(ft, _ends(walk, loop), _done(walk, "fabric", loop, f"{word}_hung")) for name, ft in of_loop.items() if ft > 0
        }
    if word == "wire":
        for strip, ft in walk.fabric.strips.items():
            pieces[str(strip)] = _ToCut(ft, f"slit for {listed([one.id for one in walk.fabric.infills if one.strip == strip])}", "")
    gates = {f"gate {name}": (work.fabric_wire_ft if word == "wire" else work.fabric_mesh_ft) for name, work in walk.gate.gates.items()}
    row = stock_of(job.stock).get(stock_id)
    after = cuts_for_gates(gates, Stock(stock_id, row.length_ft) if row and row.length_ft else None, plan)
    for (name, ft), (gate, work) in zip(gates.items(), walk.gate.gates.items(), strict=True):
        leaves = len(work.leaves)
        use = "its one leaf" if leaves == 1 else f"{leaves} leaves, {format_ft_in(ft / leaves)} each"
        pieces[name] = _ToCut(ft, use, _done(walk, "gate", gate, "hung"))
    return _list(job, word.capitalize(), stock_id, pieces, plan, after)


def _of_gates(walk: Walk, pieces: Mapping[str, GatePiece], use: str) -> dict[str, _ToCut]:
    return {name: _ToCut(one.length_ft, use, _done(walk, "gate", one.gate, "hung")) for name, one in pieces.items()}


def _face_wires(job: Job, walk: Walk) -> CutList | None:
    """Two a leaf, from corner to corner, with what the ends and the turnbuckle take."""
    stock_id = first_of(stock_of(job.stock), "brace wire")
    uses = {f"{leaf.wire_from} to {leaf.wire_to}" for work in walk.gate.gates.values() for leaf in work.leaves}
    pieces = _of_gates(walk, face_wire_pieces(walk.gate), ", ".join(sorted(uses)))
    return None if stock_id is None else _list(job, "Gate face wires", stock_id, pieces, face_wires(job, walk.gate))


def _done(walk: Walk, stage: StageName, subject: str, what: str) -> str:
    """How the item answers that says the piece is cut or hung: its reading or its sign; nothing while it is open."""
    line = walk.checklists[stage].by_key.get(ItemKey(stage, subject, what))
    return "" if line is None or line.tick is None else answer_words(line)
