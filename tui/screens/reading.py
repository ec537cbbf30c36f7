"""Asks for a reading: says at once whether it passes; one out of range is kept only with a reason."""

from dataclasses import dataclass
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input, Static

from engine.checklist import Item, Reading
from tui.screens.dialog import Dialog
from tui.widgets.length_input import LengthInput, Wanted

IN_PER_FT = 12.0


@dataclass(frozen=True)
class Given:
    """A reading in its item's unit, and the reason where it is out of range."""

    value: float
    reason: str


class ReadingDialog(Dialog[Given]):
    """One length in trade notation; Enter keeps it."""

    HINT: ClassVar[str] = "Enter keeps it. Esc leaves it open."

    def __init__(self, item: Item, reading: Reading, means: str = "") -> None:
        super().__init__()
        self.item, self.reading, self.means = item, reading, means

    def title_words(self) -> str:
        """The item asked about."""
        return self.item.says

    def parts(self) -> ComposeResult:
        """The input, and a line for the reason."""
        yield LengthInput("Reading", wanted_of(self.reading), bare=self.reading.unit)
        if self.means:
            yield Static(Content(self.means), classes="hint")
        reason = Input(placeholder="Out of range. Type why it stays so, then Enter", id="reason")
        reason.display = False
        yield reason

    def on_mount(self) -> None:
        """Ready to type."""
        self.query_one(LengthInput).focus()

    @on(LengthInput.Submitted)
    def _typed(self, event: LengthInput.Submitted) -> None:
        if event.ok:
            self._keep(event.value_ft, "")
            return
        reason = self.query_one("#reason", Input)
        reason.display = True
        reason.focus()

    @on(Input.Submitted, "#reason")
    def _reasoned(self, event: Input.Submitted) -> None:
        value = self.query_one(LengthInput).reading.value_ft
        if value is not None and event.value.strip():
            self._keep(value, event.value.strip())

    def _keep(self, value_ft: float, reason: str) -> None:
        self.dismiss(Given(value_ft if self.reading.unit == "ft" else value_ft * IN_PER_FT, reason))


def wanted_of(reading: Reading) -> Wanted:
    """An item's range as the input wants it, in feet."""
    to_ft = 1.0 if reading.unit == "ft" else 1.0 / IN_PER_FT
    target, least, most = (None if value is None else value * to_ft for value in (reading.wanted, reading.low, reading.high))
    return Wanted(target, least, most)
