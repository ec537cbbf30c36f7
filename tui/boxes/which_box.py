"""Both laptops changed one fact: what each says, one question at a time, and which to keep."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.events import Key
from textual.widgets import OptionList, Static

from engine.job.merge.asked import Conflict, Side
from tui.boxes.dialog import Dialog
from tui.widgets.rows import Row, Rows

NO_ANSWER = "Esc goes back. What you changed is kept on this laptop; Ctrl+C twice closes the job."
KEYS: dict[str, Side] = {"t": "ours", "o": "theirs"}


class WhichDialog(Dialog[Side]):
    """One question of several. Leaving answers none of them."""

    HINT: ClassVar[str] = "Up and Down, Enter keeps it; or its letter. Esc leaves all as it is, not saved yet: Ctrl+S asks again."

    def __init__(self, asked: Conflict, number: int, of: int) -> None:
        super().__init__()
        self._asked, self._number, self._of = asked, number, of

    def _hint(self, box: str) -> str:
        return super()._hint(box) if self._asked.ours or self._asked.theirs else NO_ANSWER

    def title_words(self) -> str:
        count = f", question {self._number} of {self._of}" if self._of > 1 else ""
        return f"Both laptops changed this{count}"

    def parts(self) -> ComposeResult:
        asked = self._asked
        yield Static(Content(asked.why or f"{asked.about}. Which is right?"), classes="says")
        if asked.ours or asked.theirs:
            yield Rows(_rows(asked), id="sides")

    def on_mount(self) -> None:
        if rows := self.query(Rows):
            rows.first().focus()

    def on_key(self, event: Key) -> None:
        side = KEYS.get(event.key)
        if side is not None and (self._asked.ours if side == "ours" else self._asked.theirs):
            event.stop()
            self.dismiss(side)

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        self.dismiss("ours" if event.option.id == "ours" else "theirs")


def _rows(asked: Conflict) -> list[Row[Side]]:
    rows: list[Row[Side]] = []
    if asked.ours:
        rows.append(("ours", Content(f"t  this laptop: {asked.ours}" if asked.theirs else f"t  {asked.ours}")))
    if asked.theirs:
        rows.append(("theirs", Content(f"o  the other one: {asked.theirs}")))
    return rows
