"""What bracing is worked from: the tubes that posts and braces are of, what bends a post, what a brace can reach, and the cable, as rules
and stock give them."""

from collections.abc import Mapping
from typing import NamedTuple

from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered_same
from engine.calc.statics.section import tube, yield_moment_lbf_ft
from engine.calc.statics.short_pile import SoilStrength, soil_strength
from engine.job.model.fence import Fence
from engine.job.model.rules import Rules
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import plate_widths_in
from engine.stages.bracing.cable_pull import Cable, cable_of
from engine.stages.bracing.foot_ground import FootTube


class Tubes(NamedTuple):
    """What braces are worked from everywhere: the wanted foot and how far it may be off, ft, brace, tube; yield and weight of the post; the
    brace's stock row."""

    foot_ft: float
    slack_ft: float
    stock_ft: float | None
    tube: FootTube | None
    yield_lbf_ft: float | None
    post_plf: float | None
    brace: str


class BraceBasis(NamedTuple):
    """What every support and loop of a job is worked from: its rules, fence and stock, the cable, None where its row lacks a size, tubes,
    the sleeve's width and the ground."""

    rules: Rules
    fence: Fence
    stock: Mapping[str, StockRow]
    cable: Cable | None
    tubes: Tubes
    sleeve_in: float | None
    soil: SoilStrength


@remembered_same
def brace_basis(rules: Rules, fence: Fence, stock: Mapping[str, StockRow]) -> BraceBasis:
    """The very same one for the same rules, fence and stock."""
    sleeve = stock.get(fence.sleeve)
    return BraceBasis(
        rules, fence, stock, cable_of(fence.cable, stock), _tubes(rules, fence, stock), sleeve.diameter_in if sleeve else None,
        soil_strength(rules.posts.soil),
    )  # fmt: skip


def _tubes(rules: Rules, fence: Fence, stock: Mapping[str, StockRow]) -> Tubes:
    post, brace = stock.get(fence.post), stock.get(fence.brace)
    return Tubes(
        rules.bracing.foot_ft,
        rules.bracing.foot_tolerance_in / 12,
        brace.length_ft if brace else None,
        _foot_tube(rules, brace, plate_widths_in(stock)),
        _yield_lbf_ft(post),
        _weight_plf(post),
        fence.brace,
    )


def _yield_lbf_ft(row: StockRow | None) -> float | None:
    if row is None or row.diameter_in is None or row.wall_in is None or row.yield_psi is None:
        return None
    try:
        return yield_moment_lbf_ft(tube(row.diameter_in, row.wall_in).section_in3, row.yield_psi)
    except OutOfRange:
        return None


def _weight_plf(row: StockRow | None) -> float | None:
    if row is None or row.diameter_in is None or row.wall_in is None:
        return None
    try:
        return tube(row.diameter_in, row.wall_in).weight_plf
    except OutOfRange:
        return None


def _foot_tube(rules: Rules, row: StockRow | None, plates_in: tuple[float, ...]) -> FootTube | None:
    if row is None or row.diameter_in is None or row.length_ft is None:
        return None
    return FootTube(row.diameter_in, rules.bracing.foot_depth_in, row.length_ft, rules.posts.soil, plates_in)
