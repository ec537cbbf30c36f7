"""Asks for a reading: says at once whether it passes; one out of range is kept only with a reason."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from engine.calc.frozen import dataclass
from engine.checklist import Item, WantedReading
from tui.boxes.dialog import Dialog
from tui.widgets.length_input import LengthInput


@dataclass(frozen=True)
class Given:
    """A reading in its item's unit, and the reason where it is out of range."""

    value: float
    reason: str


class ReadingDialog(Dialog[Given]):
    """One length in trade notation; Enter keeps it."""

    HINT: ClassVar[str] = "Enter keeps it. Esc leaves it open."

    def __init__(self, item: Item, reading: WantedReading) -> None:
        super().__init__()
        self.item, self.reading = item, reading

    def title_words(self) -> str:
        """The item asked about."""
        return self.item.says

    def parts(self) -> ComposeResult:
        """The input, and a line for the reason."""
        yield LengthInput("Reading", self.reading, tells=self.item.tells)
        reason = Input(placeholder="Out of range. Type why it stays so, then Enter", id="reason")
        reason.display = False
        yield reason

    def on_mount(self) -> None:
        """Ready to type."""
        self.query_one(LengthInput).focus()

    @on(LengthInput.Submitted)
    def _typed(self, event: LengthInput.Submitted) -> None:
        if not self.reading.wants_reason(event.value):
            self.dismiss(Given(event.value, ""))
            return
        reason = self.query_one("#reason", Input)
        reason.display = True
        reason.focus()

    @on(Input.Submitted, "#reason")
    def _reasoned(self, event: Input.Submitted) -> None:
        length = self.query_one(LengthInput)
        value, why = length.judged.value, event.value.strip()
        if value is None:
            length.focus()
            length.say_unread()
        elif not why and self.reading.wants_reason(value):
            self.problem("It is out of range: say why it stays so.")
        else:
            self.dismiss(Given(value, why))
