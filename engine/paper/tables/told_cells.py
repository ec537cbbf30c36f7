"""Cells that people read as words and other programs as figures: a length as a tape says it, and its number in the units in force.

Heads and figures are written here in feet and inches, as the engine has them, and become metres and centimetres in a job in metres.
"""

from collections.abc import Sequence
from typing import Self

from engine.calc.force_words import amount_shown
from engine.calc.length_words import place_figure, tape_parts, tape_words
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.units import in_force, metric, named_in_force

Figure = float | str | None
PLACES = 4
READ = ("read_ft", "read_in")
WANTED = ("at_least_ft", "at_most_ft", "at_least_in", "at_most_in")
"""Figures of a reading and of what passes, by the unit that its item is read in."""


class ToldCell(str):
    """Words of a cell that carry the figures other programs get beside them, in the order of their heads; None where one isn't known."""

    figures: tuple[Figure, ...]

    def __new__(cls, words: str, *figures: Figure) -> Self:
        told = super().__new__(cls, words)
        told.figures = figures
        return told


class PlaceCell(ToldCell):
    """How far east or north, to a hundredth as people read it; other programs get the figure itself in the same column."""


def told_place(length_ft: float | None) -> str:
    """How far east or north; nothing where it isn't known."""
    return "" if length_ft is None else PlaceCell(place_figure(length_ft), length_ft)


def told_ft(length_ft: float | None) -> str:
    """A length in feet; nothing where it isn't known."""
    return "" if length_ft is None else ToldCell(format_ft_in(length_ft), length_ft)


def told_in(length_in: float | None) -> str:
    """A length in inches; nothing where it isn't known."""
    return "" if length_in is None else ToldCell(format_in(length_in), length_in)


def told_tape(words: str) -> str:
    """A tape that a record has in words, with its length in feet and what it is taped from; bare where it is no tape."""
    return ToldCell(tape_words(words), *(tape_parts(words) or ()))


def told_reading(words: str, unit: str, *values: float | None) -> str:
    """One or two figures of a reading under the heads of its unit, those of the other unit left empty."""
    none = (None,) * len(values)
    return ToldCell(words, *(values + none if unit == "ft" else none + values))


def heads_of(heads: Sequence[str]) -> tuple[str, ...]:
    """Heads as they are written: `length_ft` is `length_m` in metres, `driven_in` is `driven_cm`, `rule_mph` is `rule_kmh`."""
    return tuple(f"{head.removesuffix('mph')}kmh" if metric() and head.endswith("_mph") else named_in_force(head) for head in heads)


def figures_of(cell: str, heads: Sequence[str]) -> tuple[str, ...]:
    """The figures of a cell under their heads, plain decimals; empty where the cell has none."""
    figures = cell.figures if isinstance(cell, ToldCell) else ()
    return tuple(_plain(figures[at] if at < len(figures) else None, head) for at, head in enumerate(heads))


def for_programs(cell: str) -> str:
    """A cell as it stands in its own column of a CSV: its words, or the figure of a place."""
    return figures_of(cell, ("east_ft",))[0] if isinstance(cell, PlaceCell) else cell


def first_figures(cell: str, heads: Sequence[str], units: Sequence[str]) -> tuple[Figure, ...]:
    """Of the figures of a cell the first in each of these units; None where it has none."""
    told = list(zip(heads, cell.figures, strict=False)) if isinstance(cell, ToldCell) else []
    return tuple(next((figure for head, figure in told if head.endswith(f"_{unit}")), None) for unit in units)


def _plain(figure: Figure, head: str) -> str:
    if isinstance(figure, float | int):
        unit = head.rpartition("_")[2]
        return f"{round(in_force(amount_shown(figure, unit), unit), PLACES) + 0.0:.{PLACES}f}".rstrip("0").rstrip(".")
    return figure or ""
