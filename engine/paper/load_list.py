"""The load list: what goes onto the truck and in which order, what it costs, and the same as a CSV file."""

from pathlib import Path

from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import counted, first_few
from engine.job.errors import NotWritten
from engine.job.file.disk import Disk, why, write_new
from engine.job.model.job import Job
from engine.job.model.stock_row import StockKind, StockRow
from engine.job.model.stock_table import stock_of
from engine.paper.csv_text import csv_text
from engine.paper.pack_words import load_words, on_truck_words
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
COLUMNS = (
    "place", "load as", "stock", "what", "unit", "needed", "spare", "in a pack", "packs", "loaded", "delivered", "loose", "short", "used",
    "left", "off-cuts ft", "price of a pack", "cost",
)  # fmt: skip


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
    needed = [(*_place(stock[row.stock]), row) for row in takeoff.rows if row.packs > 0]
    ordered = sorted(needed, key=lambda found: found[0])
    costs = [row.cost for _, _, row in ordered]
    priced = [cost for cost in costs if cost is not None]
    return LoadList(
        rows=tuple(LoadRow(number, group, row, stock[row.stock].kind) for number, (_, group, row) in enumerate(ordered, 1)),
        total=sum(priced) if priced else None,
        unpriced=len(costs) - len(priced),
    )


def _place(row: StockRow) -> tuple[int, str]:
    kinds = [(kind, group) for group, kinds in ORDER.items() for kind in kinds]
    return next((number, group) for number, (kind, group) in enumerate(kinds) if kind == (row.kind or "other"))


def load_csv(job: Job, takeoff: Takeoff) -> str:
    """The materials as a CSV text, a row a stock row in truck order, numbers bare; then what came and isn't needed."""
    listed = load_list(job, takeoff).rows
    needed = {row.row.stock for row in listed}
    besides = [LoadRow(0, "", row) for row in takeoff.rows if row.stock not in needed]
    return csv_text(COLUMNS, [_cells(row) for row in (*listed, *besides)])


def _cells(loaded: LoadRow) -> tuple[str, ...]:
    row = loaded.row
    numbers = (row.needed, row.spare, row.per_pack, row.packs, row.loaded, row.delivered, row.loose, row.short, row.used, row.left)
    return (
        str(loaded.place or ""),
        loaded.group,
        row.stock,
        row.name,
        row.unit,
        *(_bare(number) for number in numbers),
        " ".join(_bare(length) for length in row.offcuts),
        "" if row.price is None else f"{row.price:.2f}",
        "" if row.cost is None else f"{row.cost:.2f}",
    )


def _bare(number: float | None) -> str:
    return "" if number is None else f"{number:.2f}".rstrip("0").rstrip(".")


def load_text(job: Job, takeoff: Takeoff) -> str:
    """The load list as plain text, for a terminal or a printer: a box to tick, pieces and packs to load, what is on the truck already."""
    listed = load_list(job, takeoff)
    if not listed.rows:
        return "Nothing is needed yet: the layout comes first.\n"
    lines, group = [RULE], ""
    for loaded in listed.rows:
        if loaded.group != group:
            group = loaded.group
            lines += ["", f"{group}:"]
        row, kind = loaded.row, loaded.kind
        lines.append(f"[ ] {loaded.place:>2}  {row.name}: {load_words(row, kind)}  ({on_truck_words(row, kind)})")
    return "\n".join([*lines, "", *([] if listed.total is None else [total_words(listed)])]) + "\n"


def total_words(listed: LoadList) -> str:
    """What the packs cost together, and how many rows have no price: `1,240.50 for all packs; 3 rows have no price.`"""
    unpriced = f"; {counted(listed.unpriced, 'row')} without a price" if listed.unpriced else ""
    return f"{listed.total or 0:,.2f} for all packs{unpriced}."


def offcut_words(row: TakeoffRow, most: int) -> str:
    """What the cut plan leaves of a row's rolls, longest first: `31' 6", 8' 0" and 2 more`."""
    return first_few([format_ft_in(length, 1) for length in row.offcuts], most) if row.offcuts else ""


def write_load(job: Job, takeoff: Takeoff, out: Path) -> Path:
    """Write the materials as a CSV file that isn't there yet. Raises: NotWritten, one sentence, also where something stands there
    already."""
    if out.suffix.lower() != ".csv":
        raise NotWritten(out, "a load list is a CSV file: give it a name that ends in .csv.")
    try:
        write_new(Disk(), out, load_csv(job, takeoff).encode("utf-8"))
    except FileExistsError as error:
        raise NotWritten(out, "is there already. Nothing was overwritten; give another name.") from error
    except OSError as error:
        raise NotWritten(out, f"couldn't be written: {why(error)}") from error
    return out


def free_name(job_file: Path) -> Path:
    """A name for a load list beside its job file that nothing stands under yet: `yard-load.csv`, `yard-load-2.csv` and so on."""
    return free_beside(job_file, "load", ".csv")


def free_beside(job_file: Path, what: str, ending: str) -> Path:
    """The first free name beside a job file for something of it."""
    names = (job_file.with_name(f"{job_file.stem}-{what}{'' if number == 1 else f'-{number}'}{ending}") for number in range(1, 10_000))
    return next((name for name in names if not name.exists()), job_file.with_name(f"{job_file.stem}-{what}{ending}"))
