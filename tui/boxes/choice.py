"""Dialogs that ask for one choice or one line of words."""

from collections.abc import Callable, Sequence
from time import monotonic
from typing import ClassVar, Generic, NamedTuple, TypeVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.events import Key
from textual.widgets import Input, OptionList, Static

from tui.boxes.dialog import Dialog
from tui.widgets.line_input import LineInput
from tui.widgets.rows import Rows

K = TypeVar("K", bound=str)


class Answer(NamedTuple, Generic[K]):
    """One of several: what it gives, its words, and the letter that picks it at once, where it has one."""

    gives: K
    words: str
    letter: str = ""


RESTED_S = 0.7
"""So long (judgement) no key comes before one counts in a choice that came up by itself: what was typed for what it covers is no answer."""


class Choice(Dialog[K]):
    """One of several; gives what that answer gives. One that nobody called asks for a rest first."""

    HINT: ClassVar[str] = "Up and down, Enter picks. Esc leaves."

    def __init__(self, title: str, answers: Sequence[Answer[K]], says: str = "", *, uncalled: bool = False) -> None:
        super().__init__()
        self.title, self._answers, self._says = title, tuple(answers), says
        self._counts_from = monotonic() + RESTED_S * uncalled

    def parts(self) -> ComposeResult:
        if self._says:
            yield Static(Content(self._says), classes="says")
        rows = ((one.gives, Content(f"{one.letter}  {one.words}" if one.letter else one.words)) for one in self._answers)
        yield Rows(rows, id="choices", empty="There is nothing to choose from.")

    def on_mount(self) -> None:
        self.query(Rows).focus()

    def on_key(self, event: Key) -> None:
        self._amid_typing()
        for answer in self._answers:
            if answer.letter == event.key:
                event.stop()
                self.give(answer.gives)

    def _amid_typing(self) -> bool:
        """Whether a key came so soon that it was typed for something else; that is said, and the rest begins anew."""
        if monotonic() >= self._counts_from:
            return False
        self._counts_from = monotonic() + RESTED_S
        self.problem("This came up by itself while keys were typed: none of them was taken as an answer. Read it, then answer.")
        return True

    def give(self, result: K) -> None:
        if not self._amid_typing():
            super().give(result)

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        self.give(self._answers[event.option_index].gives)


class WhatOfReading(Choice[str]):
    """What is meant of one that stands; a digit gives itself: it begins what is read now, and may have been typed before that was seen."""

    def on_key(self, event: Key) -> None:
        if event.character is not None and event.character.isdigit():
            event.stop()
            self.give(event.character)


class Ask(Dialog[str]):
    """One line of words; where its thing may be called otherwise meanwhile the title is asked for again. `wrong` is what is in the way."""

    def __init__(
        self,
        title: str | Callable[[], str],
        says: str = "",
        placeholder: str = "",
        value: str = "",
        wrong: Callable[[], str] = str,
    ) -> None:
        super().__init__()
        self._titled = title if callable(title) else lambda: title
        self.title, self._says, self._placeholder, self._value, self._wrong = self._titled(), says, placeholder, value, wrong

    def job_changed(self) -> None:
        """The thing it asks about may be called otherwise."""
        self.title = self._titled()
        self.query_one("Dialog > Vertical", Vertical).border_title = Content(self.title)

    def show_saved(self) -> None:
        """The disk is told of below it."""

    def parts(self) -> ComposeResult:
        if self._says:
            yield Static(Content(self._says), classes="says")
        yield LineInput(self._value, placeholder=self._placeholder, compact=True)

    @on(Input.Submitted)
    def _typed(self, event: Input.Submitted) -> None:
        if says := self._wrong() if event.value.strip() else "Type some words first, or leave with Esc.":
            self.problem(says)
        else:
            self.give(event.value.strip())


class Find(Ask):
    """Words to look for: nothing is lost with them."""

    HINT: ClassVar[str] = "Enter looks for them. Esc leaves."
    ASKS: ClassVar[bool] = False
