"""Wire and mesh figures: cuts, apron, rings, rolls."""

from collections.abc import Iterator

from engine.calc.lengths import format_ft_in, format_in
from engine.job.model.job import Job
from engine.walk import Walk
from tui.stages.cables import cut_table
from tui.stages.figure_tables import summed, table
from tui.widgets.figures import Figures

PURPOSE = "Hang wire with its apron, hang mesh over it, ring the two together."


def figures(_job: Job, walk: Walk) -> Iterator[Figures]:
    fabric = walk.fabric
    widths = f"Wire {format_in(fabric.wire_width_in)}, mesh {format_in(fabric.mesh_width_in)}, lap {format_in(fabric.lap_in)}."
    yield summed("Widths", widths if fabric.loops else "")
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
    yield cut_table("Wire rolls", "roll", fabric.wire_rolls)
    yield cut_table("Mesh rolls", "roll", fabric.mesh_rolls)
