"""Which piece of which gate frame is cut from which length of tube, and its face wires from which coil."""

from collections.abc import Iterator

from engine.calc.cutting.cut_plan import CutPlan, Stock, plan_cuts
from engine.job.model.job import Job
from engine.job.model.stock_table import first_of, stock_of
from engine.stages.gate.stage import Gates, Leaf


def _leaves(gates: Gates) -> Iterator[tuple[str, Leaf]]:
    """Every leaf by what it is called."""
    for name, work in gates.gates.items():
        for number, leaf in enumerate(work.leaves, 1):
            yield f"{name} leaf {number}" if len(work.leaves) > 1 else name, leaf


def frame_pieces(gates: Gates) -> dict[str, float]:
    """Two uprights and two rails a leaf, ft, by the words they are cut under."""
    cuts: dict[str, float] = {}
    for which, leaf in _leaves(gates):
        cuts |= {f"{which} upright {end}": leaf.stile_ft for end in (1, 2)}
        cuts |= {f"{which} rail {end}": leaf.rail_ft for end in (1, 2)}
    return cuts


def face_wire_pieces(gates: Gates) -> dict[str, float]:
    """A wire on each face of each leaf, ft, ends and turnbuckle among it."""
    return {f"{which} face {face}": leaf.wire_ft for which, leaf in _leaves(gates) for face in (1, 2)}


def face_wires(job: Job, gates: Gates) -> CutPlan | None:
    """The cut plan of all face wires."""
    stock, cuts = stock_of(job.stock), face_wire_pieces(gates)
    coil = first_of(stock, "brace wire")
    coil_ft = stock[coil].length_ft if coil else None
    return plan_cuts(cuts, Stock(coil, coil_ft)) if coil and coil_ft and cuts else None


def frame_tubes(job: Job, gates: Gates) -> CutPlan | None:
    """The cut plan of all frames."""
    cuts = frame_pieces(gates)
    tube_ft = stock_of(job.stock)[job.fence.gate_tube].length_ft
    return plan_cuts(cuts, Stock(job.fence.gate_tube, tube_ft)) if cuts and tube_ft else None
