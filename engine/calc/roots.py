"""Where a function of one number crosses zero, found inside a bracket."""

from collections.abc import Callable
from dataclasses import dataclass

from engine.calc.limits import OutOfRange


@dataclass(frozen=True)
class Root:
    """A crossing of zero and the number of halvings it took."""

    value: float
    iterations: int


def rising_root(function: Callable[[float], float], low: float, high: float) -> Root:
    """The place between `low` and `high` where `function` rises through zero.

    The bracket is halved until no number is left between its ends, so the answer is as exact as the function itself.
    function: below or at zero at `low`, at or above zero at `high`, one crossing between them.
    low, high: ends of the bracket, same unit as the answer, low < high, both finite.
    Returns: Root, its value in the unit of the bracket.
    Raises: OutOfRange when the ends don't bracket a rising crossing.
    Source: derived: bisection.
    Valid for: any function that can be evaluated over the whole bracket.
    """
    start = function(low)
    if not start <= 0 <= function(high):
        raise OutOfRange("bracket", high, f"the end of a bracket from {low:g} that holds a rising crossing", "no root there")
    if start == 0:
        return Root(low, 0)
    iterations = 0
    middle = (low + high) / 2
    while low < middle < high:
        if function(middle) < 0:
            low = middle
        else:
            high = middle
        middle = (low + high) / 2
        iterations += 1
    return Root(high, iterations)
