"""What opening a dog gets through."""

from collections.abc import Iterable

from engine.job.model.people import Dog

CRAWL_SHARE = 0.3
"""What a dog that crawls can't make flatter, as a share of its height at the shoulder: judgement, common practice, no source. The chest is
about half that height deep, but it lies down and its ribs give; the head, and the shoulders lying flat, don't. A plate on dog sizes tells
heights only."""


def least_gap_in(dogs: Iterable[Dog]) -> float | None:
    """The smallest gap that one of the dogs gets through: 0.3 of the height at the shoulder of the lowest.

    A dog that digs makes its own: see `gets_through`.
    Returns: in; None without dogs.
    Source: judgement, common practice, no source: see CRAWL_SHARE.
    Example: dogs of 22 and 13 in at the shoulder: 3.9 in.
    """
    return min((CRAWL_SHARE * dog.shoulder_in for dog in dogs), default=None)


def gets_through(opening_in: float, rule_in: float, dog_in: float | None, *, dug: bool) -> bool:
    """Whether a dog gets through an opening: any over the rule where nobody said which dog, or where one digs (`dug`); one as large as the
    smallest of them, `dog_in`, needs."""
    if dog_in is None or dug:
        return opening_in > rule_in or (dog_in is not None and opening_in >= dog_in)
    return opening_in >= dog_in
