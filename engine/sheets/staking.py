"""Staking: a row a bay."""

from collections.abc import Iterator

from engine.calc.lengths import format_ft_in
from engine.sheets.sheet import Asked, Cell, Column, Row, Sheet, SheetPart, figures, filled, left_over, sheet, worst_by_subject
from engine.stages.staking.bay_stakes import BayStakes
from engine.walk import Walk

COLUMNS = (
    Column("bay"), Column("stakes", 1, right=True), Column("flush"), Column("tight"), Column("dips"), Column("spots", 2, right=True),
    Column("fastened"), Column("stakes at", 3, long=True),
)  # fmt: skip


def staking_sheet(walk: Walk) -> Sheet:
    """Stakes wanted in every bay and where, driven flush, apron tight, dips filled; spots on hard floors, fastened."""
    asked, worst = Asked(walk.checklists["staking"]), worst_by_subject(walk.stage_findings["staking"])
    rows = tuple(Row(name, tuple(_cells(asked, bay)), worst.get(name)) for name, bay in walk.staking.bays.items())
    return sheet("staking", (filled(SheetPart(COLUMNS, rows)), left_over(asked, "staking", "besides", worst)))


def _cells(asked: Asked, bay: BayStakes) -> Iterator[Cell]:
    yield from figures(bay.bay, f"{len(bay.stations_ft)}")
    for what in ("flush", "tight", "dips_filled"):
        yield asked.cell("staking", bay.bay, what)
    yield from figures(f"{len(bay.fastened_ft) or ''}")
    yield asked.cell("staking", bay.bay, "fastened")
    yield from figures(", ".join(format_ft_in(at, 2) for at in bay.stations_ft))
