"""How deep a post must stand to hold a sideways pull. Guidance: the permit office and licensed practice decide."""

from math import cbrt, sqrt
from typing import Literal

from engine.calc.length_words import said_in_units
from engine.calc.limits import OutOfRange, require_positive, require_within
from engine.calc.roots import rising_root

SoilClass = Literal["rock", "foliated rock", "gravel", "sand", "clay"]

DEEPEST_FT = 12.0
"""Deepest embedment that the code lets the pressure grow to."""

_LATERAL_PSF_PER_FT = {"rock": 1200.0, "foliated rock": 400.0, "gravel": 200.0, "sand": 150.0, "clay": 100.0}
_VERTICAL_PSF = {"rock": 12_000.0, "foliated rock": 4000.0, "gravel": 3000.0, "sand": 2000.0, "clay": 1500.0}


def lateral_bearing_psf_per_ft(soil_class: SoilClass) -> float:
    """Sideways pressure that ground may take, per foot of depth.

    soil_class: "rock" (crystalline), "foliated rock" (or sedimentary), "gravel" (or sandy gravel), "sand" (also silty or clayey sand
    and gravel), "clay" (also silt).
    Returns: psf per ft of depth.
    Raises: ValueError for another class.
    Source: IBC 2012, table 1806.2.
    Valid for: undisturbed ground; mud, organic soil and loose fill have no value there and need someone who knows the ground.
    """
    if soil_class not in _LATERAL_PSF_PER_FT:
        raise ValueError(f"soil class {soil_class!r} isn't one of {', '.join(_LATERAL_PSF_PER_FT)}")
    return _LATERAL_PSF_PER_FT[soil_class]


def vertical_bearing_psf(soil_class: SoilClass) -> float:
    """Pressure that ground may take under a plate or footing.

    soil_class: as in `lateral_bearing_psf_per_ft`.
    Returns: psf.
    Raises: ValueError for another class.
    Source: IBC 2012, table 1806.2.
    Valid for: undisturbed ground, the plate square to the load; mud, organic soil and loose fill have no value there.
    """
    if soil_class not in _VERTICAL_PSF:
        raise ValueError(f"soil class {soil_class!r} isn't one of {', '.join(_VERTICAL_PSF)}")
    return _VERTICAL_PSF[soil_class]


def pole_a_ft(load_lbf: float, s1_psf: float, width_ft: float) -> float:
    """The term A of the pole formula: 2.34 P/(S1 b).

    load_lbf: sideways load, lb, above 0.  s1_psf: pressure allowed at a third of the depth, psf, above 0.
    width_ft: diameter of a round post, diagonal of a square one, ft, above 0.
    Returns: ft.
    Raises: OutOfRange for a value that isn't above 0.
    Source: IBC 1807.3.2, eq. 18-1, nonconstrained.
    Valid for: posts free at the ground line.
    """
    require_positive(load_lbf=load_lbf, s1_psf=s1_psf, width_ft=width_ft)
    return 2.34 * load_lbf / (s1_psf * width_ft)


def nonconstrained_depth_ft(load_lbf: float, height_ft: float, width_ft: float, bearing_psf_per_ft: float, factor: float = 1.0) -> float:
    """Depth of a post that is free at the ground line, its pressure taken at a third of that very depth.

    A slim post asks for far more depth than a driven sleeve gets, because its width is so small: show the number, don't hide it.
    load_lbf: sideways load, lb, above 0.  height_ft: of the load over the ground, ft, above 0.
    width_ft: diameter of a round post, diagonal of a square one, ft, above 0.
    bearing_psf_per_ft: from `lateral_bearing_psf_per_ft`, psf per ft, above 0.
    factor: 1, or 2 for an isolated post where half an inch of movement at the ground does no harm.
    Returns: ft.
    Raises: OutOfRange for values out of range, or when the depth would pass 12 ft.
    Source: IBC 1807.3.2, eq. 18-1, nonconstrained; the doubling IBC 1806.3.4 (its half inch from memory).
    Valid for: depths up to 12 ft, to which the code lets the pressure grow.
    Example: 50 lb at 3 ft on a 2.375 in post in sand: 4.52 ft; doubled 3.40 ft.
    """
    require_positive(load_lbf=load_lbf, height_ft=height_ft, width_ft=width_ft, bearing_psf_per_ft=bearing_psf_per_ft)
    require_within(1, 2, "the code doubles the pressure at most", factor=factor)
    per_ft = factor * bearing_psf_per_ft
    cube = pole_a_ft(load_lbf, per_ft / 3, width_ft)

    def spare(depth_ft: float) -> float:
        """Eq. 18-1 cleared of its root: d^2 = A (d + 1.09 h), with A = cube/d."""
        return depth_ft**3 - cube * (depth_ft + 1.09 * height_ft)

    if spare(DEEPEST_FT) < 0:
        raise _too_deep(load_lbf, load_lbf * DEEPEST_FT**3 / (cube * (DEEPEST_FT + 1.09 * height_ft)))
    tall_ft, short_ft = cbrt(cube * 1.09 * height_ft), sqrt(cube)  # d^3 passes each term alone, and their sum cubed passes both
    return rising_root(spare, max(tall_ft, short_ft) * (1 - 1e-9), (tall_ft + short_ft) * (1 + 1e-9))


def _too_deep(load_lbf: float, most_lbf: float) -> OutOfRange:
    return OutOfRange(
        "load_lbf", load_lbf, f"up to {most_lbf:.1f}", said_in_units("the code's pressure stops growing at 12 ft; brace the post")
    )
