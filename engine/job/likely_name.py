"""What a misspelt name most likely meant."""

from collections import Counter
from collections.abc import Iterable
from difflib import SequenceMatcher, get_close_matches


def nearest(key: str, allowed: Iterable[str]) -> str | None:
    """The allowed key that a misspelt one most likely meant; capitals don't count."""
    folded = {name.casefold(): name for name in sorted(allowed)}
    written = key[:80].casefold()
    close = get_close_matches(written, folded, n=3)
    return folded[max(close, key=lambda name: _likeness(name, written))] if close else None


def _likeness(name: str, written: str) -> tuple[float, int]:
    return SequenceMatcher(None, name, written).ratio(), (Counter(name) & Counter(written)).total()
