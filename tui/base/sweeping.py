"""When what is thrown away is swept up: in a moment without keys. Amid a key a sweep over all there is takes several frames.

The library's own sweeps, one every 700 new things, cost every key a millisecond in ten, and now and then 30 to 100 at once.
"""

import gc
from time import monotonic

MOST_NEW = 150_000
"""So many new things are swept even amid a key: ten boxes opened, or a hundred items ticked, without a moment's rest."""
FEW_NEW = 5_000
"""So many are worth a sweep of what is new once the hand rests."""
RESTED_S = 0.5
LONG_RESTED_S = 5.0
WHOLE_AFTER = 10
"""After so many sweeps of what is new all that was made since the start is swept, where the hand rests long."""


class Sweeping:
    """Knows when the last key came, and sweeps once there was none for a while."""

    def __init__(self) -> None:
        self._touched = monotonic()

    def begin(self) -> None:
        """What stands now stays, and is never looked at again."""
        gc.freeze()
        gc.set_threshold(MOST_NEW, *gc.get_threshold()[1:])
        gc.enable()

    def touched(self) -> None:
        """A key came, or the mouse."""
        self._touched = monotonic()

    @property
    def rests(self) -> bool:
        """Whether there was no key for a while."""
        return monotonic() - self._touched >= RESTED_S

    def sweep_at_rest(self) -> None:
        """Every moment: what is worth it, where nobody waits."""
        rested_s, (new, _, sweeps) = monotonic() - self._touched, gc.get_count()
        if rested_s >= LONG_RESTED_S and sweeps >= WHOLE_AFTER:
            gc.collect()
        elif rested_s >= RESTED_S and new >= FEW_NEW:
            gc.collect(1)
