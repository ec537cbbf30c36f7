"""A weight hung from the middle of a tight cable: how deep it then hangs, the pull that tells, and how little give takes all of a pull."""

from math import inf

from engine.calc.limits import OutOfRange, require_positive, require_within
from engine.calc.statics.elastic_cable import state_lbf

SLACKEST = 1.3
"""A cable that pulls less than this many times its own weight in the span hangs slack: its depth no longer tells its pull."""


def weighted_depth_ft(
    weight_lb: float, span_ft: float, tension_lbf: float, weight_plf: float, ea_lbf: float, shared_ft: float | None = None
) -> float:
    """How far below the straight line from eye to eye the middle of a cable hangs with a weight on it, its own sag included.

    The supports stand still, depths are small, the cable is elastic; what it stretches is shared by `shared_ft` of cable: the whole loop
    where it runs free through the eyes, the span alone where they grip it.
    weight_lb: above 0.  span_ft: from eye to eye, above 0.  tension_lbf: of the bare cable, above 0.
    weight_plf: of the cable, lb/ft, 0 or more.  ea_lbf: area times modulus, lb, above 0.
    shared_ft: at least the span; the span when left out.
    Returns: ft, above 0.
    Raises: OutOfRange for a value out of range.
    Source: derived: moments about mid-span, depth = (w L^2/8 + P L/4)/H, and a string that stretches by half the mean slope squared:
    H^3 - (T - K a/T^2) H^2 - K b = 0 with K = EA L/2S, a = (wL)^2/12, b = P^2/4 + P w L/4 + a.
    Valid for: a depth under a tenth of the span.
    Example: 2 lb on 22.5 ft at 50 lb, 0.016 lb/ft, EA 50,098 lb: 2.51 in where the eyes grip, 2.81 in where 106 ft share the stretch.
    """
    stiff, own_lb = _stiff_and_own(weight_lb, span_ft, weight_plf, ea_lbf, shared_ft)
    require_positive(tension_lbf=tension_lbf)
    straight_lbf = tension_lbf - stiff * own_lb**2 / (12 * tension_lbf**2)
    return (own_lb / 8 + weight_lb / 4) * span_ft / state_lbf(straight_lbf, stiff * _slopes2(weight_lb, own_lb))


def tension_from_depth_lbf(
    depth_ft: float, weight_lb: float, span_ft: float, weight_plf: float, ea_lbf: float, shared_ft: float | None = None
) -> float:
    """The pull of the bare cable that a depth with a weight hung tells: `weighted_depth_ft` solved for the tension.

    depth_ft: above 0; all else as there.
    Returns: lb.
    Raises: OutOfRange for a value out of range, or a depth at which the bare cable hangs slack.
    Source: derived: H = (w L^2/8 + P L/4)/depth, then T^3 - (H - K b/H^2) T^2 - K a = 0.
    Valid for: the same as `weighted_depth_ft`.
    """
    require_positive(depth_ft=depth_ft)
    stiff, own_lb = _stiff_and_own(weight_lb, span_ft, weight_plf, ea_lbf, shared_ft)
    pull_lbf = (own_lb / 8 + weight_lb / 4) * span_ft / depth_ft
    bare_lbf = pull_lbf - stiff * _slopes2(weight_lb, own_lb) / pull_lbf**2
    tension_lbf = state_lbf(bare_lbf, stiff * own_lb**2 / 12)
    if tension_lbf <= SLACKEST * own_lb:
        raise OutOfRange("depth_ft", depth_ft, "what a pulled cable gives", "the cable hangs slack")
    return tension_lbf


def _stiff_and_own(weight_lb: float, span_ft: float, weight_plf: float, ea_lbf: float, shared_ft: float | None) -> tuple[float, float]:
    """EA over twice what shares the stretch, times the span, and the cable's own weight in it, lb."""
    shared = span_ft if shared_ft is None else shared_ft
    require_positive(weight_lb=weight_lb, span_ft=span_ft, ea_lbf=ea_lbf)
    require_within(0, inf, "a cable doesn't pull up", weight_plf=weight_plf)
    require_within(span_ft, inf, "what shares the stretch holds the span", shared_ft=shared)
    return ea_lbf * span_ft / (2 * shared), weight_plf * span_ft


def _slopes2(weight_lb: float, own_lb: float) -> float:
    """Mean over the span of the square of what each place carries."""
    return weight_lb**2 / 4 + weight_lb * own_lb / 4 + own_lb**2 / 12


def give_to_slack_ft(tension_lbf: float, length_ft: float, ea_lbf: float) -> float:
    """How far the ends of a length of cable have to come together until nothing of its pull is left.

    tension_lbf: above 0.  length_ft: of the cable that shares the stretch, above 0.  ea_lbf: area times modulus, lb, above 0.
    Returns: ft.
    Raises: OutOfRange for a value that isn't above 0.
    Source: derived: Hooke's law; sag left out.
    Valid for: a tight cable, whose sag takes up next to nothing.
    Example: 50 lb in 22.5 ft, EA 50,098 lb: 0.27 in.
    """
    require_positive(tension_lbf=tension_lbf, length_ft=length_ft, ea_lbf=ea_lbf)
    return tension_lbf * length_ft / ea_lbf
