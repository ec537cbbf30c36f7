"""Take-off: everything the fence needs, in packs, against what the truck carries."""

from dataclasses import dataclass


@dataclass(frozen=True)
class TakeoffRow:
    """One stock row: `needed` in `unit` (spare included for loose pieces), packs to load, packs loaded, and what is short.

    `used` counts what ticked work has used, in the same unit.
    """

    stock: str
    name: str
    unit: str
    needed: float
    spare: float
    per_pack: float
    packs: int
    loaded: int | None
    short: int
    used: float
    cost: float | None


@dataclass(frozen=True)
class Takeoff:
    """All rows in the order a truck is loaded."""

    rows: tuple[TakeoffRow, ...]
