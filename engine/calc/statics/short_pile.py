"""What slim driven tubes hold sideways: sleeves and brace feet. Guidance: ground is judged here by a word, not tested.

A code's footing formula is made for wide concrete; a tube of 2 in that goes 30 in deep holds ten to twenty times what that allows it.
"""

from math import cbrt, inf, radians, sqrt, tan
from typing import NamedTuple

from engine.calc.limits import require_positive, require_within
from engine.calc.roots import root_along_slope
from engine.calc.statics.embedment import SoilClass

STEADY_FACTOR = 2.0
"""What a load that acts for days is multiplied by before it is held against the ground's last strength; a gust isn't. 2 to 3 is usual
(judgement): the lower, for nobody is hurt by a fence post that leans."""
UNHELD_WIDTHS = 1.5
"""Clay gives way to so many widths below the surface and counts for nothing (Broms 1964)."""
CLAY_SHARE = 9.0
"""Below that it holds a pile with so many times its shear strength (Broms 1964)."""


class SoilStrength(NamedTuple):
    """Ground as short piles know it: clay by its shear strength, sand and gravel (`shear_psf` 0) by angle of friction and weight."""

    shear_psf: float
    friction_deg: float
    weight_pcf: float


_STRENGTHS = {
    "clay": SoilStrength(750.0, 0.0, 115.0),
    "sand": SoilStrength(0.0, 32.0, 110.0),
    "gravel": SoilStrength(0.0, 36.0, 120.0),
    "foliated rock": SoilStrength(0.0, 40.0, 130.0),
    "rock": SoilStrength(0.0, 45.0, 140.0),
}


def soil_strength(soil_class: SoilClass) -> SoilStrength:
    """Strength that ground of a class is taken to have in its top few feet.

    Clay (and silt): medium, 750 psf, the middle of 500 to 1,000; 1,500 psf of bearing by the code's table, at 5.14 times the shear
    strength and a factor of 3, means 875. Sand: 32 degrees, 110 pcf, neither loose nor dense. Gravel: 36 degrees, 120 pcf. Rock: what a
    tube was driven into has broken; it counts as dense rubble of 40 degrees and 130 pcf, or 45 and 140 where it was sound.
    soil_class: as in `engine.calc.statics.embedment.lateral_bearing_psf_per_ft`.
    Returns: SoilStrength: psf, degrees, pcf.
    Raises: ValueError for another class.
    Source: from memory: consistency of clay and friction of sand as in K. Terzaghi and R. Peck, Soil Mechanics in Engineering Practice;
    the value within each range, and all of rock, is judgement.
    Valid for: undisturbed, drained ground; soft after rain, filled or frozen it holds less or heaves.
    """
    if soil_class not in _STRENGTHS:
        raise ValueError(f"soil class {soil_class!r} isn't one of {', '.join(_STRENGTHS)}")
    return _STRENGTHS[soil_class]


def short_pile_lbf(width_ft: float, depth_ft: float, height_ft: float, soil: SoilStrength) -> float:
    """Level load at which a driven tube that doesn't bend lies over in its ground.

    It is the last that the ground holds: divide by `STEADY_FACTOR` for a load that acts for days.
    width_ft: of the tube, ft, above 0.  depth_ft: in the ground, ft, 0 or more.  height_ft: of the load over the ground, ft, 0 or more.
    soil: from `soil_strength`.
    Returns: lb, 0 or more.
    Raises: OutOfRange.
    Source: B. B. Broms 1964, see `cohesive_pile_lbf` and `cohesionless_pile_lbf`.
    Valid for: tubes up to about 20 widths deep, free at the top, in level ground.
    Example: 1.9 in, 30 in deep, load at 3 ft: 308 lb in medium clay, 81 lb in sand.
    """
    if soil.shear_psf > 0:
        return cohesive_pile_lbf(width_ft, depth_ft, height_ft, soil.shear_psf)
    return cohesionless_pile_lbf(width_ft, depth_ft, height_ft, soil.friction_deg, soil.weight_pcf)


def short_pile_depth_ft(width_ft: float, load_lbf: float, height_ft: float, soil: SoilStrength) -> float:
    """Depth at which a driven tube just holds a level load: `short_pile_lbf` the other way round.

    width_ft: of the tube, ft, above 0.  load_lbf: lb, 0 or more.  height_ft: of the load over the ground, ft, 0 or more.
    soil: from `soil_strength`.
    Returns: ft; 0 without a load.
    Raises: OutOfRange.
    Source: derived: in clay L = 1.5 D + f + g of `cohesive_pile_lbf`; in sand the root of 0.5 g D Kp L^3 - H L - H e.
    Valid for: as `short_pile_lbf`.
    Example: 1.9 in, 308 lb at 3 ft, medium clay: 30 in.
    """
    if not (0 < width_ft < inf and 0 <= load_lbf < inf and 0 <= height_ft < inf):  # a walk asks hundreds of times
        require_positive(width_ft=width_ft)
        require_within(0, inf, "a load", load_lbf=load_lbf)
        require_within(0, inf, "a height over the ground", height_ft=height_ft)
    if load_lbf == 0:
        return 0.0
    if soil.shear_psf > 0:
        unheld_ft, per_ft = UNHELD_WIDTHS * width_ft, CLAY_SHARE * soil.shear_psf * width_ft
        against_ft = load_lbf / per_ft
        return unheld_ft + against_ft + sqrt(4 * against_ft * (height_ft + unheld_ft + against_ft / 2))
    cube = 0.5 * soil.weight_pcf * width_ft * passive_share(soil.friction_deg)
    most_ft = sqrt(load_lbf / cube) + cbrt(load_lbf * height_ft / cube)
    return root_along_slope(lambda ft: (cube * ft**3 - load_lbf * (ft + height_ft), 3 * cube * ft * ft - load_lbf), most_ft)


