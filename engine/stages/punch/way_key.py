"""The key of a way out as a value: what it is of, and which end or side; its text is what a signed record holds."""

from typing import Literal, NamedTuple

WayPlace = Literal[
    "under_wire", "under_deck", "under_gate", "beside_gate", "open_yard", "free_end", "at_wall", "low_fence", "low_gate", "jump_off"
]  # fmt: skip


class WayKey(NamedTuple):
    """A way out by its place: `of` is a bay, deck, gate, yard or line, `end` that of a line, `at` what it meets or what a dog stands on.
    Its text stands beside the reason why it stays open, so none of these words may change. `nth` tells apart those alike in all else."""

    place: WayPlace
    of: str
    end: str = ""
    at: str = ""
    nth: int = 1

    def __str__(self) -> str:
        more = (f"{self.nth}",) if self.nth > 1 else ()
        return ":".join(("way_out", self.place, self.of, *(part for part in (self.end, self.at) if part), *more))
