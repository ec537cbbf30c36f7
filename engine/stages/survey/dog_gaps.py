"""What opening a dog gets through."""

from collections.abc import Iterable

from engine.job.model.people import Dog

CHEST_SHARE = 0.5
"""Depth of a dog's chest as a share of its height at the shoulder: judgement, common practice, no source."""


def least_gap_in(dogs: Iterable[Dog]) -> float | None:
    """The smallest gap that one of the dogs gets through: half the height at the shoulder of the lowest.

    A dog that flattens itself needs less; one that digs makes its own.
    Returns: in; None without dogs.
    Source: judgement, common practice, no source: a dog's chest is about half as deep as it is high.
    Example: dogs of 22 and 13 in at the shoulder: 6 1/2 in.
    """
    return min((CHEST_SHARE * dog.shoulder_in for dog in dogs), default=None)
