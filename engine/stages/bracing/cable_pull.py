"""The cable and its lock as the stock gives them."""

from collections.abc import Mapping

from engine.calc.frozen import dataclass
from engine.calc.remember import remembered_of
from engine.calc.statics.elastic_cable import ea_lbf, rope_area_in2
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import first_of


@dataclass(frozen=True)
class Cable:
    """What the stock says of the cable and its lock; `lock_lbf` and `spool_ft` None where it doesn't."""

    name: str
    weight_plf: float
    strength_lbf: float
    ea_lbf: float
    lock_lbf: float | None
    spool_ft: float | None

    @property
    def weakest_lbf(self) -> float:
        """Strength of the weaker of cable and lock."""
        return self.strength_lbf if self.lock_lbf is None else min(self.strength_lbf, self.lock_lbf)


@remembered_of
def cable_of(name: str, stock: Mapping[str, StockRow]) -> Cable | None:
    """The cable of a stock id with the first lock of the stock, or None where its row lacks what the arithmetic needs."""
    row = stock.get(name)
    if row is None or row.diameter_in is None or row.construction is None or row.modulus_psi is None:
        return None
    if row.weight_plf is None or row.strength_lbf is None:
        return None
    lock = first_of(stock, "lock")
    stiffness = ea_lbf(rope_area_in2(row.diameter_in, row.construction), row.modulus_psi)
    return Cable(name, row.weight_plf, row.strength_lbf, stiffness, stock[lock].strength_lbf if lock else None, row.length_ft)
