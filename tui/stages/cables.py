"""Cable loop figures: what to cut, sag, tension through the year, spools."""

from collections.abc import Iterator

from engine.calc.cutting import CutPlan
from engine.calc.lengths import format_ft_in, format_in
from engine.job.job import Job
from engine.walk import Walk
from tui.stages.tables import table
from tui.widgets.figures import Figures

PURPOSE = "String each cable in closed loops, pull it tight, lock it, ring the tail."


def figures(_job: Job, walk: Walk) -> Iterator[Figures]:
    """Tables of the cable loops."""
    cables = walk.cables
    yield table(
        "Loops",
        "<loop|<from|<to|run|cut|tension|cold|hot|safety",
        (
            (
                name,
                name,
                loop.supports[0],
                loop.supports[-1],
                format_ft_in(loop.run_ft),
                format_ft_in(loop.cut_ft),
                f"{loop.tension_lbf:.0f} lb",
                f"{loop.cold_lbf:.0f}",
                f"{loop.hot_lbf:.0f}",
                f"{loop.safety:.1f}",
            )
            for name, loop in cables.loops.items()
        ),
        "Stand out of line with a cable being pulled. Forces are guidance.",
    )
    yield table(
        "Bays",
        "<bay|<loop|span|sag|lean pushes out|to",
        (
            (
                name,
                name,
                bay.loop,
                format_ft_in(bay.span_ft),
                format_in(bay.sag_in, 16),
                format_in(bay.push_out_in, 2),
                f"{bay.push_tension_lbf:.0f} lb",
            )
            for name, bay in cables.bays.items()
        ),
    )
    yield cut_table("Spools", "spool", cables.spools)


def cut_table(title: str, what: str, plan: CutPlan) -> Figures:
    """A cut plan: which pieces from which roll, what is left."""
    proven = "No plan needs fewer." if plan.proven else f"At least {plan.lower_bound} are needed; this is the best found."
    return table(
        title,
        f"<{what}|<pieces|left",
        (("", f"{number}", " ".join(roll.piece_ids), format_ft_in(roll.left)) for number, roll in enumerate(plan.rolls, 1)),
        proven if plan.rolls else "",
    )
