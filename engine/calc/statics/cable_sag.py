"""Sag, length and tension of a cable in one span.

Every formula takes any one consistent set of units; the names say feet and pounds because the crew does. A rise is the level of the
far support over the near one: positive uphill, negative downhill. "Horizontal tension" is the part of the pull that is the same all
along the span.
"""

from collections.abc import Sequence
from math import fsum, hypot, inf, log1p, sqrt

from engine.calc.limits import OutOfRange, require_positive, require_within


def parabola_sag_ft(weight_plf: float, span_ft: float, tension_lbf: float) -> float:
    """Sag of a cable below the middle of its chord, wL^2/8H.

    The load is spread evenly over the horizontal, as hung fabric nearly is; the supports may differ in level.
    weight_plf: load, lb per horizontal ft, above 0.  span_ft: horizontal, ft, above 0.
    tension_lbf: horizontal tension, lb, above 0.
    Returns: sag, ft.
    Raises: OutOfRange for a value that isn't above 0.
    Source: derived: moments about the middle of the span; e.g. A. K. Tayal, Engineering Mechanics, examples 10.3 to 10.5.
    Valid for: a load even per horizontal foot, exactly; a cable's own weight within 1 % while the sag stays under span/12.
    Example: 0.5 lb/ft over 20 ft at 150 lb sags 0.1667 ft, 2 in.
    """
    if not (0 < weight_plf < inf and 0 < span_ft < inf and 0 < tension_lbf < inf):  # a walk asks hundreds of times
        require_positive(weight_plf=weight_plf, span_ft=span_ft, tension_lbf=tension_lbf)
    return weight_plf * span_ft**2 / (8 * tension_lbf)


def tension_from_sag_lbf(weight_plf: float, span_ft: float, sag_ft: float) -> float:
    """Horizontal tension that a measured sag tells, wL^2/8s.

    The load is spread evenly over the horizontal; the sag is taken below the middle of the chord.
    weight_plf: load, lb per horizontal ft, above 0.  span_ft: horizontal, ft, above 0.  sag_ft: ft, above 0.
    Returns: horizontal tension, lb.
    Raises: OutOfRange for a value that isn't above 0.
    Source: derived: `parabola_sag_ft` solved for the tension.
    Valid for: the same as `parabola_sag_ft`.
    """
    require_positive(weight_plf=weight_plf, span_ft=span_ft, sag_ft=sag_ft)
    return weight_plf * span_ft**2 / (8 * sag_ft)


def parabola_length_ft(span_ft: float, sag_ft: float, rise_ft: float = 0.0) -> float:
    """Length of a parabola between its supports, exact.

    span_ft: horizontal, ft, above 0.  sag_ft: below the middle of the chord, ft, 0 or more.
    rise_ft: far support over the near one, ft, either sign.
    Returns: length, ft.
    Raises: OutOfRange for a span that isn't above 0 or a sag below 0.
    Source: derived: integral of sqrt(1 + y'^2), with the differences of its end terms taken out of the span's slope change so that
    no digits are lost in a taut cable.
    Valid for: a rise up to 100 times the span.
    """
    if not (0 < span_ft < inf and 0 <= sag_ft < inf and abs(rise_ft) <= 100 * span_ft):
        require_positive(span_ft=span_ft)
        require_within(0.0, inf, "a cable hangs below its chord", sag_ft=sag_ft)
        require_within(-100 * span_ft, 100 * span_ft, "steeper than any fence", rise_ft=rise_ft)
    turn = 8 * sag_ft / span_ft
    total = 2 * abs(rise_ft) / span_ft
    near, far = (total - turn) / 2, (total + turn) / 2
    near_root, far_root = hypot(1, near), hypot(1, far)
    lean = total / (near_root + far_root)
    scale = (1 + lean) * (near_root - near) if near < -1 else (1 + lean) / (near + near_root)  # the same, without losing all digits
    logarithm = log1p(turn * scale) / turn if turn > 1e-12 else scale
    return span_ft / 2 * (far_root + near * lean + logarithm)


def ruling_span_ft(spans_ft: Sequence[float]) -> float:
    """The one span whose tension changes as that of a run of spans does: sqrt(sum L^3 / sum L).

    The cable slides freely at the supports between, so that its tension is the same all along.
    spans_ft: shape (n,), horizontal, ft, each above 0, n at least 1.
    Returns: ft; between the shortest and the longest span.
    Raises: OutOfRange for a span that isn't above 0; ValueError without a span.
    Source: utility sag and tension practice (USDA RUS Bulletin 1724E-152, 2003, treats it; the equation read in a utility sag manual).
    Valid for: spans that don't differ much in slope.
    Example: 8, 10, 10 and 6.5 ft rule as 8.99 ft.
    """
    if not spans_ft:
        raise OutOfRange("spans", 0, "1 or more", "a run of cable has at least one span")
    for span in spans_ft:
        require_positive(span_ft=span)
    return sqrt(fsum(span**3 for span in spans_ft) / fsum(spans_ft))
