"""Wire and mesh figures: cuts, apron, rings, rolls."""

from collections.abc import Iterator

from engine.calc.lengths import format_ft_in, format_in
from engine.job.model.job import Job
from engine.walk import Walk
from tui.stages.cables import cut_table
from tui.stages.figure_tables import table
from tui.widgets.figures import Figures

PURPOSE = "Hang wire with its apron, hang mesh over it, ring the two together."


def figures(_job: Job, walk: Walk) -> Iterator[Figures]:
    fabric = walk.fabric
    yield table(
        "Cut for each loop",
        "<loop|wire|mesh|rings|ties",
        (
            (name, name, format_ft_in(cut.wire_cut_ft), format_ft_in(cut.mesh_cut_ft), f"{cut.rings}", f"{cut.corner_ties}")
            for name, cut in fabric.loops.items()
        ),
        f"Wire {format_in(fabric.wire_width_in)}, mesh {format_in(fabric.mesh_width_in)}, lap {format_in(fabric.lap_in)}."
        if fabric.loops
        else "",
    )
    yield table(
        "Apron along each bay",
        "<bay|least|at station|infill|<",
        (
            (
                name,
                name,
                format_in(bay.least_apron_in) if bay.hole_in or "soil" in bay.under else "cut to floor",
                format_ft_in(bay.least_at_ft),
                format_ft_in(bay.infill_ft) if bay.infill_ft else "",
                "hole" if bay.hole_in else "short" if bay.short else "",
            )
            for name, bay in fabric.bays.items()
        ),
    )
    yield table(
        "Infill pieces",
        "<piece|<where|from|long|wide|closes|<over|<cut as",
        (
            (
                piece.bay,
                piece.id if piece.count == 1 else f"{piece.id} x{piece.count}",
                piece.bay,
                format_ft_in(piece.start_ft),
                format_ft_in(piece.length_ft, 1),
                format_in(piece.width_in, 1),
                format_in(piece.open_in) if piece.open_in else "",
                piece.over,
                str(piece.strip),
            )
            for piece in fabric.infills
        ),
    )
    yield table(
        "Apron at corners",
        "<post|turn|apron|inside: lap by|outside: opens|<piece to ring in",
        (
            (
                corner.support,
                corner.support,
                f"{corner.turn_deg:.0f}°",
                format_in(corner.apron_in, 4),
                format_in(corner.lap_in, 4) if corner.side != "outside" else "",
                format_in(corner.open_in, 4) if corner.side != "inside" else "",
                f"{format_in(corner.piece_in[0], 1)} by {format_in(corner.piece_in[1], 1)}" if corner.side != "inside" else "",
            )
            for corner in fabric.corners
        ),
    )
    yield cut_table("Wire rolls", "roll", fabric.wire_rolls)
    yield cut_table("Mesh rolls", "roll", fabric.mesh_rolls)
