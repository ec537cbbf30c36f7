"""Wind on the fence as it hangs: on wire, mesh, their lap, both cables and the post, all at 100 mph; it goes with the speed squared.

The wind blows square on, the wire's lower edge is staked, a gate is shut and as open as the fence. Ice, leaves and a gate's frame aren't in
it.
"""

from collections.abc import Iterable, Mapping
from functools import lru_cache
from math import fsum
from typing import NamedTuple

from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered_of
from engine.calc.statics.blown_fence import Blown, Push, Strip, blown_plf, blown_post
from engine.calc.statics.section import solidity
from engine.calc.statics.wind import Exposure, kz, open_screen_coefficient, velocity_pressure_psf, wind_on_round_plf, wind_on_screen_psf
from engine.job.model.fence import Fence
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import fabric_ids
from engine.stages.layout.stage import Bay
from engine.stages.posts.heights import BayHeight
from engine.stages.posts.standing_supports import Span

AT_MPH = 100.0
LEAST_MPH = 1.0
"""Less than that is no wind."""


class FenceWind(NamedTuple):
    """What 100 mph does to a square foot of wire and of mesh (psf), and to a foot of cable and of post (lb/ft); how far the mesh hangs."""

    wire_psf: float
    mesh_psf: float
    mesh_ft: float | None
    cable_plf: float
    post_plf: float


@remembered_of
def fence_wind(fence: Fence, exposure: Exposure, stock: Mapping[str, StockRow]) -> FenceWind | None:
    """Wind on the parts of a fence: round wire, flat-sided mesh strands, round cables and posts.

    Returns: None when the stock rows lack wire and pitch sizes, or make a fabric less than 30 % open.
    Source: ASCE 7-10 chapter 29 and ASCE 7-16 table 29.4-2, see engine.calc.statics.wind.
    Valid for: light open fabric to 15 ft; guidance, local code decides.
    """
    pressure = velocity_pressure_psf(AT_MPH, kz(0.0, exposure))
    wire, mesh = (stock.get(name) for name in fabric_ids(fence))
    blown = [_screen_psf(pressure, row, is_round) for row, is_round in ((wire, True), (mesh, False))]
    if blown[0] is None or blown[1] is None:
        return None
    cable, post = (_round_plf(pressure, stock.get(name)) for name in (fence.cable, fence.post))
    return FenceWind(blown[0], blown[1], mesh.width_in / 12 if mesh and mesh.width_in else None, cable, post)


def _screen_psf(pressure: float, row: StockRow | None, is_round: bool) -> float | None:
    if row is None or row.wire_in is None or row.pitch_in is None:
        return None
    try:
        solid = solidity(row.wire_in, row.wire_in, row.pitch_in, row.pitch2_in or row.pitch_in)
        return wind_on_screen_psf(pressure, open_screen_coefficient(solid, is_round), solid)
    except OutOfRange:
        return None


def _round_plf(pressure: float, row: StockRow | None) -> float:
    """Wind on a foot of cable or post; 0 where its thickness isn't known."""
    return wind_on_round_plf(pressure, row.diameter_in) if row and row.diameter_in else 0.0


@lru_cache(maxsize=64)
def bay_wind(wind: FenceWind, low_ft: float, high_ft: float) -> Blown:
    """What a foot of fence gives to its top cable, its bottom cable and the ground; `low_ft` and `high_ft` are its eyes.

    Wire stands from the ground to the bottom cable, mesh hangs from the top one as far as its roll is wide and laps the wire.
    """
    mesh_ft = high_ft - low_ft if wind.mesh_ft is None else wind.mesh_ft
    strips = (Strip(wind.wire_psf, 0.0, low_ft), Strip(wind.mesh_psf, max(0.0, high_ft - mesh_ft), high_ft))
    top, bottom, ground = blown_plf(strips, low_ft, high_ft)
    return Blown(top + wind.cable_plf, bottom + wind.cable_plf, ground)


def half_bay(wind: FenceWind, bay: Bay | Span, hang: BayHeight) -> Push:
    """What the half of a bay does to the support at its end; of a gate the leaf's hinges and latch bring the ground's share too."""
    half_ft, (low_ft, high_ft) = bay.plan_ft / 2, (hang.eyes.low_ft, hang.eyes.high_ft)
    top, bottom, ground = bay_wind(wind, low_ft, high_ft)
    level = top + bottom + (ground if bay.gate else 0.0)
    return Push(half_ft * level, half_ft * (top * high_ft + bottom * low_ft))


def reckoned_mph(wind_mph: float) -> float:
    """The wind of the rules as far as it is one."""
    return wind_mph if wind_mph >= LEAST_MPH else 0.0


def wind_on_post(wind: FenceWind, speed_mph: float, tall_ft: float, beside: Iterable[tuple[Span, BayHeight]]) -> Push:
    """What a speed does to a post, so tall, that stands alone: half of every bay and gate that meets there, and the post itself."""
    squared = (reckoned_mph(speed_mph) / AT_MPH) ** 2
    pushes = [blown_post(wind.post_plf, tall_ft), *(half_bay(wind, bay, hang) for bay, hang in beside)]
    return Push(squared * fsum(push.level_lbf for push in pushes), squared * fsum(push.bending_lbf_ft for push in pushes))
