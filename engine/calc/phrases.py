"""Counts and rows of names as they are spoken: the one place that knows plurals, "and" and "3 more"."""

from collections.abc import Sequence

from engine.calc.length_words import round_figure, round_length_words
from engine.calc.units import bare_unit


def plural(count: int, one: str, many: str = "") -> str:
    """The word that goes with a count: a noun (`post`, `posts`), a verb (`is`, `are`) or any other pair.

    count: how many there are, 0 or more. one: the word for a single one. many: the word for none or several; `one` with an s where empty.
    Returns one of the two words.
    Source: common practice, no source (English grammar).
    Valid for: every count.
    """
    return one if count == 1 else many or f"{one}s"


def counted(count: int, one: str, many: str = "") -> str:
    """A count with its noun: `1 post`, `3 posts`, `2 boxes`.

    count, one, many: as in `plural`.
    Returns the number, a space and the word.
    Source: common practice, no source (English grammar).
    Valid for: every count.
    """
    return f"{count} {plural(count, one, many)}"


def measured(amount: float, unit: str) -> str:
    """An amount with its unit, to the whole one: `1 latch`, `2 latches`, `254 ft`.

    amount: how much there is, 0 or more. unit: as it is written for several; one that is an abbreviation stays as it is, and feet are
    metres where those are in force.
    Returns the number with commas, a space and the unit.
    Source: common practice, no source (English grammar).
    Valid for: every amount; units that take s, or es after ch.
    """
    if unit == "ft":
        return round_length_words(amount)
    said = f"{amount:,.0f}"
    one = unit.removesuffix("es") if unit.endswith("ches") else unit.removesuffix("s")
    return f"{said} {one if said == '1' else unit}"


def figure(amount: float, unit: str) -> str:
    """The figure of `measured`, without its unit, which a head names (`unit_word`) or the sentence has said.

    amount, unit: as in `measured`.
    Returns the number with commas.
    Source: common practice, no source.
    Valid for: every amount.
    """
    return round_figure(amount) if unit == "ft" else f"{amount:,.0f}"


def unit_word(unit: str) -> str:
    """What amounts of a unit are written in: feet in metres where those are in force.

    unit: as in `measured`. Returns the unit.
    Source: common practice, no source.
    Valid for: every unit.
    """
    return bare_unit("ft") if unit == "ft" else unit


def listed(names: Sequence[str]) -> str:
    """Names in a row as they are spoken: `P4, P5 and P6`.

    names: one or more.
    Returns them with commas, and "and" before the last.
    Raises IndexError without any.
    Source: common practice, no source (English grammar).
    Valid for: any number of names.
    """
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else names[0]


def first_few(names: Sequence[str], most: int = 3) -> str:
    """The first few of many names and how many more there are: `P4, P5, P6 and 9 more`.

    All are said where only one would be left over: its name is as short as "1 more".

    names: one or more. most: how many are said, 1 or more.
    Returns the row in words.
    Raises IndexError without any.
    Source: common practice, no source (English grammar).
    Valid for: any number of names.
    """
    return listed(names if len(names) <= most + 1 else [*names[:most], f"{len(names) - most} more"])


def others(count: int, what: str) -> str:
    """What is said behind one thing that stands for several: ` (1 more is short too)`, ` (4 more are short too)`.

    count: how many more there are, 0 or more. what: what they are as well.
    Returns the bracket with a space before it; empty where there are none.
    Source: common practice, no source (English grammar).
    Valid for: every count.
    """
    return f" ({count} more {plural(count, 'is', 'are')} {what})" if count else ""


def ended(says: str) -> str:
    """A sentence with its stop: what people wrote may have none.

    says: any words.
    Returns them, with a full stop where they end in no mark of their own.
    Source: common practice, no source (English grammar).
    Valid for: any words.
    """
    return says if says.endswith((".", "!", "?")) else f"{says}."
