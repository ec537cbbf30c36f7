"""What a brace takes at last: its tube before it bows, its foot before the ground gives."""

from typing import NamedTuple

from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered_same
from engine.calc.statics.embedment import SoilClass, vertical_bearing_psf
from engine.calc.statics.section import strut_lbf
from engine.calc.statics.short_pile import STEADY_FACTOR
from engine.job.model.stock_row import StockRow
from engine.stages.bracing.foot_ground import FootGround
from engine.stages.bracing.stage import BraceLeg

BEARING_FACTOR = 3.0
"""The code's bearing under a plate is about a third of what ground bears at last: from memory."""


class BraceTube(NamedTuple):
    """The tube of a brace: diameter and wall, in, and yield, psi."""

    od_in: float
    wall_in: float
    yield_psi: float


class BraceHolds(NamedTuple):
    """The level push at which the weaker of a brace and its foot gives, lb, and which of both that is."""

    thrust_lbf: float
    foot: bool


@remembered_same
def brace_tube(row: StockRow | None) -> BraceTube | None:
    """The tube of a stock row; None where it lacks a size."""
    if row is None or row.diameter_in is None or row.wall_in is None or row.yield_psi is None:
        return None
    return BraceTube(row.diameter_in, row.wall_in, row.yield_psi)


def brace_holds(leg: BraceLeg, tube: BraceTube | None, soil: SoilClass, on_plate: bool) -> BraceHolds | None:
    """What the weaker of a brace and its foot takes, level, for a moment; None where neither is known. `on_plate` is whether a foot that
    the ground doesn't hold for good was put right."""
    if not leg.thrust_lbf:
        return None
    holds = [BraceHolds(_foot_lbf(leg, leg.ground, soil, on_plate), foot=True)] if leg.ground is not None else []
    bows_lbf = _bows_lbf(tube, leg.length_ft)
    if bows_lbf is not None:
        holds.append(BraceHolds(bows_lbf * leg.thrust_lbf / leg.axial_lbf, foot=False))
    return min(holds, default=None)


def _bows_lbf(tube: BraceTube | None, length_ft: float) -> float | None:
    if tube is None:
        return None
    try:
        return strut_lbf(tube.od_in, tube.wall_in, length_ft, tube.yield_psi)
    except OutOfRange:
        return None


def _foot_lbf(leg: BraceLeg, ground: FootGround, soil: SoilClass, on_plate: bool) -> float:
    """Level push that a foot takes at last, as it is driven or on the plate that was asked for."""
    if not on_plate or leg.loose is None:
        return ground.holds_lbf * STEADY_FACTOR
    bears_lbf = BEARING_FACTOR * vertical_bearing_psf(soil) * (ground.plate_in / 12) ** 2
    return bears_lbf * leg.thrust_lbf / leg.axial_lbf
