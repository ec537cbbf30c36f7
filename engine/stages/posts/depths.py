"""How deep a driven support should stand: half its sleeve by practice, and by soil and wind for guidance."""

from collections.abc import Mapping, Sequence

from engine.calc.frozen import dataclass
from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered
from engine.calc.statics.embedment import lateral_bearing_psf_per_ft, nonconstrained_depth_ft
from engine.calc.statics.section import solidity
from engine.calc.statics.wind import kz, open_screen_coefficient, velocity_pressure_psf, wind_on_screen_lbf, wind_on_screen_psf
from engine.job.model.fence import Fence
from engine.job.model.job import Job
from engine.job.model.rules import Rules
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import fabric_ids
from engine.stages.layout.stage import Bay, Layout
from engine.stages.posts.adjoining import bays_at


@dataclass(frozen=True)
class EyeHeights:
    """Both eyes over the ground, ft."""

    low_ft: float
    high_ft: float


@dataclass(frozen=True)
class Depths:
    """The sleeve and half of it, and what soil and wind ask of each driven support, all in inches; None where the job's stock lacks a size.

    In `load_in` None is a depth past 12 ft, where the formula ends; a support is missing when the wind could not be worked out.
    """

    sleeve_in: float | None
    half_in: float | None
    load_in: Mapping[str, float | None]

    def wanted_in(self, support: str) -> float | None:
        """Depth asked of the crew: that of soil and wind as far as the sleeve reaches, and never under half of it.

        Source: common practice, no source, for half the sleeve.
        """
        if self.sleeve_in is None or self.half_in is None:
            return None
        load_in = self.load_in.get(support, 0.0)
        return max(self.half_in, self.sleeve_in if load_in is None else min(load_in, self.sleeve_in))


def depths_of(job: Job, highest_ft: float, stock: Mapping[str, StockRow], layout: Layout) -> Depths:
    """Depths for every driven support of a layout.

    The wind on the highest part of the fence counts for every post.
    Returns: Depths, in.
    Source: common practice, no source, for half the sleeve; IBC 1807.3.2.1 for the load depth.
    Valid for: any job; what can't be worked out is None or missing.
    """
    row = stock.get(job.fence.sleeve)
    if row is None or row.length_ft is None or row.diameter_in is None:
        return Depths(None, None, {})
    sleeve_in = row.length_ft * 12
    half_in = sleeve_in * job.rules.posts.driven_share
    meeting = bays_at(layout)
    carried_ft = {name: half_bays_ft(meeting[name]) for name, support in layout.supports.items() if support.support == "driven"}
    plf = wind_plf(highest_ft, job.fence, job.rules, stock)
    if plf is None:
        return Depths(sleeve_in, half_in, {})
    by_length = load_depths_in(plf, highest_ft, job.rules, row.diameter_in, set(carried_ft.values()))
    return Depths(sleeve_in, half_in, {name: by_length[length_ft] for name, length_ft in carried_ft.items()})


def eye_heights(height_ft: float, cap_in: float) -> EyeHeights:
    """Heights of the eyes for a fence height.

    A fence over 5 ft has its bottom cable at 3 ft, a lower one at 2 ft, one under 3 ft (a deck's rail) at half its height; the top eye
    leaves room for the cap.
    Arguments: height_ft, 2 to 8; cap_in, in, 0 or more.
    Source: common practice, no source.
    Valid for: fences of 3 to 8 ft, rails from 2 ft.
    Example: a 6 ft fence with 1/4 in for the cap: 3 ft and 5 ft 11 3/4 in.
    """
    return EyeHeights(low_ft=3.0 if height_ft > 5 else 2.0 if height_ft >= 3 else height_ft / 2, high_ft=height_ft - cap_in / 12)


def wind_plf(height_ft: float, fence: Fence, rules: Rules, stock: Mapping[str, StockRow]) -> float | None:
    """Wind force on one foot of the fence, wire below and mesh above the bottom cable.

    The wind blows square on; round wire, flat-sided mesh strands; lap, apron, posts, ice and leaves aren't in it.
    `height_ft` is the fence's there; `fence` gives its fabric.
    Returns: lb per ft of fence; None when the stock rows lack wire and pitch sizes, or make a fabric less than 30 % open.
    Source: ASCE 7-10 chapter 29 and ASCE 7-16 table 29.4-2, see engine.calc.statics.wind.
    Valid for: light open fabric to 15 ft; guidance, local code decides.
    """
    middle_ft = height_ft / 2
    pressure = velocity_pressure_psf(rules.cables.wind_mph, kz(middle_ft, rules.cables.exposure))
    split_ft = eye_heights(height_ft, rules.posts.cap_in).low_ft
    wire, mesh = fabric_ids(fence)
    total = 0.0
    for name, tall_ft, is_round in ((wire, split_ft, True), (mesh, height_ft - split_ft, False)):
        row = stock.get(name)
        if row is None or row.wire_in is None or row.pitch_in is None:
            return None
        try:
            solid = solidity(row.wire_in, row.wire_in, row.pitch_in, row.pitch2_in or row.pitch_in)
            screen = wind_on_screen_psf(pressure, open_screen_coefficient(solid, is_round), solid)
        except OutOfRange:
            return None
        total += wind_on_screen_lbf(screen, tall_ft)
    return total


def half_bays_ft(bays: Sequence[Bay]) -> float:
    """Length of fence whose wind one support carries: half of every bay and gate that meets there."""
    return round(sum(bay.plan_ft for bay in bays) / 2, 2)


def load_depths_in(plf: float, height_ft: float, rules: Rules, diameter_in: float, lengths_ft: set[float]) -> dict[float, float | None]:
    """Depth that soil and wind ask of a lone post, for each length of fence it carries.

    The wind acts at half the height; the post is free at the ground line.
    Arguments: plf, wind on the fence, lb/ft, 0 or more; height_ft, the fence's, ft; rules of the job; diameter_in, of the sleeve,
    in, above 0; lengths_ft, fence carried, ft, 0 or more each.
    Returns: depth in inches by length; 0 without load; None past 12 ft, where the formula ends.
    Raises: OutOfRange for a diameter that isn't above 0.
    Source: IBC 1807.3.2.1, eq. 18-1, see engine.calc.statics.embedment.
    Valid for: guidance on light yard fences; local code decides.
    """
    bearing = lateral_bearing_psf_per_ft(rules.posts.soil)
    factor = 2.0 if rules.posts.soil_double else 1.0
    return {length_ft: _depth_in(plf * length_ft, height_ft / 2, diameter_in, bearing, factor) for length_ft in sorted(lengths_ft)}


@remembered
def _depth_in(load_lbf: float, height_ft: float, diameter_in: float, bearing_psf_per_ft: float, factor: float) -> float | None:
    if load_lbf == 0:
        return 0.0
    try:
        return 12 * nonconstrained_depth_ft(load_lbf, height_ft, diameter_in / 12, bearing_psf_per_ft, factor)
    except OutOfRange as past:
        if past.name != "load_lbf":
            raise
        return None
