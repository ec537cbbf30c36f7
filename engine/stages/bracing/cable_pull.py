"""The cable and its lock as the stock gives them, and how hard a loop pulls on the coldest and the hottest day."""

from collections.abc import Mapping

from engine.calc.frozen import dataclass
from engine.calc.limits import OutOfRange
from engine.calc.remember import remembered
from engine.calc.statics.elastic_cable import change_of_state_lbf, ea_lbf, rope_area_in2
from engine.job.model.rules import CableRules
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


@dataclass(frozen=True)
class Weather:
    """Tension of a loop on the coldest and the hottest day, lb; 0 on a day that leaves it slack."""

    cold_lbf: float
    hot_lbf: float


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


@remembered
def weather(cable: Cable, rules: CableRules, ruling_ft: float) -> Weather:
    """Tension in the cold and in the heat of a loop pulled to its target on the day of setting.

    The cable slides freely at the eyes, so that one tension holds all along; the posts don't give.
    """
    return Weather(_warmed_lbf(cable, rules, ruling_ft, rules.cold_F), _warmed_lbf(cable, rules, ruling_ft, rules.hot_F))


def _warmed_lbf(cable: Cable, rules: CableRules, ruling_ft: float, day_F: float) -> float:
    try:
        return change_of_state_lbf(rules.tension_lbf, ruling_ft, cable.weight_plf, day_F - rules.set_F, cable.ea_lbf)
    except OutOfRange:
        return 0.0
