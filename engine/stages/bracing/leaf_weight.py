"""What a gate leaf weighs: frame tube, fabric and fittings, as the stock gives them."""

from collections.abc import Mapping

from engine.calc.limits import OutOfRange
from engine.calc.statics.gate_leaf import frame_cuts
from engine.calc.statics.section import tube
from engine.job.model.fence import Fence
from engine.job.model.rules import Rules
from engine.job.model.stock_row import StockKind, StockRow
from engine.job.model.stock_table import fabric_ids, first_of
from engine.stages.bracing.hung_weight import fabric_psf
from engine.stages.posts.depths import eye_heights

COVERED_PSF = 1.2
"""Weight of a covered leaf where the stock doesn't give all of it: from memory."""
FITTINGS: dict[StockKind, int] = {"gate corner": 4, "hinge": 2, "latch": 1, "turnbuckle": 2}
"""How many of each hang on one leaf."""


def leaf_weight_lb(width_ft: float, over_ft: float, rules: Rules, fence: Fence, stock: Mapping[str, StockRow]) -> float:
    """Weight of one leaf: what the rules say a square foot weighs, else the sum of its parts, else 1.2 lb a square foot.

    Its top stands `over_ft` over the ground.
    Wire covers it up to the height of the bottom cable, mesh the rest; zinc, rings, face wires and a drop rod aren't in the sum.
    """
    height_ft = over_ft - rules.gate.bottom_gap_in / 12
    if rules.gate.leaf_weight_psf is not None:
        return width_ft * height_ft * rules.gate.leaf_weight_psf
    parts = (_frame_lb(width_ft, height_ft, rules, stock.get(fence.gate_tube)), _fabric_lb(width_ft, over_ft, rules, fence, stock))
    fittings = [_weight_lb(stock, kind, count) for kind, count in FITTINGS.items()]
    known = [part for part in (*parts, *fittings) if part is not None]
    return sum(known) if len(known) == len(parts) + len(fittings) else width_ft * height_ft * COVERED_PSF


def _frame_lb(width_ft: float, height_ft: float, rules: Rules, row: StockRow | None) -> float | None:
    if row is None or row.diameter_in is None or row.wall_in is None:
        return None
    try:
        cuts = frame_cuts(width_ft, height_ft, row.diameter_in, rules.gate.corner_takeoff_in)
        return 2 * (cuts.stile_ft + cuts.rail_ft) * tube(row.diameter_in, row.wall_in).weight_plf
    except OutOfRange:
        return None


def _fabric_lb(width_ft: float, over_ft: float, rules: Rules, fence: Fence, stock: Mapping[str, StockRow]) -> float | None:
    """Weight of its wire and mesh, cut from the rolls of the fence, however high the gate."""
    height_ft = over_ft - rules.gate.bottom_gap_in / 12
    wire_ft = min(eye_heights(over_ft, rules.posts.cap_in).low_ft, height_ft)
    wire, mesh = (fabric_psf(stock.get(name)) for name in fabric_ids(fence))
    return None if wire is None or mesh is None else width_ft * (wire_ft * wire + (height_ft - wire_ft) * mesh)


def _weight_lb(stock: Mapping[str, StockRow], kind: StockKind, count: int) -> float | None:
    name = first_of(stock, kind)
    each = stock[name].weight_lb if name else None
    return None if each is None else count * each
