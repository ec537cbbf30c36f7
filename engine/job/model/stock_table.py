"""Stock: the rows in stock.toml with what the job says of them laid over; a new job in metres says what stock_metric.toml does."""

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

from engine.calc.remember import remembered_of
from engine.calc.units import FEET_INCHES, METRES, Units, in_units
from engine.job.model.fence import Fence
from engine.job.model.stock_row import StockKind, StockRow


@cache
def default_rows() -> Mapping[str, StockRow]:
    """Rows of stock.toml by id. Source: engine/stock.toml names one beside each row."""
    return _rows("stock.toml")


@cache
def first_rows(units: Units) -> Mapping[str, StockRow]:
    """What a new job says of its stock: nothing in feet and inches, in metres the metric sizes. They are written into its file, so that
    what is on the truck never changes with what lengths are shown in. Source: stock_metric.toml names one beside each row."""
    return _rows("stock_metric.toml") if units == METRES else {}


def _rows(file: str) -> Mapping[str, StockRow]:
    data = tomllib.loads(Path(__file__).with_name(file).read_text(encoding="utf-8"))
    with in_units(FEET_INCHES):
        return MappingProxyType({name: StockRow.model_validate(row) for name, row in data.items()})


@remembered_of
def stock_of(rows: Mapping[str, StockRow]) -> dict[str, StockRow]:
    """A job's rows, each over the default of its id field by field, then the other defaults; so a job's own row of a kind comes first."""
    defaults = default_rows()
    merged = {}
    for name, row in rows.items():
        said = {field: value for field, value in row if value is not None}
        merged[name] = defaults[name].model_copy(update=said) if name in defaults else row
    return {**merged, **{name: row for name, row in defaults.items() if name not in merged}}


def fabric_ids(fence: Fence) -> tuple[str, str]:
    """Stock ids of wire and mesh: the fence's own, or those that suit its height. The bottom cable of a 6 ft fence is at 3 ft, of lower
    ones at 2 ft, and the wire needs an apron besides. Source: common practice, no source."""
    wire = fence.wire or ("wire-48" if fence.height_ft > 5 else "wire-36")
    mesh = fence.mesh or ("mesh-36" if fence.height_ft <= 4 else "mesh-48")
    return wire, mesh


def plate_widths_in(stock: Mapping[str, StockRow]) -> tuple[float, ...]:
    """How wide the plates for brace feet are, the narrowest first."""
    return tuple(sorted({row.width_in for row in stock.values() if row.kind == "foot plate" and row.width_in is not None}))


@remembered_of
def plate_rows(stock: Mapping[str, StockRow]) -> Mapping[float | None, str]:
    """Ids of the plates for brace feet by how wide they are, the first of each."""
    return {row.width_in: name for name, row in reversed(list(stock.items())) if row.kind == "foot plate"}


def first_of(stock: Mapping[str, StockRow], kind: StockKind) -> str | None:
    """Id of the first row of a kind, the job's own before the defaults, or None."""
    return first_rows_of(stock).get(kind)


@remembered_of
def first_rows_of(stock: Mapping[str, StockRow]) -> Mapping[StockKind | None, str]:
    """The same of every kind."""
    return {row.kind: name for name, row in reversed(list(stock.items()))}
