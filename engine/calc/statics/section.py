"""Round tube in bending, and the wire that mesh is made of."""

from math import pi

from engine.calc.frozen import dataclass
from engine.calc.limits import OutOfRange, require_positive

STEEL_PCF = 490.0
"""Weight of steel, lb per cubic foot (university materials tables)."""


STEEL_PSI = 29.0e6
"""Modulus of steel, psi (university materials tables)."""


@dataclass(frozen=True)
class Tube:
    """A round steel tube: elastic section modulus and weight."""

    section_in3: float
    weight_plf: float


def tube(od_in: float, wall_in: float) -> Tube:
    """Section of a round steel tube.

    od_in: outside diameter, not the trade size, in, above 0.  wall_in: in, above 0, up to half the diameter (a solid bar).
    Returns: Tube: in^3 and lb/ft.
    Raises: OutOfRange.
    Source: derived: A = pi/4 (D^2 - d^2), I = pi/64 (D^4 - d^4), S = 2I/D, 490 lb/ft^3; R. L. Mott, Machine
    Elements in Mechanical Design, 4th ed., table A16-6 lists the same for pipe.
    Valid for: steel; the weight is bare, without zinc.
    Example: 1.900 x 0.145 in: 0.3262 in^3, 2.72 lb/ft.
    """
    require_positive(od_in=od_in, wall_in=wall_in)
    inside_in = od_in - 2 * wall_in
    if inside_in < 0:
        raise OutOfRange("wall_in", wall_in, f"up to {od_in / 2:g}", "the wall is thicker than the tube")
    area = pi / 4 * (od_in**2 - inside_in**2)
    inertia = pi / 64 * (od_in**4 - inside_in**4)
    return Tube(section_in3=2 * inertia / od_in, weight_plf=area / 144 * STEEL_PCF)


def stiffness_lbf_ft2(od_in: float, wall_in: float) -> float:
    """How stiff a round steel tube is in bending: E I.

    od_in, wall_in: as in `tube`.
    Returns: lb ft^2.
    Raises: OutOfRange.
    Source: derived: I = S D/2, 29 million psi.
    Valid for: steel below yield.
    Example: 1.625 x 0.065 in: 19,560 lb ft^2.
    """
    return STEEL_PSI * tube(od_in, wall_in).section_in3 * od_in / 2 / 144


def yield_moment_lbf_ft(section_in3: float, yield_psi: float) -> float:
    """Bending at which the outside of a tube begins to yield: S Fy.

    section_in3: elastic section modulus, in^3, above 0.  yield_psi: yield strength from the mill's paper, psi, above 0.
    Returns: lb ft.
    Raises: OutOfRange for a value that isn't above 0.
    Source: derived: elastic bending.
    Valid for: a tube whose wall doesn't buckle first; no safety in it.
    """
    require_positive(section_in3=section_in3, yield_psi=yield_psi)
    return section_in3 * yield_psi / 12


def strut_lbf(od_in: float, wall_in: float, length_ft: float, yield_psi: float) -> float:
    """Push along a round tube, free to turn at both ends, at which it bows out.

    Slender tubes by Euler, stouter ones by Johnson's parabola, which meets it where half the yield is reached.
    od_in, wall_in: as in `tube`.  length_ft: between its ends, ft, above 0.  yield_psi: psi, above 0.
    Returns: lb; no safety in it.
    Raises: OutOfRange.
    Source: L. Euler and J. B. Johnson, as in R. L. Mott, Machine Elements in Mechanical Design, 4th ed., chapter 6 (from memory).
    Valid for: a straight tube pushed along its middle.
    Example: 1.375 x 0.065 in, 7 ft, 30,000 psi: 2,333 lb.
    """
    require_positive(length_ft=length_ft, yield_psi=yield_psi)
    section = tube(od_in, wall_in)
    area_in2, inertia_in4 = section.weight_plf / STEEL_PCF * 144, section.section_in3 * od_in / 2
    slender2 = (12 * length_ft) ** 2 * area_in2 / inertia_in4
    euler_psi = pi**2 * STEEL_PSI / slender2
    return area_in2 * (euler_psi if 2 * euler_psi < yield_psi else yield_psi * (1 - yield_psi / (4 * euler_psi)))


def wire_weight_psf(d1_in: float, d2_in: float, pitch1_in: float, pitch2_in: float) -> float:
    """Weight of welded steel mesh per square foot: bare wire, both ways.

    d1_in: wire one way, in.  pitch1_in: between those wires, in, above d1.  d2_in, pitch2_in: the other way.
    Returns: lb per ft^2.
    Raises: OutOfRange for a size that isn't above 0, or a wire as thick as its pitch.
    Source: derived: area of wire per foot times 490 lb/ft^3.
    Valid for: bare steel; published rolls run 4 to 10 % over (edge wires, overlap: Wire Reinforcement Institute table).
    Example: 14 ga 2 x 4 in: 0.154 lb/ft^2.
    """
    _require_open(d1_in, d2_in, pitch1_in, pitch2_in)
    return STEEL_PCF / 12 * pi / 4 * (d1_in**2 / pitch1_in + d2_in**2 / pitch2_in)


def solidity(d1_in: float, d2_in: float, pitch1_in: float, pitch2_in: float) -> float:
    """Share of a mesh that is wire, seen square on: 1 - (1 - d1/p1)(1 - d2/p2).

    d1_in: wire one way, in.  pitch1_in: between those wires, in, above d1.  d2_in, pitch2_in: the other way.
    Returns: ratio, above 0 and below 1.
    Raises: OutOfRange for a size that isn't above 0, or a wire as thick as its pitch.
    Source: derived: open part of one mesh.
    Valid for: square-on view; ice, leaves and vines aren't in it.
    Example: 14 ga 2 x 4 in: 0.059.
    """
    _require_open(d1_in, d2_in, pitch1_in, pitch2_in)
    return 1 - (1 - d1_in / pitch1_in) * (1 - d2_in / pitch2_in)


def _require_open(d1_in: float, d2_in: float, pitch1_in: float, pitch2_in: float) -> None:
    require_positive(d1_in=d1_in, d2_in=d2_in, pitch1_in=pitch1_in, pitch2_in=pitch2_in)
    for name, wire, pitch in (("d1_in", d1_in, pitch1_in), ("d2_in", d2_in, pitch2_in)):
        if wire >= pitch:
            raise OutOfRange(name, wire, f"below its pitch, {pitch:g}", "the mesh has no opening")
