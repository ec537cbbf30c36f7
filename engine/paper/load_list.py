"""The load list: what goes onto the truck and in which order, what it costs, and the same as a CSV file."""

from collections.abc import Mapping, Sequence
from pathlib import Path

from engine.ahead.estimate import EstimatedRow, estimate
from engine.ahead.estimate_words import lacks_words, span
from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import counted, first_few, unit_word
from engine.calc.units import in_force, in_its_units, metric
from engine.job.file.disk import Disk
from engine.job.model.job import Job
from engine.job.model.stock_row import StockKind, StockRow
from engine.job.model.stock_table import stock_of
from engine.paper.before_repair import of_a_repair
from engine.paper.pack_words import load_words, on_truck_words, packs_of
from engine.paper.tables.csv_text import RESTS_ON, csv_text, job_name
from engine.paper.tables.offcut_rows import OFFCUTS, offcuts_csv
from engine.paper.written_files import NOT_SAVED, free_beside, unsaved_words, write_csv
from engine.stages.takeoff import Takeoff, TakeoffRow

ORDER: dict[str, tuple[StockKind, ...]] = {
    "long": ("gate tube", "brace", "post"),
    "heavy": ("stake", "mesh", "wire", "cable", "anchor", "foot plate", "base plate", "sleeve"),
    "boxes": (
        "gate corner", "screw", "turnbuckle", "brace wire", "gate hook", "ground sleeve", "drop rod", "latch", "hinge", "tie", "ring",
        "lock", "band", "tree eye", "eye", "cap", "other",
    ),
}  # fmt: skip
"""What goes in first, by kind. The stages run posts, bracing, cables, fabric, stakes, gate; each group is in the other direction."""
RULE = "Long things first, then heavy ones, then boxes; within each, what is needed last goes in first (common practice, no source)."
ESTIMATE_RULE = "ESTIMATE by what was said, nothing is surveyed yet: the least and most it may take."
COLUMNS = (
    "job", "rests_on", "place", "load_as", "stock", "what", "unit", "needed_units", "needed_low_units", "needed_high_units", "spare_units",
    "pack_holds_units", "packs", "packs_low", "packs_high", "loaded_packs", "delivered_packs", "loose_units", "short_packs", "used_units",
    "left_units", "price_of_pack", "cost", "cost_low", "cost_high",
)  # fmt: skip
LOAD_PARTS = ("", OFFCUTS)
OF_ESTIMATE = ("needed_low_units", "needed_high_units", "packs_low", "packs_high", "cost_low", "cost_high")
"""Empty as soon as a line is surveyed; of an estimate what stands beside them is the likely figure."""


@dataclass(frozen=True)
class LoadRow:
    """One row in truck order: its place from 1, the group it is loaded with, the row of the take-off, and what kind of thing it is."""

    place: int
    group: str
    row: TakeoffRow
    kind: StockKind | None = None


@dataclass(frozen=True)
class LoadList:
    """Everything needed in truck order. `total` is of the rows with a price, None where none has one; `unpriced` counts the others."""

    rows: tuple[LoadRow, ...]
    total: float | None
    unpriced: int


def load_list(job: Job, takeoff: Takeoff) -> LoadList:
    """What the fence needs in the order it goes onto the truck: long first, then heavy, then boxes; needed last goes in first. Returns:
    LoadList; what came and isn't needed is left out. Source: common practice, no source: the order of kinds in ORDER."""
    stock = stock_of(job.stock)
    needed = [(*truck_place(stock[row.stock]), row) for row in takeoff.rows if row.packs > 0]
    ordered = sorted(needed, key=lambda found: found[0])
    costs = [row.cost for _, _, row in ordered]
    priced = [cost for cost in costs if cost is not None]
    return LoadList(
        rows=tuple(LoadRow(number, group, row, stock[row.stock].kind) for number, (_, group, row) in enumerate(ordered, 1)),
        total=sum(priced) if priced else None,
        unpriced=len(costs) - len(priced),
    )


