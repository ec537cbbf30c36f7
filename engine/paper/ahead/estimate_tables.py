"""An estimate as tables of the record: what the fence takes by what was said, or one line beside what was surveyed since."""

from engine.ahead.estimate import Estimate, estimate, fence_counts
from engine.ahead.estimate_words import COLUMNS, estimate_rows, in_words, three, three_of
from engine.ahead.rests_on_it import rests_on_it
from engine.calc.phrases import unit_word
from engine.job.model.job import Job
from engine.paper.built_tables import Table
from engine.walk import Walk

TITLE = "Estimate"
MATERIALS = "Estimated materials"
MARK = "estimate"


def estimate_tables(job: Job, walk: Walk) -> tuple[Table, ...]:
    """Nothing where nobody said anything; in words first, then figures and materials while nothing is surveyed."""
    said = in_words(job, walk)
    if said is not None and not said.alone:
        return (Table(TITLE, ("", ""), (("fence", f"{said.line}."),)),)
    found = estimate(job)
    if said is None or found is None:
        return ()
    words = Table(TITLE, ("", ""), (("fence", said.line), *said.more))
    return words, Table(f"{TITLE} in figures", COLUMNS, estimate_rows(found)), _materials(found)


def _materials(found: Estimate) -> Table:
    """Needed and packs; prices where any are known."""
    priced = found.cost is not None
    money = ("cost low", "cost likely", "cost high") if priced else ()
    rows = []
    for row in found.rows:
        costs = (three(row.cost, ",.2f") if row.cost else ("", "", "")) if priced else ()
        rows.append((row.name, unit_word(row.unit), *three_of(row.needed, row.unit), *three(row.packs), *costs))
    columns = ("what", "unit", "needed low", "needed likely", "needed high", "packs low", "packs likely", "packs high", *money)
    return Table(MATERIALS, columns, tuple(rows))


def estimate_json(job: Job, walk: Walk) -> dict[str, object]:
    """For the plan as JSON: the sentence, whether all there is of the fence rests on it, and every figure; empty where nothing was said."""
    said, found = in_words(job, walk), estimate(job)
    if said is None or found is None:
        return {}
    surveyed = {} if rests_on_it(job, walk) else {"surveyed": fence_counts(walk)}
    return {"estimate": {"says": said.line, "nothing_surveyed": said.alone, "figures": found, **surveyed}}
