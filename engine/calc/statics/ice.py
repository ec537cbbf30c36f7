"""Freezing rain on cable, wire and mesh. Guidance: the map's thickness is for local code to say."""

from math import inf, pi

from engine.calc.limits import OutOfRange, require_positive, require_within

ICE_PCF = 56.0
"""Weight of ice, lb per cubic foot, the least that the code lets it count as (ASCE 7-10, 10.4.1, from memory)."""


def design_ice_in(nominal_in: float, height_ft: float) -> float:
    """Radial ice at a height, from the map's at 33 ft in the open: t (z/33)^0.10.

    Maps of ASCE 7-16 are at strength level; those up to 7-10 are doubled first, and a place on a hill counts more: neither is done here.
    nominal_in: radial thickness by the map, in, 0 or more.  height_ft: over the ground, ft, above 0 to 900.
    Returns: in.
    Raises: OutOfRange.
    Source: ASCE 7-16, eq. 10.4-4 and 10.4-5, from memory.
    Valid for: level ground.
    Example: 0.5 in at 6 ft: 0.42 in.
    """
    require_within(0, inf, "a thickness", nominal_in=nominal_in)
    require_positive(height_ft=height_ft)
    require_within(0, 900, "the power law ends there", height_ft=height_ft)
    return float(nominal_in * (height_ft / 33) ** 0.1)


def radial_ice_plf(diameter_in: float, ice_in: float, ice_pcf: float = ICE_PCF) -> float:
    """Weight of ice round a foot of cable or wire: area pi t (D + t).

    diameter_in: D, in, above 0.  ice_in: t, radial, in, 0 or more.  ice_pcf: lb per cubic foot, above 0.
    Returns: lb/ft.
    Raises: OutOfRange.
    Source: ASCE 7-10, eq. 10.4-1, from memory; the area of a ring.
    Valid for: ice of one thickness all round.
    Example: 0.5 in on 0.094 in: 0.363 lb/ft.
    """
    require_positive(diameter_in=diameter_in, ice_pcf=ice_pcf)
    require_within(0, inf, "a thickness", ice_in=ice_in)
    return ice_pcf * pi * ice_in * (diameter_in + ice_in) / 144


def ice_on_mesh_psf(wire_in: float, pitch1_in: float, pitch2_in: float, ice_in: float, ice_pcf: float = ICE_PCF) -> float:
    """Weight of ice on a square foot of mesh: that round all its wires, and never more than a slab as thick as an iced wire.

    wire_in: diameter of wire or strand, in, above 0.  pitch1_in, pitch2_in: between wires either way, in, above the wire.
    ice_in: radial, in, 0 or more.  ice_pcf: lb per cubic foot, above 0.
    Returns: lb per ft^2.
    Raises: OutOfRange.
    Source: derived: length of wire in a square foot times `radial_ice_plf`; where wires cross the ice counts twice.
    Valid for: guidance, on the heavy side.
    Example: 0.25 in on 0.06 in strands, 1.75 in apart: 1.30 psf.
    """
    for name, pitch in (("pitch1_in", pitch1_in), ("pitch2_in", pitch2_in)):
        if not wire_in < pitch < inf:
            raise OutOfRange(name, pitch, f"above the wire, {wire_in:g}", "the mesh has no opening")
    along = radial_ice_plf(wire_in, ice_in, ice_pcf) * (12 / pitch1_in + 12 / pitch2_in)
    return min(along, ice_pcf * (wire_in + 2 * ice_in) / 12)