def cohesive_pile_lbf(width_ft: float, depth_ft: float, height_ft: float, shear_psf: float) -> float:
    """Level load at which a short pile lies over in clay; any one consistent set of units.

    The clay pushes back with 9 times its shear strength, from 1.5 widths below the surface on: over a length f against the load, over half
    of the rest g either way. H = 9 c D f and H (e + 1.5 D + f/2) = 9/4 c D g^2, g = L - 1.5 D - f, solved for H.
    width_ft: D, ft, above 0.  depth_ft: L, ft, 0 or more.  height_ft: e, of the load over the ground, ft, 0 or more.
    shear_psf: c, undrained shear strength, psf, above 0.
    Returns: H, lb; 0 where the pile ends in the clay that doesn't count.
    Raises: OutOfRange.
    Source: B. B. Broms 1964, Lateral resistance of piles in cohesive soils, J. Soil Mech. Found. Div. ASCE 90 SM2; UFC 3-220-20, chapter 6.
    Valid for: a free head and a pile that doesn't bend; about 20 widths deep at most.
    Example: 1.9 in, 30 in deep, load at 3 ft, 500 psf: 205 lb.
    """
    if not (0 < width_ft < inf and 0 < shear_psf < inf and 0 <= depth_ft < inf and 0 <= height_ft < inf):  # a walk asks hundreds of times
        require_positive(width_ft=width_ft, shear_psf=shear_psf)
        require_within(0, inf, "a depth in the ground", depth_ft=depth_ft)
        require_within(0, inf, "a height over the ground", height_ft=height_ft)
    held_ft = depth_ft - UNHELD_WIDTHS * width_ft
    if held_ft <= 0:
        return 0.0
    per_ft = CLAY_SHARE * shear_psf * width_ft
    half = 2 * per_ft * (height_ft + UNHELD_WIDTHS * width_ft + held_ft / 2)
    return float((per_ft * held_ft) ** 2 / (half + sqrt(half**2 + (per_ft * held_ft) ** 2)))


def cohesionless_pile_lbf(width_ft: float, depth_ft: float, height_ft: float, friction_deg: float, weight_pcf: float) -> float:
    """Level load at which a short pile lies over in sand or gravel: 0.5 g D L^3 Kp/(e + L); any one consistent set of units.

    The ground pushes back with three times its passive pressure over the whole length, and holds the tip.
    width_ft: D, ft, above 0.  depth_ft: L, ft, 0 or more.  height_ft: e, of the load over the ground, ft, 0 or more.
    friction_deg: angle of friction, degrees, 0 to 50.  weight_pcf: g, weight of the ground, pcf, above 0; less under water.
    Returns: lb.
    Raises: OutOfRange.
    Source: B. B. Broms 1964, Lateral resistance of piles in cohesionless soils, J. Soil Mech. Found. Div. ASCE 90 SM3; UFC 3-220-20, ch. 6.
    Valid for: a free head and a pile that doesn't bend; clean ground: roots and damp hold more.
    Example: 1.9 in, 30 in deep, load at 3 ft, 32 degrees, 110 pcf: 81 lb.
    """
    require_positive(width_ft=width_ft, weight_pcf=weight_pcf)
    require_within(0, inf, "a depth in the ground", depth_ft=depth_ft)
    require_within(0, inf, "a height over the ground", height_ft=height_ft)
    if depth_ft == 0:
        return 0.0
    return float(0.5 * weight_pcf * width_ft * depth_ft**3 * passive_share(friction_deg) / (height_ft + depth_ft))


def passive_share(friction_deg: float) -> float:
    """Pressure sideways that ground takes before it is pushed up, as a share of the weight above: Kp = tan^2(45 + phi/2).

    friction_deg: angle of friction, degrees, 0 to 50.
    Returns: ratio, no unit, 1 or more.
    Raises: OutOfRange.
    Source: W. J. M. Rankine's passive pressure, as in any text on soils.
    Valid for: level ground, smooth wall.
    Example: 30 degrees: 3.
    """
    require_within(0, 50, "no ground has more friction", friction_deg=friction_deg)
    return tan(radians(45 + friction_deg / 2)) ** 2
