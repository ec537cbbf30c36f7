"""Layout: a row a support with the bay to the next; then lines and gates."""

from collections import defaultdict
from collections.abc import Iterator, Mapping

from engine.calc.lengths import format_ft_in
from engine.findings import Finding
from engine.sheets.sheet import BLANK, Asked, Cell, Column, Row, Sheet, SheetPart, figures, filled, left_over, sheet, worst_by_subject
from engine.stages.layout.set_out import aside_words
from engine.stages.layout.stage import Bay, TapeTie
from engine.walk import Walk

COLUMNS = (
    Column("post"), Column("kind", 7), Column("station", 4, right=True), Column("off string", 5), Column("tape", 1), Column("tape", 1),
    Column("check tape", 6), Column("flag"), Column("bay to", 3), Column("wanted", 2, right=True), Column("taped", right=True),
)  # fmt: skip
LINE_COLUMNS = (Column("line"), Column("strings", 1, long=True), Column("string up"))
GATE_COLUMNS = (Column("gate"), Column("between", 2), Column("opening", 1, right=True), Column("clear"))


def layout_sheet(walk: Walk) -> Sheet:
    """Where every support stands and by which tapes, its flag, and the bay from it to the next."""
    asked, worst = Asked(walk.checklists["layout"]), worst_by_subject(walk.stage_findings["layout"])
    parts = (
        SheetPart(COLUMNS, tuple(_rows(walk, asked, worst))),
        SheetPart(LINE_COLUMNS, tuple(_lines(walk, asked, worst))),
        SheetPart(GATE_COLUMNS, tuple(_gates(walk, asked, worst))),
    )
    return sheet("layout", (*map(filled, parts), left_over(asked, "layout", "besides", worst)))


def _rows(walk: Walk, asked: Asked, worst: Mapping[str, Finding]) -> Iterator[Row]:
    """A support that begins several bays has a row more for each, those of its own line first."""
    layout = walk.layout
    off_string = {name: off_ft for string in layout.strings for name, _, off_ft in string.along}
    begins: dict[str, list[Bay]] = defaultdict(list)
    for bay in layout.bays.values():
        begins[bay.from_id].append(bay)
    for name, support in layout.supports.items():
        bays = sorted(begins[name], key=lambda bay: bay.line != support.line)
        own = bays[0] if bays else None
        off_ft = off_string.get(name, support.offset_ft)
        where = (name, support.at or support.kind, format_ft_in(support.station_ft), aside_words(off_ft), *_tapes(layout.ties.get(name)))
        cells = (*figures(*where), asked.cell("layout", name, "flag"), *_bay(asked, own))
        yield Row(name, cells, worst.get(name) or (worst.get(own.id) if own else None))
        for bay in bays[1:]:
            yield Row(bay.id, (*figures(name, *[""] * 6), BLANK, *_bay(asked, bay)), worst.get(bay.id))


def _tapes(tie: TapeTie | None) -> tuple[str, str, str]:
    """Two tapes and a third to check by, each with the point it starts from."""
    if tie is None:
        return "", "", ""
    check = "" if tie.check is None else f"{format_ft_in(tie.check[1])} {tie.check[0]}"
    return f"{format_ft_in(tie.tape_a_ft)} {tie.from_a}", f"{format_ft_in(tie.tape_b_ft)} {tie.from_b}", check


def _bay(asked: Asked, bay: Bay | None) -> Iterator[Cell]:
    if bay is None:
        yield from (BLANK, BLANK, BLANK)
        return
    yield from figures(bay.to_id, format_ft_in(bay.slope_ft))
    yield asked.cell("layout", bay.id, "taped")


def _lines(walk: Walk, asked: Asked, worst: Mapping[str, Finding]) -> Iterator[Row]:
    for name in walk.layout.lines:
        cell = asked.cell("layout", name, "string")
        if cell.line:
            strings = ", ".join(f"{string.from_id} to {string.to_id}" for string in walk.layout.strings if string.line == name)
            yield Row(name, (*figures(name, strings), cell), worst.get(name))


def _gates(walk: Walk, asked: Asked, worst: Mapping[str, Finding]) -> Iterator[Row]:
    for bay in walk.layout.bays.values():
        if bay.gate is not None:
            cells = (
                *figures(bay.gate, f"{bay.from_id} and {bay.to_id}", format_ft_in(bay.plan_ft)),
                asked.cell("layout", bay.gate, "clear"),
            )
            yield Row(bay.gate, cells, worst.get(bay.gate))
