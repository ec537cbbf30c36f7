"""Cable loops: a row a loop."""

from collections.abc import Iterator

from engine.calc.lengths import format_ft_in
from engine.sheets.sheet import Asked, Cell, Column, Row, Sheet, SheetPart, figures, filled, left_over, sheet, worst_by_subject
from engine.stages.cables.stage import Loop
from engine.walk import Walk

COLUMNS = (
    Column("loop"), Column("from", 4), Column("to", 4), Column("cut to", 1, right=True), Column("cut", right=True), Column("closed"),
    Column("sag in", 3), Column("sag wanted", 2), Column("sag", right=True), Column("tail"),
)  # fmt: skip


def cables_sheet(walk: Walk) -> Sheet:
    """From which support to which, what to cut and what was cut, closed, sag wanted and read, tail ringed back."""
    asked, worst = Asked(walk.checklists["cables"]), worst_by_subject(walk.stage_findings["cables"])
    rows = tuple(Row(name, tuple(_cells(walk, asked, loop)), worst.get(name)) for name, loop in walk.cables.loops.items())
    return sheet("cables", (filled(SheetPart(COLUMNS, rows)), left_over(asked, "cables", "besides", worst)))


def _cells(walk: Walk, asked: Asked, loop: Loop) -> Iterator[Cell]:
    name, sag = loop.id, asked.cell("cables", loop.id, "sag")
    reading = sag.line.item.reading if sag.line else None
    deepest = max(loop.bays, key=lambda bay: walk.cables.bays[bay].sag_in)
    yield from figures(name, loop.supports[0], loop.supports[-1], format_ft_in(loop.cut_ft))
    yield asked.cell("cables", name, "cut_length")
    yield asked.cell("cables", name, "closed")
    yield from figures(deepest, reading.range_words if reading else "")
    yield sag
    yield asked.cell("cables", name, "tail")
