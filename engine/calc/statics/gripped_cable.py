"""A cable that its eyes grip, leaned on in one bay: what posts and the cables beside it give takes off its pull."""

from math import inf, sqrt

from engine.calc.limits import OutOfRange, require_positive, require_within
from engine.calc.roots import NO_STEP
from engine.calc.statics.elastic_cable import PushOut, state_lbf


def beam_gives_ft_per_lbf(at_ft: float, pulled_ft: float, ei_lbf_ft2: float) -> float:
    """How far a post gives at one height for a pound of level pull at another.

    at_ft, pulled_ft: over the ground, ft, above 0.  ei_lbf_ft2: stiffness of the post, E times I, lb ft^2, above 0.
    Returns: ft/lb, the same with both heights changed over.
    Raises: OutOfRange.
    Source: derived: a cantilever, a^2 (3b - a)/6EI of the lower height a and the higher b, as in any text on beams.
    Valid for: a post held firmly at the ground, below yield.
    """
    if not (0 < at_ft < inf and 0 < pulled_ft < inf and 0 < ei_lbf_ft2 < inf):  # a walk asks hundreds of times
        require_positive(at_ft=at_ft, pulled_ft=pulled_ft, ei_lbf_ft2=ei_lbf_ft2)
    near, far = min(at_ft, pulled_ft), max(at_ft, pulled_ft)
    return near * near * (3 * far - near) / (6 * ei_lbf_ft2)


def eye_gives_ft_per_lbf(eye_ft: float, prop_ft: float, ei_lbf_ft2: float, prop_lbf_per_ft: float, beside_lbf_per_ft: float) -> float:
    """How far an eye gives for a pound along the fence, where its post is propped at another height and held by cable beside the eye.

    eye_ft, prop_ft: over the ground, ft, above 0.  ei_lbf_ft2: of the post, lb ft^2, above 0.
    prop_lbf_per_ft: stiffness of what props it: a cable through the other eye, a brace (infinite); 0 nothing.
    beside_lbf_per_ft: stiffness of the cable that leaves the eye on its other side, 0 or more.
    Returns: ft/lb.
    Raises: OutOfRange.
    Source: derived: the prop's force closes the gap; springs side by side add.
    Valid for: as `beam_gives_ft_per_lbf`; far ends of those cables that stand still, so that it gives a little more than is told.
    """
    require_within(0, inf, "a spring", beside_lbf_per_ft=beside_lbf_per_ft)
    free = beam_gives_ft_per_lbf(eye_ft, eye_ft, ei_lbf_ft2)
    if prop_lbf_per_ft:
        soft = beam_gives_ft_per_lbf(prop_ft, prop_ft, ei_lbf_ft2) + 1 / prop_lbf_per_ft
        free -= beam_gives_ft_per_lbf(eye_ft, prop_ft, ei_lbf_ft2) ** 2 / soft
    return 1 / (1 / free + beside_lbf_per_ft) if free > 0 else 0.0


def gripped_push_out(
    load_lbf: float, span_ft: float, tension_lbf: float, weight_plf: float, ea_lbf: float, ends_give_ft_per_lbf: float = 0.0
) -> PushOut:
    """How far one bay of cable gives when something leans on its middle, and the pull it then has, where the eyes grip it.

    The weight that hung there gives up its slack as the pull grows. The push is level, square to weight and chord.
    load_lbf: lb, 0 or more.  span_ft: ft, above 0.  tension_lbf: pull before, lb, above 0.  weight_plf: on the cable, lb/ft, 0 or more.
    ea_lbf: lb, above 0.  ends_give_ft_per_lbf: what both eyes together give for a pound of pull more, ft/lb, 0 or more.
    Returns: PushOut, feet and pounds.
    Raises: OutOfRange for values out of range, or for a push that would bend the cable more than 45 degrees.
    Source: derived: P = 2 T sin(angle), and T = T0 + [L (sec(angle) - 1) + w^2 L^3/24 (1/T^2 - 1/T0^2)]/(L/EA + ends). Newton's method from
    the root of the same with small angles, which is under it; what is left to find bends down, so that no step passes it.
    Valid for: sag up to a tenth of the span.
    Example: 50 lb on a 20 ft bay at 50 lb, no weight, EA 50,000 lb: 268.6 lb; with ends that give 1/2,500 ft/lb: 215.4 lb.
    """
    sizes = 0 < span_ft < inf and 0 < tension_lbf < inf and 0 < ea_lbf < inf
    if not (sizes and 0 <= load_lbf < inf and 0 <= weight_plf < inf and 0 <= ends_give_ft_per_lbf < inf):  # a walk asks hundreds of times
        require_positive(span_ft=span_ft, tension_lbf=tension_lbf, ea_lbf=ea_lbf)
        loads = {"load_lbf": load_lbf, "weight_plf": weight_plf, "ends_give_ft_per_lbf": ends_give_ft_per_lbf}
        require_within(0, inf, "a push, a weight and what gives", **loads)
    stiff, half = 1 / (span_ft / ea_lbf + ends_give_ft_per_lbf), load_lbf / 2
    slack = stiff * weight_plf**2 * span_ft**3 / 24
    straight = tension_lbf - slack / tension_lbf**2

    def spare_lbf(pull: float) -> tuple[float, float]:
        cosine = sqrt(1 - (half / pull) ** 2)
        value = pull - straight - stiff * span_ft * (1 / cosine - 1) - slack / pull**2
        return value, 1 + (stiff * span_ft * half**2 / cosine**3 + 2 * slack) / pull**3

    least = half * sqrt(2)
    if load_lbf and spare_lbf(least)[0] > 0:
        raise OutOfRange("load_lbf", load_lbf, "less", "a harder push bends the cable over 45 degrees; expect it to break or slip")
    pull = max(least, state_lbf(straight, stiff * span_ft * half**2 / 2 + slack))
    while True:
        value, slope = spare_lbf(pull)
        pull -= value / slope
        if abs(value) <= NO_STEP * pull * slope:
            return PushOut(span_ft / 2 * half / sqrt(pull**2 - half**2), pull)
