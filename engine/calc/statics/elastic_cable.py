"""How a tight cable answers to warmth, weight and a push, and what it may carry."""

from math import cbrt, hypot, inf, pi, sqrt

from engine.calc.frozen import dataclass
from engine.calc.limits import OutOfRange, require_positive, require_within
from engine.calc.roots import NO_STEP, root_along_slope

STEEL_ALPHA_PER_F = 6.5e-6
"""Steel grows by this share of its length per degree F (university materials tables)."""

_WIRES_AND_WIDTH = {"1x7": (7, 3.0), "1x19": (19, 5.0), "3x7": (21, 3 + 2 * 3**0.5), "7x7": (49, 9.0), "7x19": (133, 15.0)}
"""Wires in the rope, and its diameter in wire diameters when they touch."""


@dataclass(frozen=True)
class PushOut:
    """A cable pushed at mid-span: how far, and the pull then."""

    deflection_ft: float
    tension_lbf: float


def change_of_state_lbf(
    tension_lbf: float,
    ruling_span_ft: float,
    weight_plf: float,
    warming_F: float,
    ea_lbf: float,
    alpha_per_F: float = STEEL_ALPHA_PER_F,
    weight_after_plf: float | None = None,
) -> float:
    """Tension after the day has warmed or cooled and, if wanted, after the load has changed.

    The supports don't give; the cable is elastic and its sag small. Warming is positive, cooling negative.
    tension_lbf: tension before, lb, above 0.  ruling_span_ft: ft, above 0.  weight_plf: load before, lb/ft, above 0.
    warming_F: degrees F, -300 to 300.  ea_lbf: area times modulus, lb, above 0.
    alpha_per_F: growth per degree F, 0 to 1e-3.  weight_after_plf: load after, lb/ft, above 0; the same as before when left out.
    Returns: tension after, lb, above 0.
    Raises: OutOfRange.
    Source: derived: change of cable length = stretch + warmth, T2^2 [T2 - T1 + EA(alpha dt + w1^2 L^2/24 T1^2)] = EA w2^2 L^2/24,
    the change-of-state equation of power-line practice.
    Valid for: sag up to a tenth of the span.
    Example: 150 lb in 10 ft spans of 0.016 lb/ft, EA 60,000 lb, cooled 60 F: 173.4 lb.
    """
    after = weight_plf if weight_after_plf is None else weight_after_plf
    sizes = 0 < tension_lbf < inf and 0 < ruling_span_ft < inf and 0 < weight_plf < inf and 0 < ea_lbf < inf and 0 < after < inf
    if not (sizes and -300 <= warming_F <= 300 and 0 <= alpha_per_F <= 1e-3):  # a walk asks hundreds of times
        require_positive(tension_lbf=tension_lbf, ruling_span_ft=ruling_span_ft, weight_plf=weight_plf, ea_lbf=ea_lbf)
        require_positive(weight_after_plf=after)
        require_within(-300, 300, "no weather changes more", warming_F=warming_F)
        require_within(0, 1e-3, "no cable grows more", alpha_per_F=alpha_per_F)
    slack_share = (weight_plf * ruling_span_ft / tension_lbf) ** 2 / 24
    straight_lbf = tension_lbf - ea_lbf * (alpha_per_F * warming_F + slack_share)
    after_lbf = state_lbf(straight_lbf, ea_lbf * (after * ruling_span_ft) ** 2 / 24)
    for name, load, pull in (("tension_lbf", weight_plf, tension_lbf), ("tension after", after, after_lbf)):
        if load * ruling_span_ft > 0.8 * pull:
            limit = f"{load * ruling_span_ft / 0.8:g} or more"
            raise OutOfRange(name, pull, limit, "a slacker cable sags over a tenth of its span and this formula no longer holds")
    return after_lbf


def state_lbf(straight_lbf: float, sag_term: float) -> float:
    """Tension of an elastic cable that its load bends: the one t of 0 or more for which t^2 (t - straight) = sag term.

    It is walked to down the tangents, from a place over it and near: a cable tight without load, or a slack one.
    straight_lbf: tension that the cable would have straight, lb, below 0 where it is longer than the span.
    sag_term: EA times the mean square of what each place carries, over 2, lb^3, 0 or more.
    Returns: lb, 0 or more.
    Source: derived: Newton's method, which from over the root never passes it; a step of a billionth leaves nothing to step.
    Valid for: any straight tension.
    Example: 100 lb and 10,000 lb^3: 100.98 lb.
    """
    if sag_term == 0:
        return max(straight_lbf, 0.0)
    slack_lbf = cbrt(sag_term)
    if straight_lbf > 0:
        pull = straight_lbf + (sag_term / straight_lbf**2 if slack_lbf < straight_lbf else slack_lbf)
    else:
        pull = min(slack_lbf, sqrt(sag_term / -straight_lbf)) if straight_lbf < -slack_lbf else slack_lbf
    while True:
        step = (pull * pull * (pull - straight_lbf) - sag_term) / (pull * (3 * pull - 2 * straight_lbf))
        pull -= step
        if step <= NO_STEP * pull:
            return pull