def truck_place(row: StockRow | EstimatedRow) -> tuple[int, str]:
    """What goes in first by its kind: a number to sort by, and the group it is loaded with."""
    kinds = [(kind, group) for group, kinds in ORDER.items() for kind in kinds]
    return next((number, group) for number, (kind, group) in enumerate(kinds) if kind == (row.kind or "other"))


def estimated_load(job: Job, takeoff: Takeoff) -> tuple[tuple[str, EstimatedRow], ...]:
    """What the estimate asks for, in truck order with its group, as long as no layout says what is needed; else nothing."""
    found = None if any(row.needed for row in takeoff.rows) else estimate(job)
    return () if found is None else tuple((truck_place(row)[1], row) for row in sorted(found.rows, key=lambda row: truck_place(row)[0]))


@in_its_units
def load_csv(job: Job, takeoff: Takeoff, note: str = "") -> str:
    """The materials as a CSV text, a row a stock row in truck order, numbers bare; then what came and isn't needed. A note stands first."""
    name = job_name(job)
    first = [(name, "", *_in_columns({"what": note}))] if note else []
    if estimated := estimated_load(job, takeoff):
        rows = [(name, RESTS_ON[True], *_in_columns(_estimate_cells(n, *row))) for n, row in enumerate(estimated, 1)]
    else:
        listed = load_list(job, takeoff).rows
        needed = {row.row.stock for row in listed}
        besides = [LoadRow(0, "", row) for row in takeoff.rows if row.stock not in needed]
        rows = [(name, RESTS_ON[False], *load_cells(row)) for row in (*listed, *besides)]
    return csv_text(COLUMNS, [*first, *rows])


def load_cells(loaded: LoadRow) -> tuple[str, ...]:
    """A row under the heads of the CSV text after the first two, which say of which job it is and what that rests on."""
    row = loaded.row
    units = {name: getattr(row, name) for name in ("needed", "spare", "loose", "used", "left")}
    packs = {"packs": row.packs, "loaded_packs": row.loaded, "delivered_packs": row.delivered, "short_packs": row.short}
    return _in_columns(
        {
            **_row_cells(loaded.place, loaded.group, row),
            **{f"{name}_units": bare(amount, row.unit) for name, amount in units.items()},
            **{name: bare(count) for name, count in packs.items()},
            "price_of_pack": _money(row.price),
            "cost": _money(row.cost),
        }
    )


def _row_cells(place: int, group: str, row: TakeoffRow | EstimatedRow) -> dict[str, str]:
    return {
        "place": f"{place or ''}",
        "load_as": group,
        "stock": row.stock,
        "what": row.name,
        "unit": unit_word(row.unit),
        "pack_holds_units": bare(row.per_pack, row.unit),
    }


