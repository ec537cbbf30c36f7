"""What wire and mesh weigh, and which cable carries how much of them."""

from collections.abc import Mapping
from typing import NamedTuple

from engine.calc.limits import OutOfRange
from engine.calc.statics.ice import design_ice_in, ice_on_mesh_psf, radial_ice_plf
from engine.calc.statics.section import wire_weight_psf
from engine.job.model.fence import Fence
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import fabric_ids
from engine.stages.posts.depths import EyeHeights


class HungWeight(NamedTuple):
    """What hangs on each cable besides its own weight, lb a foot."""

    top_plf: float
    bottom_plf: float


BARE = HungWeight(0.0, 0.0)


def hung_weight(fence: Fence, eyes: EyeHeights, stock: Mapping[str, StockRow]) -> HungWeight | None:
    """Wire and mesh as two cables carry them; None where the stock doesn't give what one of them weighs.

    The mesh hangs on the top cable in its whole width. The wire hangs on the bottom cable down to the ground; its apron lies there.
    What the ground bears of wire that stands on it, rings and ties are left out.
    Source: engine.calc.statics.section for bare wire; a roll of mesh by its weight.
    """
    wire, mesh = (stock.get(name) for name in fabric_ids(fence))
    wire_psf, mesh_psf = fabric_psf(wire), fabric_psf(mesh)
    if wire is None or mesh is None or wire_psf is None or mesh_psf is None or wire.width_in is None or mesh.width_in is None:
        return None
    return HungWeight(mesh_psf * mesh.width_in / 12, wire_psf * min(wire.width_in / 12, eyes.low_ft))


def ice_weight(fence: Fence, eyes: EyeHeights, stock: Mapping[str, StockRow], map_in: float) -> HungWeight | None:
    """Freezing rain on both cables and on what hangs from them, of the map's thickness; None where the stock doesn't give wire and pitch.

    Source: engine.calc.statics.ice; the same heights of wire and mesh as they hang by.
    """
    cable, (wire, mesh) = stock.get(fence.cable), (stock.get(name) for name in fabric_ids(fence))
    if cable is None or cable.diameter_in is None or wire is None or mesh is None or wire.width_in is None or mesh.width_in is None:
        return None
    ice_in = design_ice_in(map_in, eyes.high_ft)
    wire_psf, mesh_psf, cable_plf = _iced_psf(wire, ice_in), _iced_psf(mesh, ice_in), radial_ice_plf(cable.diameter_in, ice_in)
    if wire_psf is None or mesh_psf is None:
        return None
    return HungWeight(mesh_psf * mesh.width_in / 12 + cable_plf, wire_psf * min(wire.width_in / 12, eyes.low_ft) + cable_plf)


def _iced_psf(row: StockRow, ice_in: float) -> float | None:
    if row.wire_in is None or row.pitch_in is None:
        return None
    try:
        return ice_on_mesh_psf(row.wire_in, row.pitch_in, row.pitch2_in or row.pitch_in, ice_in)
    except OutOfRange:
        return None


def fabric_psf(row: StockRow | None) -> float | None:
    """By the weight of its roll, else as bare steel wire; None for mesh whose roll has no weight."""
    if row is None:
        return None
    if row.weight_lb is not None and row.width_in is not None and row.length_ft is not None:
        return row.weight_lb / (row.width_in / 12 * row.length_ft)
    if row.kind != "wire" or row.wire_in is None or row.pitch_in is None:
        return None
    try:
        return wire_weight_psf(row.wire_in, row.wire_in, row.pitch_in, row.pitch2_in or row.pitch_in)
    except OutOfRange:
        return None
