"""All tables of the record, as the screen, the office's page and the tables for other programs show them; and as plain text."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from engine import __version__
from engine.ahead.rests_on_it import rests_on_it
from engine.calc.units import in_its_units
from engine.findings import TITLES
from engine.job.model.job import Job
from engine.paper import record_tables
from engine.paper.ahead.compared_layouts import CONSIDERED, considered
from engine.paper.ahead.estimate_tables import IN_FIGURES, MATERIALS, estimate_tables
from engine.paper.ahead.estimate_tables import TITLE as ESTIMATED
from engine.paper.ahead.hours_tables import OWN_HOURS, own_hours
from engine.paper.before_repair import LEFT, before_tables
from engine.paper.before_repair import TITLE as REPAIR_OF
from engine.paper.built_tables import OF_STOCK, Table, built_tables
from engine.paper.gives_table import TITLE as GIVES
from engine.paper.gives_table import gives_table
from engine.paper.known_places import known_table
from engine.paper.photos.named_photos import TITLE as PHOTOS
from engine.paper.photos.named_photos import named_photos, photo_table
from engine.paper.printed_sheets import SIGNS, PrintedSheet, printed_sheets
from engine.paper.repair_work import TITLE as DONE_HERE
from engine.paper.sealed_facts import PrintedFacts, facts_to_print
from engine.paper.tables.told_cells import ToldCell, first_figures
from engine.walk import Walk

CHANGED = "Changed since it was signed"
OTHERWISE = "Worked out otherwise today"
SEALED = "Sealed or worked out"
OF_SOME_JOBS = (
    CHANGED, REPAIR_OF, LEFT, DONE_HERE, ESTIMATED, IN_FIGURES, MATERIALS, PHOTOS, record_tables.NOTES, SEALED, OTHERWISE, CONSIDERED,
    OWN_HOURS,
)  # fmt: skip
"""Tables that not every record has."""
FIGURES_IN = ("ft", "in", "units", "packs")
"""Units of figures that are told where the record says something else than is worked out today."""
PART_OF = {
    "Supports": "supports", "Bays": "bays_ft", "Cable loops": "loops", "Gates": "gates", "Materials": "quantities",
    "Plan against built": "supports", "Braces": "braces", "Sleeves left in the ground": "sleeves_left", "Times": "stages",
}  # fmt: skip
"""Which part of a record a table is made of."""
BESIDES = {
    "Supports": "what they stand in", "Bays": "line and gate", "Gates": "opening wanted", "Plan against built": "planned places",
    "Times": "how many items there are", "Materials": "names and units",
}  # fmt: skip
"""What isn't in a record, and stands beside what is."""


@in_its_units
def office_tables(job: Job, walk: Walk, seal: Sequence[str] = ()) -> tuple[Table, ...]:
    """Every table of the record in reading order; `seal` is what was changed in a signed-off file since it was signed, first of all."""
    return _in_order(job, walk, seal, (record_tables.readings(walk),), (record_tables.checklist(job, walk),))


def _in_order(job: Job, walk: Walk, seal: Sequence[str], readings: Sequence[Table], checklist: Sequence[Table]) -> tuple[Table, ...]:
    facts = facts_to_print(job, walk)
    built = built_tables(job, walk, facts.record)
    changed = (Table(CHANGED, ("what was changed",), tuple((says,) for says in seal)),) if seal else ()
    notes = record_tables.notes(job)
    known = (notes,) if notes.rows else ()
    signed = (*known, _sealed(job, facts, seal), _otherwise(job, walk, facts, built)) if facts.signed else ()
    return (
        *changed,
        record_tables.head(job, seal, estimated=rests_on_it(job, walk)),
        *before_tables(job, walk),
        *record_tables.work_tables(job, walk),
        *estimate_tables(job, walk),
        built["Supports"],
        known_table(job, walk),
        *(built[title] for title in ("Bays", "Cable loops", "Gates")),
        record_tables.changes(job, walk, facts.record),
        record_tables.log(job),
        *((photo_table(job),) if named_photos(job) else ()),
        *readings,
        built["Materials"],
        record_tables.left(job, walk),
        *signed,
        *(built[title] for title in ("Plan against built", "Braces")),
        gives_table(job, walk),
        *((considered(job),) if job.alternatives else ()),
        *(built[title] for title in ("Sleeves left in the ground", "Times")),
        *((own_hours(job),) if job.record else ()),
        *checklist,
    )


