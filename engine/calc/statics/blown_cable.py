"""A tight cable under a load from the side: at which load it has a given pull, and one bay of a run alone."""

from collections.abc import Sequence
from math import fsum, hypot, sqrt

from engine.calc.limits import OutOfRange, require_positive, require_within


def load_at_tension_plf(most_lbf: float, tension_lbf: float, ruling_span_ft: float, weight_plf: float, ea_lbf: float) -> float:
    """Load along a cable, weight and wind together, at which its pull has grown to a given one: the change of state the other way round.

    most_lbf: the pull asked about, lb, `tension_lbf` or more.  tension_lbf: pull under the weight alone, lb, above 0.
    ruling_span_ft: of the run that shares the stretch, ft, above 0.  weight_plf: load then, lb/ft, above 0.  ea_lbf: lb, above 0.
    Returns: lb/ft, `weight_plf` or more.
    Raises: OutOfRange.
    Source: derived: `engine.calc.statics.elastic_cable.change_of_state_lbf` without warmth, solved for the load after.
    Valid for: every bay of the run loaded alike; sag up to a tenth of the span.
    """
    require_positive(tension_lbf=tension_lbf, ruling_span_ft=ruling_span_ft, weight_plf=weight_plf, ea_lbf=ea_lbf, most_lbf=most_lbf)
    if most_lbf < tension_lbf:
        raise OutOfRange("most_lbf", most_lbf, f"{tension_lbf:g} or more", "a load never slackens a cable")
    slack = weight_plf**2 / tension_lbf**2
    return most_lbf * sqrt(24 * (most_lbf - tension_lbf) / (ea_lbf * ruling_span_ft**2) + slack)


def side_load_plf(load_plf: float, weight_plf: float) -> float:
    """The part of a load that blows level, where the rest is weight.

    load_plf: both together, lb/ft, `weight_plf` or more.  weight_plf: lb/ft, 0 or more.
    Returns: lb/ft.
    Raises: OutOfRange.
    Source: derived: both stand square to the cable and to each other.
    Valid for: a taut cable, which swings into the plane of its load.
    """
    require_within(0, float("inf"), "a weight", weight_plf=weight_plf)
    require_within(weight_plf, float("inf"), "the weight is in it", load_plf=load_plf)
    return sqrt((load_plf - weight_plf) * (load_plf + weight_plf))


def one_bay_load_plf(side_plf: float, weight_plf: float, bay_ft: float, spans_ft: Sequence[float]) -> float:
    """The load all along a run that stretches its cable as much as wind on one bay alone does.

    side_plf: wind on that bay's cable, lb/ft, 0 or more.  weight_plf: of every bay, lb/ft, above 0.
    bay_ft: that bay, ft, one of the spans.  spans_ft: shape (n,), every bay of the run that the cable runs through freely, ft, above 0.
    Returns: lb/ft, for `change_of_state_lbf` with the ruling span of the run.
    Raises: OutOfRange.
    Source: derived: slack of a bay is w^2 L^3/24 T^2, and the pull is the same all along.
    Valid for: eyes that let the cable run; where they grip, the bay is a run of its own.
    """
    require_positive(weight_plf=weight_plf, bay_ft=bay_ft)
    require_within(0, float("inf"), "a load", side_plf=side_plf)
    cubes = fsum(span**3 for span in spans_ft)
    require_within(bay_ft**3 * (1 - 1e-9), float("inf"), "the run holds the bay", spans_ft=cubes)
    return hypot(weight_plf, side_plf * sqrt(min(1.0, bay_ft**3 / cubes)))
