"""Wire and mesh: a row a loop; below it infill pieces, and corners."""

from collections.abc import Iterator, Mapping

from engine.calc.lengths import format_ft_in, format_in
from engine.findings import Finding
from engine.sheets.sheet import Asked, Cell, Column, Row, Sheet, SheetPart, figures, filled, left_over, sheet, worst_by_subject
from engine.stages.fabric.infills import Infill
from engine.stages.fabric.stage import LoopFabric
from engine.walk import Walk

COLUMNS = (
    Column("loop"), Column("wire to cut", 1, right=True), Column("hung"), Column("apron"), Column("slits"),
    Column("mesh to cut", 2, right=True),
    Column("mesh"), Column("seam"), Column("ties"), Column("rings", 4, right=True), Column("zip ties", 3, right=True),
)  # fmt: skip
PIECE_COLUMNS = (
    Column("infill"), Column("piece", 3), Column("from", 4, right=True), Column("long", 1, right=True), Column("wide", 1, right=True),
    Column("closes", 5, right=True), Column("over", 6), Column("cut from", 2), Column("ringed in"),
)  # fmt: skip
CORNER_COLUMNS = (
    Column("corner"), Column("turn", 3, right=True), Column("apron", 2, right=True), Column("inside, lap", 1, right=True),
    Column("outside, opens", 1, right=True), Column("piece to ring in"),
)  # fmt: skip


def fabric_sheet(walk: Walk) -> Sheet:
    """Wire and mesh to cut for every loop, hung, apron, slits, seam and ties; what is ringed in below it."""
    asked, worst = Asked(walk.checklists["fabric"]), worst_by_subject(walk.stage_findings["fabric"])
    loops = tuple(Row(name, tuple(_cells(asked, cut)), worst.get(name)) for name, cut in walk.fabric.loops.items())
    pieces = tuple(_pieces(walk, asked, worst))
    parts = (SheetPart(COLUMNS, loops), SheetPart(PIECE_COLUMNS, pieces), SheetPart(CORNER_COLUMNS, tuple(_corners(walk, worst))))
    return sheet("fabric", (*map(filled, parts), left_over(asked, "fabric", "besides", worst)))


def _cells(asked: Asked, cut: LoopFabric) -> Iterator[Cell]:
    name = cut.loop
    yield from figures(name, format_ft_in(cut.wire_cut_ft))
    for what in ("wire_hung", "apron_turned", "slits_lapped"):
        yield asked.cell("fabric", name, what)
    yield from figures(format_ft_in(cut.mesh_cut_ft))
    for what in ("mesh_hung", "seam_ringed", "corners_tied"):
        yield asked.cell("fabric", name, what)
    yield from figures(f"{cut.rings}", f"{cut.corner_ties or ''}")


def _pieces(walk: Walk, asked: Asked, worst: Mapping[str, Finding]) -> Iterator[Row]:
    """A row a piece, its bay ticked on the first; a bay that takes none any more has a row for its tick."""
    of: dict[tuple[str, str], list[Infill]] = {}
    for piece in walk.fabric.infills:
        of.setdefault((piece.bay, piece.ticked_as), []).append(piece)
    for line in asked.left("fabric"):
        where = line.item.subject
        if line.item.key.what in ("infill", "under_closed"):
            cells = [asked.at(line.item.key)]
            for piece in of.get((where, line.item.key.what), ()):
                yield Row(where, (*figures(where, *_sizes(piece)), cells.pop() if cells else Cell()), worst.get(where))
            if cells:
                yield Row(where, (*figures(where, *[""] * 7), *cells), worst.get(where))


def _sizes(piece: Infill) -> tuple[str, ...]:
    return (
        piece.id if piece.count == 1 else f"{piece.id} x{piece.count}", format_ft_in(piece.start_ft), format_ft_in(piece.length_ft, 1),
        format_in(piece.width_in, 1), format_in(piece.open_in) if piece.open_in else "", piece.over, str(piece.strip),
    )  # fmt: skip


def _corners(walk: Walk, worst: Mapping[str, Finding]) -> Iterator[Row]:
    for corner in walk.fabric.corners:
        lap = format_in(corner.lap_in, 4) if corner.side != "outside" else ""
        opens, piece = "", ""
        if corner.side != "inside":
            opens, piece = format_in(corner.open_in, 4), f"{format_in(corner.piece_in[0], 1)} by {format_in(corner.piece_in[1], 1)}"
        words = (corner.support, f"{corner.turn_deg:.0f}°", format_in(corner.apron_in, 4), lap, opens, piece)
        yield Row(corner.support, tuple(figures(*words)), worst.get(corner.support))
