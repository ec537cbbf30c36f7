"""The tubes that posts and braces are of: what bends a post, and what a brace can reach, as rules and stock give them."""

from collections.abc import Mapping
from typing import NamedTuple

from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered_same
from engine.calc.statics.section import tube, yield_moment_lbf_ft
from engine.job.model.fence import Fence
from engine.job.model.rules import Rules
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import plate_widths_in
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


@remembered_same
def tubes_of(rules: Rules, fence: Fence, stock: Mapping[str, StockRow]) -> Tubes:
    """What they are by these rules, in this fence."""
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