def _in_columns(cells: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(cells.get(column, "") for column in COLUMNS[2:])


def _money(amount: float | None) -> str:
    return "" if amount is None else f"{amount:.2f}"


def bare(number: float | None, unit: str = "") -> str:
    """A number of a unit, in the one that is in force; to a third place in metres, where it is a length."""
    return "" if number is None else f"{in_force(number, unit):.{3 if unit == 'ft' and metric() else 2}f}".rstrip("0").rstrip(".")


@in_its_units
def load_text(job: Job, takeoff: Takeoff) -> str:
    """The load list as plain text, for a terminal or a printer: a box to tick, pieces and packs to load, what is on the truck already."""
    if estimated := estimated_load(job, takeoff):
        boxes = [(group, f"{row.name}: {estimated_words(row)}") for group, row in estimated]
        return boxes_text([ESTIMATE_RULE, RULE, *_lacks(job)], boxes, "")
    listed = load_list(job, takeoff)
    if not listed.rows:
        return f"{needs_nothing(job)}\n"
    loads = [(one.group, one.row, one.kind) for one in listed.rows]
    boxes = [(group, f"{row.name}: {load_words(row, kind)}  ({on_truck_words(row, kind)})") for group, row, kind in loads]
    first = filter(None, (of_a_repair(job, "what stands is not loaded again."), RULE))
    return boxes_text([*first], boxes, "" if listed.total is None else total_words(listed))


def needs_nothing(job: Job) -> str:
    """Why a job's load list is empty."""
    return "Nothing is needed: what stands is not loaded again." if job.repair_of else "Nothing is needed yet: the layout comes first."


def boxes_text(first: list[str], boxes: Sequence[tuple[str, str]], last: str) -> str:
    """What to load, a box to tick before each, under the names of the groups."""
    lines, before = first, ""
    for place, (group, says) in enumerate(boxes, 1):
        if group != before:
            before = group
            lines += ["", f"{group}:"]
        lines.append(f"[ ] {place:>2}  {says}")
    return "\n".join([*lines, "", *([last] if last else [])]) + "\n"


def _lacks(job: Job) -> tuple[str, ...]:
    found = estimate(job)
    return (lacks_words(found),) if found is not None and found.lacks else ()


def estimated_words(row: EstimatedRow) -> str:
    """Packs and pieces at the least and most: `7 to 8 posts`, `2 to 3 rolls of 100 ft; 212 to 256 ft needed`."""
    low = "" if row.packs.low == row.packs.high else f"{row.packs.low:,.0f} to "
    packs = f"{low}{packs_of(row.packs.high, row, row.kind)}"
    alone = row.unit != "ft" and row.per_pack == 1
    return packs if alone else f"{packs}; {span(row.needed, row.unit)}{f' {unit_word(row.unit)}' if row.unit == 'ft' else ''} needed"


def _estimate_cells(place: int, group: str, row: EstimatedRow) -> dict[str, str]:
    ends = (("", "likely"), ("_low", "low"), ("_high", "high"))
    return {
        **_row_cells(place, group, row),
        **{f"needed{head}_units": bare(getattr(row.needed, end), row.unit) for head, end in ends},
        **{f"packs{head}": bare(getattr(row.packs, end)) for head, end in ends},
        **{f"cost{head}": _money(getattr(row.cost, end)) for head, end in ends if row.cost},
    }


def total_words(listed: LoadList) -> str:
    """What the packs cost together, and how many rows have no price: `1,240.50 for all packs; 3 rows have no price.`"""
    unpriced = f"; {counted(listed.unpriced, 'row')} without a price" if listed.unpriced else ""
    return f"{listed.total or 0:,.2f} for all packs{unpriced}."


def offcut_words(row: TakeoffRow, most: int) -> str:
    """What the cut plan leaves of a row's rolls, longest first: `31' 6", 8' 0" and 2 more`."""
    return first_few([format_ft_in(length, 1) for length in row.offcuts], most) if row.offcuts else ""


@in_its_units
def load_texts(job: Job, takeoff: Takeoff, seal: Sequence[str] = (), *, unsaved: bool = False) -> dict[str, str]:
    """The CSV texts of a load list by the parts of their file's name: the list itself, and what its cut plans leave. Both say first
    where the job is `unsaved`, where it holds more than its file, and what is wrong with its `seal`."""
    name, note = job_name(job), " ".join([*([NOT_SAVED, unsaved_words(job)] if unsaved else []), *seal])
    offcuts = offcuts_csv(COLUMNS[:1], (((name,), row) for row in takeoff.rows), [(name, note)] if note else ())
    return {"": load_csv(job, takeoff, note), OFFCUTS: offcuts}


def write_load(
    job: Job,
    takeoff: Takeoff,
    out: Path,
    seal: Sequence[str] = (),
    *,
    unsaved: bool = False,
    replacing: bool = False,
    disk: Disk | None = None,
) -> tuple[Path, ...]:
    """Write the materials as a CSV file and their offcuts as one beside it, over older ones only where `replacing` is said; `seal` and
    `unsaved` as in `load_texts`. Raises: NotWritten, one sentence."""
    return write_csv(disk or Disk(), out, load_texts(job, takeoff, seal, unsaved=unsaved), "a load list", replacing=replacing)


def free_name(job_file: Path) -> Path:
    """A name for a load list beside its job file that nothing stands under yet: `yard-load.csv`, `yard-load-2.csv` and so on."""
    return free_beside(job_file, "load", ".csv", LOAD_PARTS)
