"""A length with the side that it goes to in words, as offers and the log say it: `1' 0" to the left`, `4 back`."""

from collections.abc import Mapping

from engine.calc.lengths import LengthError

Sides = Mapping[str, str]
"""By a word behind a length its sign."""
NO_SIDES: Sides = {}
ALONG: Sides = {"forward": "", "on": "", "back": "-"}
ACROSS: Sides = {"right": "", "left": "-"}
_BEHIND = (("along", "the", "line"), ("of", "it"))
_BEFORE = ("to", "the")


def signed(text: str, sides: Sides) -> str:
    """A length as it is read, with a sign for the side that stands behind it in words; as it is where none does.

    text: what was written. sides: the words that may stand there.
    Returns text for `parse_length_ft`.
    Raises LengthError where it says both a word and a minus, or a word alone.
    Source: common practice, no source.
    Valid for: any text.

    >>> signed("6 in to the left", ACROSS)
    '-6 in'
    """
    words = text.split()
    low = [word.lower() for word in words]
    end = len(words) - next((len(behind) for behind in _BEHIND if tuple(low[-len(behind) :]) == behind), 0)
    if end < 1 or low[end - 1] not in sides:
        return text
    side = low[end - 1]
    end -= 1
    end -= len(_BEFORE) if tuple(low[max(0, end - 2) : end]) == _BEFORE else 0
    length = " ".join(words[:end])
    if not length:
        raise LengthError(f"How far {side}? Write a length before it.")
    if length[0] in "-\u2212\u2013":
        raise LengthError(f"A minus and {side} together may be read two ways: write one of them.")
    return f"{sides[side]}{length}"
