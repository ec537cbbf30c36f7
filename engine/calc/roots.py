"""Where a function of one number crosses zero, found inside a bracket."""

from collections.abc import Callable
from dataclasses import dataclass
from math import ulp

from engine.calc.limits import OutOfRange

FITTED_ROUNDS = 40
"""After so many rounds the bracket is only halved, so that it closes whatever the function does."""


@dataclass(frozen=True)
class Root:
    """A crossing of zero and the number of rounds it took."""

    value: float
    iterations: int


def rising_root(function: Callable[[float], float], low: float, high: float) -> Root:
    """The place between `low` and `high` where `function` rises through zero.

    The bracket is narrowed until no number is left between its ends, so the answer is as exact as the function itself: each round by the
    inverse parabola through the last three places where that is safe, else by halving.
    function: below or at zero at `low`, at or above zero at `high`, one crossing between them.
    low, high: ends of the bracket, same unit as the answer, low < high, both finite.
    Returns: Root, its value in the unit of the bracket.
    Raises: OutOfRange when the ends don't bracket a rising crossing.
    Source: T. R. Chandrupatla, Advances in Engineering Software 28 (1997) 145-149, from memory.
    Valid for: any function that can be evaluated over the whole bracket.
    """
    one, other = (high, function(high)), (low, function(low))
    if not other[1] <= 0 <= one[1]:
        raise OutOfRange("bracket", high, f"the end of a bracket from {low:g} that holds a rising crossing", "no root there")
    if other[1] == 0:
        return Root(low, 0)
    share = 0.5
    iterations = 0
    while low < (middle := (low + high) / 2) < high:
        iterations += 1
        nudge = 2 * ulp(high)
        place = min(max(one[0] + share * (other[0] - one[0]), low + nudge), high - nudge)
        place = place if low < place < high else middle
        value = function(place)
        low, high = (place, high) if value < 0 else (low, place)
        crossed = (value < 0) != (one[1] < 0)
        before, other = (other, one) if crossed else (one, other)
        one = (place, value)
        share = _share(one, other, before) if iterations < FITTED_ROUNDS else 0.5
    return Root(high, iterations)


def _share(one: tuple[float, float], other: tuple[float, float], before: tuple[float, float]) -> float:
    """How far from `one` to `other` the next place lies: by the inverse parabola through all three where it is known to hold, else half."""
    (a, fa), (b, fb), (c, fc) = one, other, before
    if fc in (fa, fb):
        return 0.5
    along, up = (a - b) / (c - b), (fa - fb) / (fc - fb)
    if not (up * up < along and (1 - up) ** 2 < 1 - along):
        return 0.5
    return fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