def push_out(load_lbf: float, span_ft: float, tension_lbf: float, ea_lbf: float, loop_length_ft: float | None = None) -> PushOut:
    """How far a cable gives when something leans on the middle of a bay, and the pull it then has.

    The supports stand still, the cable is elastic and slides freely through the eyes, so that its stretch is shared over the loop.
    Weight and sag are left out. The push is square to the chord.
    load_lbf: push, lb, 0 or more.  span_ft: bay, ft, above 0.  tension_lbf: pull before, lb, above 0.
    ea_lbf: area times modulus, lb, above 0.  loop_length_ft: cable that shares the stretch, ft, at least the span; the span when left out.
    Returns: PushOut, feet and pounds.
    Raises: OutOfRange for values out of range, or for a push that would bend the cable more than 45 degrees.
    Source: derived: P = 2 T sin(angle), T = T0 + EA (stretch / loop length), stretch = L (sqrt(1 + (2d/L)^2) - 1).
    Valid for: an elastic cable up to 45 degrees; compare the pull with the breaking strength and the lock.
    Example: 50 lb on a 10 ft bay, 150 lb, EA 60,000 lb: out 0.384 ft (4.61 in), pull 326.6 lb.
    """
    loop = span_ft if loop_length_ft is None else loop_length_ft
    if not (0 < span_ft <= loop < inf and 0 < tension_lbf < inf and 0 < ea_lbf < inf and 0 <= load_lbf < inf):
        require_positive(span_ft=span_ft, tension_lbf=tension_lbf, ea_lbf=ea_lbf)
        require_within(0, inf, "a push, not a pull", load_lbf=load_lbf)
        require_within(span_ft, inf, "the loop holds the bay", loop_length_ft=loop)

    stiffness_lbf = ea_lbf * span_ft / loop

    def pull_lbf(slope: float) -> float:
        return tension_lbf + stiffness_lbf * (slope * slope / (hypot(1, slope) + 1))

    def spare_lbf(slope: float) -> tuple[float, float]:
        secant = hypot(1, slope)
        sine, pull = slope / secant, tension_lbf + stiffness_lbf * (slope * slope / (secant + 1))
        return 2 * pull * sine - load_lbf, 2 * (stiffness_lbf * sine * sine + pull / (secant * secant * secant))

    if (spare := spare_lbf(1.0)[0]) < 0:
        limit = f"0 to {spare + load_lbf:.0f}"
        raise OutOfRange("load_lbf", load_lbf, limit, "a harder push bends the cable over 45 degrees; expect it to break or slip")
    # sqrt(1 + m^2) - 1 is over 0.41 m^2 and sin(atan m) over 0.7 m for a slope m up to 1; and a sine is under its slope
    most = min(1.0, cbrt(load_lbf) * cbrt(1 / (0.57 * stiffness_lbf)))
    bends_up = stiffness_lbf >= tension_lbf  # the second derivative has the sign of this difference
    slope = root_along_slope(spare_lbf, most if bends_up else load_lbf / (2 * pull_lbf(most)))
    return PushOut(slope * span_ft / 2, pull_lbf(slope))


def rope_area_in2(diameter_in: float, construction: str) -> float:
    """Metal in the cross-section of a wire rope.

    The wires are round, of one size, and touch; the sheath of a coated cable doesn't count.
    diameter_in: over the metal, in, above 0.  construction: "1x7", "1x19", "3x7", "7x7" or "7x19".
    Returns: area, in^2.
    Raises: OutOfRange for the diameter; ValueError for another construction.
    Source: derived: n wires of d/k each; 7x7 gives 0.475 d^2 and 7x19 gives 0.464 d^2.
    Valid for: ideal geometry; real rope is a few per cent either side.
    """
    require_positive(diameter_in=diameter_in)
    if construction not in _WIRES_AND_WIDTH:
        raise ValueError(f"construction {construction!r} isn't one of {', '.join(_WIRES_AND_WIDTH)}")
    wires, width = _WIRES_AND_WIDTH[construction]
    return wires * pi / 4 * (diameter_in / width) ** 2


def ea_lbf(area_in2: float, modulus_psi: float) -> float:
    """Pull that would stretch a cable by its own length if it stayed elastic: area times modulus.

    area_in2: metal area, in^2, above 0.  modulus_psi: of the rope, not of solid steel, psi, above 0.
    Returns: lb.
    Raises: OutOfRange for a value that isn't above 0.
    Source: derived: Hooke's law. The modulus of rope, 10 to 15 million psi on metal area, is from memory, so it is asked for.
    Valid for: a rope that has been pulled before; new rope first beds in and stays a little longer.
    """
    require_positive(area_in2=area_in2, modulus_psi=modulus_psi)
    return area_in2 * modulus_psi


def working_load_lbf(strength_lbf: float, factor: float) -> float:
    """Pull that a cable, lock or fitting may carry: strength over factor.

    strength_lbf: breaking strength of the weakest part, lb, above 0.  factor: 1 to 20.
    Returns: lb.
    Raises: OutOfRange.
    Source: derived: definition. A factor of 3 for guy lines: Alberta OHS Code Explanation Guide, section 292.1 (2009).
    Valid for: a steady pull; where a break can hurt someone, local code and licensed practice decide.
    """
    require_positive(strength_lbf=strength_lbf)
    require_within(1, 20, "a factor below 1 plans to break the cable", factor=factor)
    return strength_lbf / factor


def safety_factor(strength_lbf: float, tension_lbf: float) -> float:
    """How many times the pull the strength is.

    strength_lbf: breaking strength of the weakest part, lb, above 0.  tension_lbf: largest pull, lb, above 0.
    Returns: ratio, no unit; below 1 it breaks.
    Raises: OutOfRange for a value that isn't above 0.
    Source: derived: definition.
    Valid for: a steady pull.
    """
    require_positive(strength_lbf=strength_lbf, tension_lbf=tension_lbf)
    return strength_lbf / tension_lbf
