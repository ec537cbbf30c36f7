"""What values in order tell of the next one and of the middle one, whatever their distribution is."""

from collections.abc import Sequence
from math import floor
from typing import NamedTuple

from engine.calc.limits import OutOfRange


class RanksRound(NamedTuple):
    """Two ranks of values in rising order, 1 the least, and how often the middle of all values lies between those two."""

    low: int
    high: int
    sure: float


def quantile(rising: Sequence[float], share: float) -> float:
    """The value that a share of all values stays under, told by some of them: at rank share x (n + 1), in a straight line between two
    ranks, the least or the greatest value where that rank is past the ends.

    rising: values in rising order, one or more, any unit. share: 0 to 1.
    Returns: in the unit of the values.
    Raises: OutOfRange without values or outside that range.
    Source: R. J. Hyndman, Y. Fan, Sample quantiles in statistical packages, The American Statistician 50 (1996) 361-365, definition 6, from
    memory.
    Valid for: any values; between the ends a next value of the same kind stays under it in just that share of cases.
    Example: 1, 2, 3, 4 at 0.5: 2.5.
    """
    if not rising or not 0 <= share <= 1:
        raise OutOfRange("share", share, "0 to 1, of one value or more", "no quantile there")
    rank = min(max(share * (len(rising) + 1), 1.0), float(len(rising)))
    below = floor(rank)
    above = min(below + 1, len(rising))
    return rising[below - 1] + (rank - below) * (rising[above - 1] - rising[below - 1])


def next_between(count: int, share: float) -> float:
    """How often the next value lies between the quantiles at `share` and at 1 - `share` of the values before it.

    count: how many values there were, 1 or more. share: over 0, under 0.5.
    Returns: 0 to 1.
    Raises: OutOfRange outside these ranges.
    Source: derived: each of the count + 1 gaps between values in order is as likely for the next; H. A. David, H. N. Nagaraja, Order
    Statistics, 3rd ed. (2003), section 7.3, from memory.
    Valid for: values of one distribution without steps, none bound to another; exact where a rank is whole or past the ends, near between.
    Example: 9 values at 0.1: 0.8, the least to the greatest.
    """
    if count < 1 or not 0 < share < 0.5:
        raise OutOfRange("share", share, "over 0 and under 0.5, of one value or more", "no interval there")
    rank = max(share * (count + 1), 1.0)
    return max(0.0, 1 - 2 * rank / (count + 1))


def ranks_round_median(count: int, sure: float = 0.95) -> RanksRound | None:
    """The two ranks, equally far from both ends, nearest to each other of those that hold the middle of all values between them so often.

    count: how many values there are, 0 or more. sure: how often at least, 0 to under 1.
    Returns: the ranks and how often they do hold it; None where not even the least and the greatest value hold it so often.
    Raises: OutOfRange outside these ranges.
    Source: NIST/SEMATECH e-Handbook of Statistical Methods, the binomial distribution with p = 1/2 counts the values below the median; the
    interval by signs as in W. J. Conover, Practical Nonparametric Statistics, 3rd ed. (1999), section 3.2, from memory.
    Valid for: values of one distribution, none bound to another.
    Example: 10 values: ranks 2 and 9, 0.979.
    """
    if count < 0 or not 0 <= sure < 1:
        raise OutOfRange("sure", sure, "0 to under 1, of no value or more", "no interval there")
    found, ways, outside, all_ways = None, 1, 0, 2**count
    for low in range(1, count // 2 + 1):
        outside += ways
        held = 1 - 2 * outside / all_ways
        if held < sure:
            break
        found = RanksRound(low, count + 1 - low, held)
        ways = ways * (count + 1 - low) // low
    return found
