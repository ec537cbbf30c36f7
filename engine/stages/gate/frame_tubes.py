"""Which piece of which gate frame is cut from which length of tube, and its face wires from which coil."""

from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

from engine.calc.cutting.cut_plan import CutPlan, Stock, plan_cuts
from engine.calc.remember import remembered_of
from engine.job.model.job import Job
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import first_of, stock_of
from engine.stages.gate.stage import Gates, Leaf


class GatePiece(NamedTuple):
    """A piece to cut for a gate, ft."""

    gate: str
    length_ft: float


@remembered_of
def frame_pieces(gates: Gates) -> dict[str, GatePiece]:
    """Two uprights and two rails a leaf, by the words they are cut under."""
    return dict(_pieces(gates, lambda leaf: {"upright": leaf.stile_ft, "rail": leaf.rail_ft}))


@remembered_of
def face_wire_pieces(gates: Gates) -> dict[str, GatePiece]:
    """A wire on each face of each leaf, ends and turnbuckle among it."""
    return dict(_pieces(gates, lambda leaf: {"face": leaf.wire_ft}))


def _pieces(gates: Gates, cut: Callable[[Leaf], dict[str, float]]) -> Iterator[tuple[str, GatePiece]]:
    """Two of each of a leaf."""
    for name, work in gates.gates.items():
        for number, leaf in enumerate(work.leaves, 1):
            which = f"{name} leaf {number}" if len(work.leaves) > 1 else name
            yield from ((f"{which} {what} {n}", GatePiece(name, ft)) for what, ft in cut(leaf).items() for n in (1, 2))


def _lengths_ft(pieces: Mapping[str, GatePiece]) -> dict[str, float]:
    return {name: piece.length_ft for name, piece in pieces.items()}


def face_wires(job: Job, gates: Gates) -> CutPlan | None:
    """The cut plan of all face wires."""
    return _of_coils(stock_of(job.stock), gates)


@remembered_of
def _of_coils(stock: Mapping[str, StockRow], gates: Gates) -> CutPlan | None:
    cuts, coil = _lengths_ft(face_wire_pieces(gates)), first_of(stock, "brace wire")
    coil_ft = stock[coil].length_ft if coil else None
    return plan_cuts(cuts, Stock(coil, coil_ft)) if coil and coil_ft and cuts else None


def frame_tubes(job: Job, gates: Gates) -> CutPlan | None:
    """The cut plan of all frames."""
    return _of_tubes(stock_of(job.stock), job.fence.gate_tube, gates)


@remembered_of
def _of_tubes(stock: Mapping[str, StockRow], tube: str, gates: Gates) -> CutPlan | None:
    cuts, tube_ft = _lengths_ft(frame_pieces(gates)), stock[tube].length_ft
    return plan_cuts(cuts, Stock(tube, tube_ft)) if cuts and tube_ft else None
