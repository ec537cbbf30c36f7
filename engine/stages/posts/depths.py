"""How deep a driven support should stand: half its sleeve by practice, and by ground and wind for guidance."""

from collections.abc import Mapping

from engine.calc.frozen import dataclass
from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered
from engine.calc.statics.blown_fence import Push
from engine.calc.statics.embedment import lateral_bearing_psf_per_ft, nonconstrained_depth_ft
from engine.calc.statics.short_pile import SoilStrength, short_pile_depth_ft, soil_strength
from engine.job.model.job import Job
from engine.job.model.rules import PostRules
from engine.job.model.stock_row import StockRow


@dataclass(frozen=True)
class EyeHeights:
    """Both eyes over the ground, ft."""

    low_ft: float
    high_ft: float


@dataclass(frozen=True)
class Depths:
    """The sleeve, half of it, and what ground and wind ask of each driven support, in inches; None where the job's stock lacks a size.

    In `load_in` None is more than the whole sleeve; a support is missing when the wind could not be worked out.
    """

    sleeve_in: float | None
    half_in: float | None
    load_in: Mapping[str, float | None]

    def wanted_in(self, support: str) -> float | None:
        """Depth asked of the crew: half the sleeve where that holds the wind, else all of it, for a tube that goes in is driven flush.

        Source: common practice, no source.
        """
        if self.sleeve_in is None or self.half_in is None:
            return None
        load_in = self.load_in.get(support, 0.0)
        return self.sleeve_in if load_in is None or load_in > self.half_in else self.half_in


def depths_of(job: Job, stock: Mapping[str, StockRow], winds: Mapping[str, Push]) -> Depths:
    """Depths for every driven support: the sleeve is a short pile, and a gust at the job's wind may use up what the ground holds.

    `winds` is what the wind of the rules does to each; a support is missing where that isn't known.
    Source: common practice, no source, for half the sleeve; B. B. Broms 1964 for the load depth.
    """
    row = stock.get(job.fence.sleeve)
    if row is None or row.length_ft is None or row.diameter_in is None:
        return Depths(None, None, {})
    soil, width_ft, most_ft = soil_strength(job.rules.posts.soil), row.diameter_in / 12, row.length_ft
    load_in = {name: _depth_in(round(wind.level_lbf, 1), round(wind.height_ft, 2), width_ft, most_ft, soil) for name, wind in winds.items()}
    return Depths(12 * most_ft, half_sleeve_in(row, job.rules.posts), load_in)


def half_sleeve_in(sleeve: StockRow, rules: PostRules) -> float | None:
    """Half a sleeve, or the share of it that the rules ask; None where its length isn't known."""
    return None if sleeve.length_ft is None else 12 * sleeve.length_ft * rules.driven_share


@remembered
def _depth_in(level_lbf: float, height_ft: float, width_ft: float, most_ft: float, soil: SoilStrength) -> float | None:
    """The least depth that holds a load, in; None where the whole sleeve doesn't."""
    if level_lbf == 0:
        return 0.0
    depth_ft = short_pile_depth_ft(width_ft, level_lbf, height_ft, soil)
    return 12 * depth_ft if depth_ft <= most_ft else None


def footing_depth_in(wind: Push, width_in: float, rules: PostRules) -> float | None:
    """Depth that a code's footing formula asks of a post, which is made for wide concrete: a figure to compare, no rule of the fence.

    Returns: in; 0 without wind, None past 12 ft, where the formula ends.
    Source: IBC 1807.3.2.1, eq. 18-1, see engine.calc.statics.embedment.
    Valid for: guidance on light yard fences; local code decides.
    """
    if wind.level_lbf == 0:
        return 0.0
    bearing, factor = lateral_bearing_psf_per_ft(rules.soil), 2.0 if rules.soil_double else 1.0
    try:
        return 12 * nonconstrained_depth_ft(wind.level_lbf, wind.height_ft, width_in / 12, bearing, factor)
    except OutOfRange as past:
        if past.name != "load_lbf":
            raise
        return None


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
