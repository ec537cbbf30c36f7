"""A cable that hangs of its own weight: the referee that the program's parabola is held to."""

from dataclasses import dataclass
from math import asinh, cosh, hypot, sinh


@dataclass(frozen=True)
class Catenary:
    """One hanging cable: sag below the middle of the chord, length, pull at each end, and where it hangs lowest."""

    mid_sag_ft: float
    length_ft: float
    near_tension_lbf: float
    far_tension_lbf: float
    low_point_ft: float


def catenary(span_ft: float, rise_ft: float, weight_plf: float, horizontal_lbf: float) -> Catenary:
    """The whole shape between supports that may differ in level: y = c cosh((x - x0)/c) through both, c = H/w."""
    scale = horizontal_lbf / weight_plf
    level_length = 2 * scale * sinh(span_ft / (2 * scale))
    middle = asinh(rise_ft / level_length)
    half = span_ft / (2 * scale)
    return Catenary(
        mid_sag_ft=2 * scale * sinh(half / 2) ** 2 * cosh(middle),
        length_ft=hypot(level_length, rise_ft),
        near_tension_lbf=horizontal_lbf * cosh(middle - half),
        far_tension_lbf=horizontal_lbf * cosh(middle + half),
        low_point_ft=span_ft / 2 - scale * middle,
    )
