"""Wind on open mesh. Guidance for light yard fences: the basic speed and the design are for local code to decide."""

from math import inf, pow
from typing import Literal

from engine.calc.limits import OutOfRange, require_positive, require_within

Exposure = Literal["B", "C", "D"]

_POWER_AND_TOP = {"B": (7.0, 1200.0), "C": (9.5, 900.0), "D": (11.5, 700.0)}
"""Exponent and top of the boundary layer, ft, of ASCE 7-10."""

_COEFFICIENTS = ((0.1, 2.0, 1.2, 0.8), (0.3, 1.8, 1.3, 0.9), (0.7, 1.6, 1.5, 1.1))
"""Solidity up to; then flat-sided, round and small, round and large."""


def kz(height_ft: float, exposure: Exposure) -> float:
    """Exposure coefficient of wind pressure: 2.01 (max(z, 15)/zg)^(2/a).

    The wind near the ground counts as that at 15 ft; the code has it so.
    height_ft: over the ground, ft, 0 to 700.  exposure: "B" among houses and trees, "C" open, "D" shore.
    Returns: ratio, no unit.
    Raises: OutOfRange for the height; ValueError for another exposure.
    Source: ASCE 7-10, table 29.3-1, which the power law reproduces; its constants read on a web page.
    Valid for: ASCE 7-05 to 7-16; ASCE 7-22 changed the constants (from memory).
    Example: 6 ft in exposure C: 0.849.
    """
    require_within(0, 700, "the power law ends at the top of the boundary layer", height_ft=height_ft)
    if exposure not in _POWER_AND_TOP:
        raise ValueError(f"exposure {exposure!r} isn't B, C or D")
    power, top_ft = _POWER_AND_TOP[exposure]
    return 2.01 * pow(max(height_ft, 15.0) / top_ft, 2 / power)


def velocity_pressure_psf(speed_mph: float, kz: float, kzt: float = 1.0, kd: float = 0.85) -> float:
    """Pressure of the wind: 0.00256 Kz Kzt Kd V^2.

    Speeds from maps of ASCE 7-10 and later are at strength level, earlier ones at service level: don't mix them.
    speed_mph: 3-second gust, mph, 0 to 300.  kz: from `kz`, 0 to 3.  kzt: hills, 1 (flat) to 5.
    kd: direction, 0.85 for open framework, 0 to 1.
    Returns: lb per ft^2.
    Raises: OutOfRange.
    Source: ASCE 7-10, velocity pressure; Kd 0.85 of lattice framework from its table 26.6-1.
    Valid for: air at sea level, 59 F (from memory).
    Example: 90 mph, Kz 0.849, Kd 0.85: 15.0 lb/ft^2.
    """
    require_within(0, 300, "no basic wind speed is higher", speed_mph=speed_mph)
    require_within(0, 3, "beyond the code's table", kz=kz)
    require_within(1, 5, "a hill adds to the wind", kzt=kzt)
    require_within(0, 1, "a share of the wind", kd=kd)
    return 0.00256 * kz * kzt * kd * speed_mph**2


def open_screen_coefficient(solidity: float, round_members: bool, d_root_q: float = 0.0) -> float:
    """Force coefficient of an open sign or lattice, on its solid area.

    solidity: solid over gross area, above 0 to 0.7.  round_members: round wire (True) or flat-sided strands (False).
    d_root_q: member diameter in ft times root of the pressure in psf, 0 or more; mesh wire stays far under 2.5
    (0.08 in at 20 psf: 0.03).
    Returns: ratio, no unit.
    Raises: OutOfRange.
    Source: ASCE 7-16, table 29.4-2, read in a permit calculation of the City of Everett WA.
    Valid for: screens at least 30 % open.
    Example: round wire at 0.06: 1.2.
    """
    require_positive(solidity=solidity)
    require_within(0, inf, "a size", d_root_q=d_root_q)
    if solidity > 0.7:
        raise OutOfRange("solidity", solidity, "up to 0.7", "less than 30 % open counts as a solid sign, with another table")
    row = next(row for row in _COEFFICIENTS if solidity < row[0] or row is _COEFFICIENTS[-1])
    if not round_members:
        return row[1]
    return row[2] if d_root_q <= 2.5 else row[3]


def wind_on_screen_psf(pressure_psf: float, coefficient: float, solidity: float, gust: float = 0.85) -> float:
    """Wind force per square foot of fence, openings included: q G Cf times solidity.

    pressure_psf: from `velocity_pressure_psf`, 0 or more.  coefficient: from `open_screen_coefficient`, 0 to 3.
    solidity: solid over gross area, 0 to 1.  gust: gust factor, 0.85 for a stiff structure, 0 to 2.
    Returns: lb per ft^2 of gross area.
    Raises: OutOfRange.
    Source: ASCE 7-10, open signs and lattice: F = q G Cf Af with Af the solid area.
    Valid for: wind square on; a limber fence may be gustier than 0.85.
    """
    require_within(0, inf, "a pressure", pressure_psf=pressure_psf)
    require_within(0, 3, "beyond the code's table", coefficient=coefficient)
    require_within(0, 1, "a share of the gross area", solidity=solidity)
    require_within(0, 2, "a gust factor", gust=gust)
    return pressure_psf * gust * coefficient * solidity


def wind_on_round_plf(pressure_psf: float, diameter_in: float, gust: float = 0.85) -> float:
    """Wind force on a foot of a slim round post or cable: q G Cf D with Cf 1.2.

    pressure_psf: from `velocity_pressure_psf`, 0 or more.  diameter_in: in, above 0 to 24.  gust: gust factor, 0 to 2.
    Returns: lb/ft.
    Raises: OutOfRange.
    Source: ASCE 7-16, table 29.4-2: round members with D root q up to 2.5, few of them in the gross area.
    Valid for: a member at least 25 times as long as wide; wind square on.
    Example: 10.1 psf on a 1.625 in post: 1.40 lb/ft.
    """
    require_within(0, inf, "a pressure", pressure_psf=pressure_psf)
    require_positive(diameter_in=diameter_in)
    require_within(0, 24, "no post is wider", diameter_in=diameter_in)
    require_within(0, 2, "a gust factor", gust=gust)
    return pressure_psf * gust * _COEFFICIENTS[0][2] * diameter_in / 12
