"""Cable loops: a row a loop."""

from collections.abc import Iterator

from engine.calc.force_words import weight_words
from engine.calc.lengths import format_ft_in
from engine.sheets.sheet import Asked, Cell, Column, Row, Sheet, SheetPart, figures, filled, left_over, sheet, worst_by_subject
from engine.stages.cables.cable_loop import Loop
from engine.stages.cables.depth_reading import weight_read_with
from engine.walk import Walk

COLUMNS = (
    Column("loop"), Column("from", 4), Column("to", 4), Column("cut to", 1, right=True), Column("cut", right=True), Column("closed"),
)  # fmt: skip
BY_SAG = (Column("sag in", 3), Column("sag wanted", 2), Column("sag", right=True), Column("tail"))
BY_WEIGHT = (Column("weight in", 3), Column("depth wanted", 2), Column("depth", right=True), Column("tail"))
"""By how the crew chose to read a pull; a loop that was read the other way says so beside its bay."""


def cables_sheet(walk: Walk) -> Sheet:
    """From which support to which, what to cut and what was cut, closed, sag or depth wanted and read, tail ringed back."""
    asked, worst = Asked(walk.checklists["cables"]), worst_by_subject(walk.stage_findings["cables"])
    loops = walk.cables.loops
    rows = tuple(Row(name, tuple(_cells(walk, asked, loop)), worst.get(name)) for name, loop in loops.items())
    heads = BY_SAG if walk.cables.read_with_lb is None else BY_WEIGHT
    return sheet("cables", (filled(SheetPart((*COLUMNS, *heads), rows)), left_over(asked, "cables", "besides", worst)))


def _cells(walk: Walk, asked: Asked, loop: Loop) -> Iterator[Cell]:
    name, sag = loop.id, asked.cell("cables", loop.id, "sag")
    reading = sag.line.item.reading if sag.line else None
    deepest = max(loop.bays, key=lambda bay: walk.cables.bays[bay].sag_in)
    yield from figures(name, loop.supports[0], loop.supports[-1], format_ft_in(loop.cut_ft))
    yield asked.cell("cables", name, "cut_length")
    yield asked.cell("cables", name, "closed")
    yield from figures(f"{deepest}{_read_with(walk, sag)}", reading.range_words if reading else "")
    yield sag
    yield asked.cell("cables", name, "tail")


def _read_with(walk: Walk, sag: Cell) -> str:
    """How a loop's pull is read, where that isn't what the crew chose."""
    weight_lb = weight_read_with(sag.line.item.of) if sag.line else walk.cables.read_with_lb
    if weight_lb == walk.cables.read_with_lb:
        return ""
    return ", by sag" if weight_lb is None else f", {weight_words(weight_lb)}"
