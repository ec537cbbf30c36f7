"""Loops and bays as their cables feel them: by their lengths alone, alike wherever they lie on their lines.

A new way shifts the stations of all that comes after; what hangs there is found again by what it is without them.
"""

from dataclasses import replace
from functools import cached_property

from engine.calc.frozen import dataclass
from engine.stages.bracing.strung_loops import StrungLoop
from engine.stages.bracing.what_pulls import LoopStates
from engine.stages.cables.cable_states import longest
from engine.stages.layout.stage import Bay


@dataclass(frozen=True)
class HungLoop:
    """A loop's bays without their stations, in order, the one span that changes as they do, and what it pulls in every state."""

    id: str
    bays: tuple[Bay, ...]
    ruling_ft: float
    states: LoopStates

    @cached_property
    def longest(self) -> Bay:
        """The bay that its pull is read in."""
        return longest(self.bays)


def hung(strung: StrungLoop) -> HungLoop:
    """A loop without stations."""
    return HungLoop(strung.id, tuple(map(anywhere, strung.bays)), strung.ruling_ft, strung.states)


def anywhere(bay: Bay) -> Bay:
    """A bay without its stations."""
    return replace(bay, start_ft=0.0, end_ft=0.0)


def row_of(strung: StrungLoop) -> tuple[str, ...]:
    """A loop's supports, in order."""
    return (strung.bays[0].from_id, *[bay.to_id for bay in strung.bays])
