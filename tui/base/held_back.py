"""Screens that draw nothing while a batch of changes holds painting back."""

from typing import TypeVar

from textual.screen import Screen

T = TypeVar("T")
FRAME_S = 1 / 60


class HeldBack(Screen[T]):
    """The library draws the whole screen amid a batch, and lets what it drew fall; this one draws it once, when the batch is over."""

    _drawn = False

    def _compositor_refresh(self) -> None:
        if self.app._batch_count:
            self.set_timer(FRAME_S, self._compositor_refresh)
            return
        super()._compositor_refresh()
        if not self._drawn and self.is_current:
            self._drawn = True
            self.call_next(self.first_drawn)

    def first_drawn(self) -> None:
        """What may follow once the screen can be read."""
