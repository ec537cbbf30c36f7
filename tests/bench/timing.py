"""Timing and how a timing is told: always beside something measured in the same run, so that machines can be compared."""

from collections.abc import Callable
from dataclasses import dataclass
from time import perf_counter

FEWEST = 3
LONG_MS = 600.0


@dataclass(frozen=True)
class Told:
    """One measurement: what, how much in its unit, and how much what it is measured against took (0: nothing)."""

    what: str
    value: float
    unit: str
    against: str
    base: float

    def __str__(self) -> str:
        told = f"  {self.what:<58}{self.value:9.1f} {self.unit}"
        return f"{told}{self.value / self.base:8.3g} x {self.against} ({self.base:.1f} {self.unit})" if self.base else told


def best_ms(act: Callable[[], object], times: int = 7, before: Callable[[], object] = lambda: None) -> float:
    """Least time of an act in milliseconds, the one other programs disturbed least; `before` runs ahead of each and isn't timed. Of what
    takes long three times are enough: it is disturbed in each."""
    taken: list[float] = []
    for _ in range(times):
        if len(taken) >= FEWEST and sum(taken) > LONG_MS:
            break
        before()
        start = perf_counter()
        act()
        taken.append((perf_counter() - start) * 1000)
    return min(taken)


def yardstick_ms() -> float:
    """What a plain loop of 200,000 steps takes on this machine; a walk is told in these."""
    return best_ms(lambda: sum(step * step % 7 for step in range(200_000)))
