"""An estimate as tables of the record: what the fence takes by what was said, or one line beside what was surveyed since."""

from engine.ahead.estimate import Estimate, LowHigh, estimate, fence_counts
from engine.ahead.estimate_words import COLUMNS, estimate_rows, in_words, three, three_of
from engine.ahead.rests_on_it import rests_on_it
from engine.calc.phrases import unit_word
from engine.calc.units import in_force
from engine.job.model.job import Job
from engine.paper.built_tables import Table
from engine.paper.tables.told_cells import ToldCell
from engine.walk import Walk

TITLE = "Estimate"
IN_FIGURES = f"{TITLE} in figures"
MATERIALS = "Estimated materials"
ENDS = ("low", "likely", "high")
MONEY = ("cost low", "cost likely", "cost high")
OF_MATERIALS = (
    "needed_low_units", "needed_units", "needed_high_units", "packs_low", "packs", "packs_high", "cost_low", "cost", "cost_high",
)  # fmt: skip
"""As the load list calls them, which has the likely ones under the bare names."""


def estimate_tables(job: Job, walk: Walk) -> tuple[Table, ...]:
    """Nothing where nobody said anything; in words first, then figures and materials while nothing is surveyed."""
    said = in_words(job, walk)
    if said is not None and not said.alone:
        return (Table(TITLE, ("", ""), (("fence", f"{said.line}."),)),)
    found = estimate(job)
    if said is None or found is None:
        return ()
    words = Table(TITLE, ("", ""), (("fence", said.line), *said.more))
    return words, _in_figures(found), _materials(found)


def _in_figures(found: Estimate) -> Table:
    """What is counted of the fence; whole feet on paper, for nobody knows it closer."""
    counted = (("ft", found.length_ft), ("posts", found.posts), ("braces", found.braces), ("loops", found.loops), ("money", found.cost))
    amounts = [(unit, amount) for unit, amount in counted if amount is not None]
    rows = tuple(
        (ToldCell(what, unit_word(unit)), *map(ToldCell, words, _figures(amount, unit)))
        for (what, *words), (unit, amount) in zip(estimate_rows(found), amounts, strict=True)
    )
    figures = (("what", ("unit",)), *((end, (f"{end}_units",)) for end in ENDS))
    return Table(IN_FIGURES, COLUMNS, rows, figures=figures, for_people=ENDS)


def _figures(amount: LowHigh | None, unit: str = "") -> tuple[float | None, ...]:
    return (None, None, None) if amount is None else tuple(in_force(getattr(amount, end), unit) for end in ENDS)


def _materials(found: Estimate) -> Table:
    """Needed and packs; on paper prices where any are known."""
    priced = found.cost is not None
    rows = []
    for row in found.rows:
        needed, packs = three_of(row.needed, row.unit), three(row.packs)
        costs = (three(row.cost, ",.2f") if row.cost else ("", "", "")) if priced else ()
        told = ToldCell(needed[0], *_figures(row.needed, row.unit), *_figures(row.packs), *_figures(row.cost))
        rows.append((ToldCell(row.name, row.stock), unit_word(row.unit), told, *needed[1:], *packs, *costs))
    amounts = ("needed low", "needed likely", "needed high", "packs low", "packs likely", "packs high", *(MONEY if priced else ()))
    figures = (("what", ("stock",)), (amounts[0], OF_MATERIALS))
    return Table(MATERIALS, ("what", "unit", *amounts), tuple(rows), figures=figures, for_people=amounts)


def estimate_json(job: Job, walk: Walk) -> dict[str, object]:
    """For the plan as JSON: the sentence, whether all there is of the fence rests on it, and every figure; empty where nothing was said."""
    said, found = in_words(job, walk), estimate(job)
    if said is None or found is None:
        return {}
    surveyed = {} if rests_on_it(job, walk) else {"surveyed": fence_counts(walk)}
    return {"estimate": {"says": said.line, "nothing_surveyed": said.alone, "figures": found, **surveyed}}
