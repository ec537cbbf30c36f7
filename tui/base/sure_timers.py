"""Timers that go off once: late rather than never."""

from typing import Any

from textual.message_pump import MessagePump
from textual.timer import Timer


class SureTimers(MessagePump):
    """The library leaves out a timer whose time is over before it is first looked at, as it would a beat of many. A machine at its limit
    stands still for so long, and what waits for that timer, a box to be drawn or a terminal's new size, would never be."""

    def set_timer(self, *given: Any, **named: Any) -> Timer:
        """As the library's, but for that."""
        timer = super().set_timer(*given, **named)
        timer._skip = False
        return timer
