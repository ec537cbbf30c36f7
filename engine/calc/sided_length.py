"""A length with the side that it goes to in words, as offers and the log say it: `1' 0" to the left`, `4 back`."""

from collections.abc import Mapping

from engine.calc.lengths import LengthError, parse_length_ft

Sides = Mapping[str, str]
"""By a word behind a length its sign."""
NO_SIDES: Sides = {}
ALONG: Sides = {"forward": "", "on": "", "back": "-"}
ACROSS: Sides = {"right": "", "left": "-"}
_BEHIND = (("along", "the", "line"), ("of", "it"))
_BEFORE = ("to", "the")
_MORE = ("1", '"', '/8"', '8"')
"""What makes a length of a minus, a number without its mark, and a fraction that is but begun."""
_UNITS = ("in", "ft", "cm", "mm")


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


def begun(text: str, sides: Sides) -> bool:
    """Whether what can't be read as a length yet is one that is but begun: some letters more make it one. Nothing at all is none.

    text: what was written so far. sides: the words that may stand behind a length.
    Source: common practice, no source.
    Valid for: any text.

    >>> begun("6 in to", ACROSS), begun("6 x", ACROSS)
    (True, False)
    """
    behind = ("", *(" ".join(("", *words)) for words in _BEHIND))
    ways = (*_UNITS, *(f"{to}{side}{end}" for side in sides for to in ("", " ".join((*_BEFORE, ""))) for end in behind))
    whole = [f"{text}{end}" for end in _MORE]
    whole += [f"{text[:-n]}{way}" for way in ways for n in range(1, len(way)) if text.lower().endswith(way[:n])]
    return bool(text) and not _is_length(text, sides) and any(_is_length(one, sides) for one in whole)


def _is_length(text: str, sides: Sides) -> bool:
    try:
        parse_length_ft(signed(text, sides))
    except LengthError:
        return False
    return True
