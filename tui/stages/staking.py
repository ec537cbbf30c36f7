"""Staking figures: stakes in all, and gaps."""

from collections.abc import Iterator

from engine.calc.lengths import format_ft_in
from engine.calc.phrases import counted
from engine.job.model.job import Job
from engine.walk import Walk
from tui.stages.figure_tables import summed, table
from tui.widgets.figures import Figures

PURPOSE = "Stake the apron flush, closer at corners, ends and dips."


def figures(_job: Job, walk: Walk) -> Iterator[Figures]:
    staking = walk.staking
    fastened = f"; {counted(staking.fastened, 'spot')} fastened to hard floors or weighted" if staking.fastened else ""
    yield summed("Stakes", f"{counted(staking.total, 'stake')} and {staking.spare} spare{fastened}.")
    gaps = [
        (name, name, format_ft_in(a), format_ft_in(b), " ".join(map(str, bay.blocked_by)))
        for name, bay in staking.bays.items()
        for a, b in bay.uncovered
    ]
    yield table("Gaps a keep-out leaves", "<bay|from|to|<because of", gaps)
