"""The estimate among the figures: what the fence takes while nothing is surveyed, then one line beside what was."""

from collections.abc import Iterable, Iterator

from engine.job.model.job import Job
from engine.walk import Walk
from tui.stages.figure_tables import summed, table
from tui.widgets.figures import Figures


def estimated(job: Job, walk: Walk) -> Iterator[Figures]:
    """Low, likely and high with what they rest on, the likely figures alone until those are worked out; nothing where nobody said
    anything."""
    if job.rough is None:
        return
    from engine.ahead.estimate import estimate, is_estimated, likely_estimate
    from engine.ahead.estimate_words import estimate_rows, in_words
    from engine.ahead.rests_on_it import rests_on_it

    if not rests_on_it(job, walk):
        said = in_words(job, walk)
        yield from (summed("Estimate", f"{said.line}."),) if said else ()
    elif not is_estimated(job):
        likely = likely_estimate(job)
        yield from (_table(estimate_rows(likely), f"Low and high are being worked out. {likely.rests_on}"),) if likely else ()
    else:
        found, said = estimate(job), in_words(job, walk)
        if found is not None and said is not None:
            more = (f"{name.capitalize()}: {more.rstrip('.')}." for name, more in said.more)
            yield _table(estimate_rows(found), " ".join((said.line, *more)))


def _table(rows: Iterable[tuple[str, ...]], says: str) -> Figures:
    return table("ESTIMATE by what was said", "<of the fence|low|likely|high", (("", *row) for row in rows), says)
