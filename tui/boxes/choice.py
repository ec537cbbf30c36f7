"""Dialogs that ask for one choice or one line of words."""

from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.events import Key
from textual.widgets import Input, OptionList, Static

from tui.boxes.dialog import Dialog
from tui.widgets.rows import Row, Rows


class Choice(Dialog[str]):
    """One of several; gives its id. A letter in front of a row picks it at once."""

    HINT: ClassVar[str] = "Up and down, Enter picks. Esc leaves."

    def __init__(self, title: str, rows: Sequence[Row[str]], says: str = "", keys: dict[str, str] | None = None) -> None:
        super().__init__()
        self._title, self._rows, self._says, self._keys = title, tuple(rows), says, keys or {}

    def title_words(self) -> str:
        return self._title

    def parts(self) -> ComposeResult:
        if self._says:
            yield Static(Content(self._says), classes="says")
        yield Rows(self._rows, id="choices", empty="There is nothing to choose from.")

    def on_mount(self) -> None:
        self.query_one(Rows).focus()

    def on_key(self, event: Key) -> None:
        if event.key in self._keys:
            event.stop()
            self.dismiss(self._keys[event.key])

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(event.option.id)


class Ask(Dialog[str]):
    """One line of words."""

    def __init__(self, title: str, says: str = "", placeholder: str = "", value: str = "") -> None:
        super().__init__()
        self._title, self._says, self._placeholder, self._value = title, says, placeholder, value

    def title_words(self) -> str:
        return self._title

    def parts(self) -> ComposeResult:
        if self._says:
            yield Static(Content(self._says), classes="says")
        yield Input(self._value, placeholder=self._placeholder)

    @on(Input.Submitted)
    def _typed(self, event: Input.Submitted) -> None:
        if event.value.strip():
            self.dismiss(event.value.strip())
        else:
            self.problem("Type some words first, or leave with Esc.")


class Find(Ask):
    """Words to look for: nothing is lost with them."""

    ASKS: ClassVar[bool] = False
