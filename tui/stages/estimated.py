"""The estimate among the figures: what the fence takes while nothing is surveyed, then one line beside what was."""

from collections.abc import Iterator

from engine.job.model.job import Job
from engine.walk import Walk
from tui.stages.figure_tables import summed, table
from tui.widgets.figures import Figures


def estimated(job: Job, walk: Walk) -> Iterator[Figures]:
    """Low, likely and high with what they rest on; nothing where nobody said anything."""
    if job.rough is None:
        return
    from engine.ahead.estimate import estimate
    from engine.ahead.estimate_words import estimate_rows, in_words

    found, said = estimate(job), in_words(job, walk)
    if found is None or said is None:
        return
    if not said.alone:
        yield summed("Estimate", f"{said.line}.")
        return
    says = " ".join((said.line, *(f"{name.capitalize()}: {more.rstrip('.')}." for name, more in said.more)))
    yield table("ESTIMATE by what was said", "<of the fence|low|likely|high", (("", *row) for row in estimate_rows(found)), says)
