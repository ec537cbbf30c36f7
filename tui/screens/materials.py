"""Materials: what the fence needs against what came, how the truck is loaded, and the list as a CSV file."""

from engine.job.job import Job
from engine.stock import stock_of
from engine.takeoff import TakeoffRow
from engine.walk import Walk


def delivery_rows(job: Job, walk: Walk) -> dict[str, str]:
    """Stock ids that can come in, those the truck lacks first, each with what is known of it in words."""
    rows = {row.stock: row for row in walk.takeoff.rows}
    stock = stock_of(job.stock)
    ordered = sorted(stock, key=lambda name: 0 if name in rows and rows[name].short else 1 if name in rows else 2)
    return {name: f"{stock[name].name or name}. {_known(rows[name]) if name in rows else 'This fence needs none.'}" for name in ordered}


def _known(row: TakeoffRow) -> str:
    """`8 packs needed, 5 loaded, 1 delivered, 2 short.`"""
    loaded = "not counted" if row.loaded is None else f"{row.loaded} loaded"
    delivered = f", {row.delivered} delivered" if row.delivered else ""
    short = f", {row.short} short" if row.short else ""
    return f"{row.packs} pack{'' if row.packs == 1 else 's'} needed, {loaded}{delivered}{short}."
