"""Which piece of which gate frame is cut from which length of tube."""

from engine.calc.cutting.cut_plan import CutPlan, Stock, plan_cuts
from engine.job.model.job import Job
from engine.job.model.stock_table import stock_of
from engine.stages.gate.stage import Gates


def frame_tubes(job: Job, gates: Gates) -> CutPlan | None:
    """The cut plan of all frames, two uprights and two rails a leaf."""
    cuts: dict[str, float] = {}
    for name, work in gates.gates.items():
        for number, leaf in enumerate(work.leaves, 1):
            which = f"{name} leaf {number}" if len(work.leaves) > 1 else name
            cuts |= {f"{which} upright {end}": leaf.stile_ft for end in (1, 2)}
            cuts |= {f"{which} rail {end}": leaf.rail_ft for end in (1, 2)}
    tube_ft = stock_of(job.stock)[job.fence.gate_tube].length_ft
    return plan_cuts(cuts, Stock(job.fence.gate_tube, tube_ft)) if cuts and tube_ft else None
