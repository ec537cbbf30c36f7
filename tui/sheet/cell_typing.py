"""A reading typed into a cell: what stands in it, what was understood, and the reason where it is out of range. Pure."""

from dataclasses import replace

from engine.calc.frozen import dataclass
from engine.checklist import ChecklistLine, WantedReading
from tui.sheet.reading_judged import Judged, judge

STARTS = "0123456789."
OF_A_NUMBER = f"{STARTS},/'\" "
"""What starts a reading without a word."""


@dataclass(frozen=True)
class Typing:
    """A reading on its way: its text, then, once that is out of range, the reason why it stays.

    `leaving` is set by the first Esc, `urged` by an Enter that there was nothing to keep for.
    """

    line: ChecklistLine
    text: str = ""
    reason: str | None = None
    leaving: bool = False
    urged: bool = False

    @property
    def asks(self) -> WantedReading:
        """What is wanted."""
        assert self.line.item.reading is not None
        return self.line.item.reading

    @property
    def judged(self) -> Judged:
        """What was understood, and whether it passes."""
        return judge(self.text, self.asks)

    @property
    def holds(self) -> bool:
        """Whether something would be lost."""
        return bool(self.text.strip() or (self.reason or "").strip())

    def typed(self, character: str) -> "Typing":
        """A letter more."""
        if self.reason is None:
            return replace(self, text=self.text + character, leaving=False, urged=False)
        return replace(self, reason=self.reason + character, leaving=False, urged=False)

    def back(self) -> "Typing":
        """A letter less; before the first of a reason, back in the reading."""
        if self.reason:
            return replace(self, reason=self.reason[:-1], leaving=False, urged=False)
        return replace(self, text=self.text if self.reason is not None else self.text[:-1], reason=None, leaving=False, urged=False)

    def left(self) -> "Typing | None":
        """What Esc makes of it: nothing where nothing was typed, or at the second Esc."""
        return None if self.leaving or not self.holds else replace(self, leaving=True)

    def entered(self) -> "Typing | Given":
        """What Enter makes of it: a reading, or still on its way where it can't be read or wants a reason."""
        value = self.judged.value
        if value is None:
            return replace(self, urged=True)
        if self.asks.passes(value):
            return Given(value, "")
        if self.reason is None:
            return replace(self, reason="", urged=False)
        return Given(value, self.reason.strip()) if self.reason.strip() else replace(self, urged=True)


@dataclass(frozen=True)
class Given:
    """A reading in its item's unit, and the reason where it is out of range."""

    value: float
    reason: str
