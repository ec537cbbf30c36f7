"""How deep a driven support should stand: half its sleeve by practice, and by ground and wind for guidance."""

from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered_same
from engine.calc.statics.blown_fence import Push
from engine.calc.statics.embedment import lateral_bearing_psf_per_ft, nonconstrained_depth_ft
from engine.calc.statics.short_pile import SoilStrength, short_pile_depth_ft
from engine.job.model.rules import PostRules
from engine.job.model.stock_row import StockRow


@dataclass(frozen=True)
class EyeHeights:
    """Both eyes over the ground, ft."""

    low_ft: float
    high_ft: float


class SleeveSize(NamedTuple):
    """How long a sleeve is, ft and in, half of it by practice, and how wide it is."""

    length_ft: float
    sleeve_in: float
    half_in: float
    width_in: float


def sleeve_size(sleeve: StockRow | None, rules: PostRules) -> SleeveSize | None:
    """Its sizes, half of it or the share that the rules ask; None where the job's stock lacks one."""
    if sleeve is None or sleeve.length_ft is None or sleeve.diameter_in is None:
        return None
    return SleeveSize(sleeve.length_ft, 12 * sleeve.length_ft, 12 * sleeve.length_ft * rules.driven_share, sleeve.diameter_in)


def load_depth_in(wind: Push, sleeve: SleeveSize, soil: SoilStrength) -> float | None:
    """The least depth that holds a gust at the job's wind, which may use up what the ground holds, in; None where the whole sleeve doesn't.

    Source: B. B. Broms 1964: the sleeve is a short pile.
    """
    level_lbf = round(wind.level_lbf, 1)
    if level_lbf == 0:
        return 0.0
    depth_ft = short_pile_depth_ft(sleeve.width_in / 12, level_lbf, round(wind.height_ft, 2), soil)
    return 12 * depth_ft if depth_ft <= sleeve.length_ft else None


def wanted_depth_in(sleeve: SleeveSize, load_in: float | None) -> float:
    """Depth asked of the crew: half the sleeve where that holds the wind, else all of it, for a tube that goes in is driven flush.

    Source: common practice, no source.
    """
    return sleeve.sleeve_in if load_in is None or load_in > sleeve.half_in else sleeve.half_in


@remembered_same
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
