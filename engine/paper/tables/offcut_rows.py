"""What cut plans leave of rolls, spools and lengths as a CSV text: a row a piece."""

from collections.abc import Iterable, Sequence

from engine.paper.tables.csv_text import csv_text
from engine.paper.tables.told_cells import figures_of, heads_of, told_ft
from engine.stages.takeoff import TakeoffRow

OFFCUTS = "offcuts"
_LENGTH = ("length_ft",)


def offcuts_csv(heads: Sequence[str], rows: Iterable[tuple[tuple[str, ...], TakeoffRow]], notes: Iterable[Sequence[str]] = ()) -> str:
    """Every piece with its stock row and its number among those of that row, longest first; before them what says, under these heads, whose
    the row is. Notes on all of them stand first, each behind what stands under these heads."""
    pieces = [(whose, row, number, told_ft(length_ft)) for whose, row in rows for number, length_ft in enumerate(row.offcuts, 1)]
    return csv_text(
        (*heads, "stock", "what", "number", *heads_of(_LENGTH), "length"),
        [
            *((*whose, "", note, "", *("" for _ in _LENGTH), "") for *whose, note in notes),
            *((*whose, row.stock, row.name, f"{number}", *figures_of(told, _LENGTH), told) for whose, row, number, told in pieces),
        ],
    )