def _sealed(job: Job, facts: PrintedFacts, seal: Sequence[str]) -> Table:
    """Where each figure comes from: out of the record, or worked out anew."""
    sealed = "as the file's record has it" if seal else "as sealed"
    this = f"worked out by linewalk {__version__}"
    rows = []
    for title, part in PART_OF.items():
        held = part not in facts.worked_out or part == "supports"
        depths = ", depths as ticked" if title == "Supports" and "supports" in facts.worked_out else ""
        besides = f"{depths}; {BESIDES[title]} {this}" if title in BESIDES else ""
        rows.append((title, f"{sealed}{besides}" if held else f"{this}, for the record was written without"))
    rows += [("Readings", f"as ticked; wanted and judged {this}")]
    rows.append(("Checklist", f"as ticked; lengths in the names of items, and what passes, {this}"))
    rows.append(("Known places", f"points as they are in the file, those that were measured {this}"))
    if job.rough is not None:
        rows.append((ESTIMATED, f"by what was said before the survey, no part of the record, {this}"))
    rows += [(DONE_HERE, "no part of the record, out of the ticks and the log as they are in the file")] if job.repair_of else []
    rows.append((GIVES, f"no part of the record, {this}"))
    rows.append((OWN_HOURS, f"no part of the record, out of the ticks as they are in the file, {this}"))
    rows.append(("Drawings", f"supports and bay lengths of the plan {sealed}; the rest {this}"))
    rows += [(CONSIDERED, f"as in the file, each worked out as if planned today: {this}")] if job.alternatives else []
    return Table(SEALED, ("table", "its figures"), tuple(rows))


def _otherwise(job: Job, walk: Walk, facts: PrintedFacts, built: dict[str, Table]) -> Table:
    """Cell by cell, what this version would print where the record says something else."""
    fresh = built_tables(job, walk, facts.fresh)
    rows = [row for title in PART_OF for row in _differences(built[title], fresh[title])]
    rows += [("Left open", says, "finding", "not found", level) for level, says in record_tables.found_since(job, walk)]
    both = ("sealed", "today")
    figures = (("row", OF_STOCK), *((column, tuple(f"{column}_{unit}" for unit in FIGURES_IN)) for column in both))
    return Table(OTHERWISE, ("table", "row", "what", *both), tuple(rows), empty="nothing", keys=3, figures=figures)


def _differences(sealed: Table, fresh: Table) -> Iterator[tuple[str, str, str, str, str]]:
    heads = dict(sealed.figures)
    was, now = ({row[: table.keys]: row for row in table.rows} for table in (sealed, fresh))
    for key in dict.fromkeys((*was, *now)):
        name = ToldCell(" ".join(key), *getattr(key[0], "figures", ()))
        if key not in was or key not in now:
            yield sealed.title, name, "the row", "there" if key in was else "not there", "there" if key in now else "not there"
            continue
        for column, old, new in zip(sealed.columns, was[key], now[key], strict=True):
            if old != new and not (sealed.title == "Materials" and column == "planned" and not old):
                told = heads.get(column, ())
                yield sealed.title, name, column, _in_either(old, told), _in_either(new, told)


def _in_either(cell: str, heads: Sequence[str]) -> ToldCell:
    return ToldCell(cell, *first_figures(cell, heads, FIGURES_IN))


@in_its_units
def printed_tables(job: Job, walk: Walk, seal: Sequence[str] = ()) -> tuple[Table, ...]:
    """The record's tables as people read them: the sheets stand for readings and checklist, which other programs read row by row."""
    return tuple(
        replace(table, rows=tuple(row for row in table.rows if row[0] != "Readings")) if table.title == SEALED else table
        for table in _in_order(job, walk, seal, (), ())
    )


@in_its_units
def sheet_tables(job: Job, walk: Walk) -> tuple[Table, ...]:
    """What follows those on a screen: every part of every sheet as a table with a title, and what is said below a sheet as rows."""
    sheets = printed_sheets(job, walk)
    found = [Table("Checklist", ("",), ((SIGNS,),) if sheets else (), empty="nothing to tick")]
    for sheet in sheets:
        name = TITLES[sheet.stage].capitalize()
        found += [replace(table, title=f"{name}: {table.columns[0]}") for table in sheet.tables]
        found += [Table(f"{name}: notes", ("",), tuple((words,) for words in sheet.says))] if sheet.says else []
    return tuple(found)


@in_its_units
def record_text(job: Job, walk: Walk, seal: Sequence[str] = ()) -> str:
    """The record as plain text, columns lined up, for a terminal or a printer."""
    sheets = printed_sheets(job, walk)
    parts = [*map(table_text, printed_tables(job, walk, seal)), f"{_underlined('Checklist')}\n{SIGNS if sheets else 'nothing to tick'}"]
    return "\n\n".join((*parts, *map(_sheet_text, sheets))) + "\n"


def _underlined(title: str) -> str:
    return f"{title}\n{'-' * len(title)}"


def table_text(table: Table) -> str:
    """A table as plain text under its title."""
    return f"{_underlined(table.title)}\n{_lines(table) if table.rows else table.empty}"


def _sheet_text(sheet: PrintedSheet) -> str:
    """A sheet under its stage's name, what is said below it last."""
    title = _underlined(f"Checklist: {TITLES[sheet.stage]}")
    says = ("\n".join(" ".join(words.split()) for words in sheet.says),) if sheet.says else ()
    return f"{title}\n" + "\n\n".join((*map(_lines, sheet.tables), *says))


def _lines(table: Table) -> str:
    heads = (table.columns,) if any(table.columns) else ()
    rows = [tuple(" ".join(cell.split()) for cell in row) for row in (*heads, *table.rows)]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return "\n".join(_padded(row, widths) for row in rows)


def _padded(row: Iterable[str], widths: list[int]) -> str:
    return "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
