"""A length typed in trade notation: what was understood, and whether it passes. Pure."""

from engine.calc.frozen import dataclass
from engine.calc.lengths import LengthError, format_ft_in, format_in, parse_length_ft, understood
from engine.calc.typed_length import as_typed
from engine.checklist import ReadingUnit, WantedReading
from tui.base.theme import SIGNS

IN_PER_FT = 12


@dataclass(frozen=True)
class Judged:
    """What was typed, judged: its length in the unit asked for (None when it can't be read), whether it passes, and the words."""

    value: float | None
    ok: bool
    understood: str
    verdict: str


def judge(text: str, asks: WantedReading) -> Judged:
    """Read `text`, a bare number in the unit asked for, and say whether it is within the range asked for."""
    if not text.strip():
        return Judged(None, False, "", "")
    try:
        length_ft = parse_length_ft(text, asks.unit)
    except LengthError as error:
        return Judged(None, False, "", f"{SIGNS['fix']} {error}")
    value, shown = as_typed(length_ft * (IN_PER_FT if asks.unit == "in" else 1), length_ft), understood(length_ft, asks.unit)
    if not asks.passes(value):
        return Judged(value, False, shown, f"{SIGNS['stop']} Out of range: {_off_by(value, asks)}.")
    asked = asks.low is not None or asks.high is not None
    return Judged(value, True, shown, f"{SIGNS['done']} {'Passes' if asked else 'Read'}.")


def wanted_words(asks: WantedReading) -> str:
    """What is wanted, in words: `Wanted 24", 20" to 26".`; past its limit with that limit; nothing when any length will do."""
    if asks.wanted is not None and asks.high is not None and asks.low == asks.high < asks.wanted:
        return f"Wanted {asks.words(asks.wanted)}, over the limit of {asks.words(asks.high)}."
    parts = [] if asks.wanted is None else [asks.words(asks.wanted)]
    if asks.low is not None or asks.high is not None:
        parts.append(asks.range_words)
    return f"Wanted {', '.join(parts)}." if parts else ""


def _to_16ths(value: float, unit: ReadingUnit) -> str:
    return format_in(value, 16) if unit == "in" else format_ft_in(value, 16)


def _off_by(value: float, asks: WantedReading) -> str:
    """How far a value is under or over the range: `2 1/4" under 20"`."""
    if asks.low is not None and value < asks.low:
        limit, word = asks.low, "under"
    else:
        limit, word = asks.high or 0.0, "over"
    return f"{_to_16ths(abs(value - limit), asks.unit)} {word} {asks.words(limit)}"
