"""The validity of a number as code: one typed error that carries value, limit and why."""

from math import inf

HIGHEST_LEVEL_FT = 20_000.0
"""No yard lies higher over the level that a crew counts from, be that the sea, nor lower under it. The job file allows no more either."""
LONGEST_ROD_FT = 60.0
"""No levelling rod is longer."""
MOST_RISE_FT = 2 * HIGHEST_LEVEL_FT + LONGEST_ROD_FT
"""Two levels of one job can't differ by more."""


class OutOfRange(ValueError):
    """A number outside the range in which a formula holds."""

    def __init__(self, name: str, value: float, limit: str, why: str) -> None:
        """Keep the parts, so that a screen can word them its own way."""
        super().__init__(f"{name} is {value:g}; it must be {limit}: {why}")
        self.name = name
        self.value = value
        self.limit = limit
        self.why = why


def require_positive(**values: float) -> None:
    """Pass when every value is finite and above zero.

    values: any number by its name, the name ending in its unit.
    Returns: nothing.
    Raises: OutOfRange for the first that isn't.
    Source: derived: a size, weight or force of zero or less has no meaning in the formulas that ask for it.
    Valid for: any float, NaN and infinity included (both are refused).
    """
    for name, value in values.items():
        if not 0 < value < inf:
            raise OutOfRange(name, value, "above 0", "a size, weight or force has to be a positive number")


def require_within(low: float, high: float, why: str, **values: float) -> None:
    """Pass when every value is finite and from `low` to `high`, both included.

    low, high: limits in the unit of the values; `high` may be infinite.
    why: what the limit stands for, in words a crew reads.
    values: any number by its name, the name ending in its unit.
    Returns: nothing.
    Raises: OutOfRange for the first that isn't.
    Source: derived: comparison.
    Valid for: any float, NaN and infinity included (both are refused).
    """
    for name, value in values.items():
        if not (low <= value <= high and -inf < value < inf):
            limit = f"{low:g} or more" if high == inf else f"{low:g} to {high:g}"
            raise OutOfRange(name, value, limit, why)
