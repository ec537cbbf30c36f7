"""Timing and how a timing is told: always beside something measured in the same run, so that machines can be compared."""

from collections.abc import Callable
from dataclasses import dataclass
from statistics import median
from time import perf_counter


@dataclass(frozen=True)
class Told:
    """One measurement: what, how much in its unit, and the same unit of what it is measured against."""

    what: str
    value: float
    unit: str
    against: str
    base: float

    def __str__(self) -> str:
        ratio = f"{self.value / self.base:8.2f}" if self.base else "       -"
        return f"  {self.what:<52}{self.value:9.1f} {self.unit:<3}{ratio} x {self.against} ({self.base:.1f} {self.unit})"


def median_ms(act: Callable[[], object], times: int = 7, before: Callable[[], object] = lambda: None) -> float:
    """Median time of an act in milliseconds; `before` runs ahead of each and isn't timed."""
    taken = []
    for _ in range(times):
        before()
        start = perf_counter()
        act()
        taken.append((perf_counter() - start) * 1000)
    return median(taken)


def yardstick_ms() -> float:
    """What a plain loop of 200,000 steps takes on this machine; a walk is told in these."""
    return median_ms(lambda: sum(step * step % 7 for step in range(200_000)))
