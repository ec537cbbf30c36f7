"""What cut plans leave of rolls, spools and lengths as a CSV text: a row a piece."""

from collections.abc import Iterable

from engine.paper.tables.csv_text import csv_text
from engine.paper.tables.told_cells import figures_of, heads_of, told_ft
from engine.stages.takeoff import TakeoffRow

OFFCUTS = "offcuts"
_LENGTH = ("length_ft",)


def offcuts_csv(head: str, called: str, rows: Iterable[TakeoffRow]) -> str:
    """Every piece with its stock row and its number among those of that row, longest first; before them what the list is called that they
    belong to, under its head."""
    pieces = [(row, number, told_ft(length_ft)) for row in rows for number, length_ft in enumerate(row.offcuts, 1)]
    return csv_text(
        (head, "stock", "what", "number", *heads_of(_LENGTH), "length"),
        [(called, row.stock, row.name, f"{number}", *figures_of(told, _LENGTH), told) for row, number, told in pieces],
    )
