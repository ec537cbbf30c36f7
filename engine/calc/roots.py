"""Where a function of one number crosses zero: found inside a bracket, or down its slope."""

from collections.abc import Callable
from math import inf, ulp

from engine.calc.limits import OutOfRange

NO_STEP = 1e-9
"""Share of a place that a step along a tangent is, after which the next would be too short for a number to tell."""
FITTED_ROUNDS = 40
"""After so many rounds the bracket is only halved, so that it closes whatever the function does."""


def rising_root(function: Callable[[float], float], low: float, high: float) -> float:
    """The place between `low` and `high` where `function` rises through zero.

    The bracket is narrowed until no number is left between its ends, so the answer is as exact as the function itself: each round by the
    inverse parabola through the last three places where that is safe, else by halving.
    function: below or at zero at `low`, at or above zero at `high`, one crossing between them.
    low, high: ends of the bracket, same unit as the answer, low < high, both finite.
    Returns: in the unit of the bracket.
    Raises: OutOfRange when the ends don't bracket a rising crossing.
    Source: T. R. Chandrupatla, Advances in Engineering Software 28 (1997) 145-149, from memory.
    Valid for: any function that can be evaluated over the whole bracket.
    """
    a, b, fa, fb = high, low, function(high), function(low)
    if not fb <= 0 <= fa:
        raise OutOfRange("bracket", high, f"the end of a bracket from {low:g} that holds a rising crossing", "no root there")
    if fb == 0:
        return low
    share = 0.5  # of the way from the last place, a, to the bracket's other end, b
    rounds = 0
    while low < (middle := (low + high) / 2) < high:
        rounds += 1
        place, nudge = a + share * (b - a), 2 * ulp(high)
        place = low + nudge if place < low + nudge else high - nudge if place > high - nudge else place
        if not low < place < high:
            place = middle
        value = function(place)
        if (value < 0) == (fa < 0):
            c, fc = a, fa
        else:
            c, fc, b, fb = b, fb, a, fa
        a, fa = place, value
        low, high = (a, b) if a < b else (b, a)
        share = 0.5
        if fc != fa and fc != fb and rounds < FITTED_ROUNDS:
            along, up = (a - b) / (c - b), (fa - fb) / (fc - fb)
            if up * up < along and (1 - up) * (1 - up) < 1 - along:
                share = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
    return high


def root_along_slope(value_and_slope: Callable[[float], tuple[float, float]], start: float) -> float:
    """The place where a function of known slope crosses zero, walked to along its tangents until a step is a billionth of the way or
    grows no shorter.

    value_and_slope: the function and its slope, which is never 0, at one place.
    start: on the side from which the tangents lead there without passing it: where the function is above zero and bends up all the way,
    or below zero and bends down.
    Returns: in the unit of `start`, as exact as the function itself.
    Source: derived: Newton's method, whose steps from that side fall short of the crossing and double the places that are right.
    Valid for: a function that bends one way between `start` and the crossing.
    Example: x^2 - 2 from 2: 1.41421356.
    """
    place, last = start, inf
    while True:
        value, slope = value_and_slope(place)
        step = value / slope
        if not abs(step) < last:
            return place
        place, last = place - step, abs(step)
        if last <= NO_STEP * abs(place):
            return place


def near_root(value_and_slope: Callable[[float], tuple[float, float]], low: float, high: float, within: float) -> float:
    """The place between `low` and `high` where a rising function of known slope crosses zero, near enough.

    Each step goes along the tangent; one that would leave the bracket halves it instead.
    value_and_slope: the function, below zero at `low` and above it at `high`, and its slope, above 0 there.  low, high: ends of the
    bracket, unit of the answer, low < high.  within: a step no longer than this is the last one, above 0.
    Returns: in the unit of the bracket.
    Source: derived: Newton's method inside a bracket.
    Valid for: one crossing between the ends; the answer is nearer than `within` where the function is nearly straight.
    Example: x^2 - 2 from 1 to 300 within 0.01: 1.414.
    """
    place = high
    while True:
        value, slope = value_and_slope(place)
        low, high = (place, high) if value < 0 else (low, place)
        to = place - value / slope if slope > 0 else low
        to = to if low < to < high else (low + high) / 2
        if abs(to - place) <= within:
            return to
        place = to
