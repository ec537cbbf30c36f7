"""Who is working: one of the crew, or a name typed."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input, Static

from tui.boxes.dialog import Dialog
from tui.widgets.pick_input import PickInput

MOST_LETTERS = 80


class WhoDialog(Dialog[str]):
    """A name for everything ticked and logged from now on."""

    AUTO_FOCUS: ClassVar = ""
    TITLE = "Who is working"
    HINT: ClassVar[str] = "Down picks one of the crew, or type a name. Enter takes it. Esc leaves."

    def __init__(self, crew: tuple[str, ...], name: str) -> None:
        super().__init__()
        self.crew, self.name_before = crew, name

    def parts(self) -> ComposeResult:
        says = "Goes beside every tick and entry, kept for this laptop. w changes it."
        yield Static(Content(f"{says}\nCrew: {', '.join(self.crew)}" if self.crew else says), classes="says")
        yield PickInput(options=self.crew, free=True, placeholder="name", id="who")

    def on_mount(self) -> None:
        box = self.query_one(PickInput)
        box.value = self.name_before
        box.max_length = MOST_LETTERS
        box.focus()

    @on(Input.Submitted)
    def _named(self) -> None:
        box = self.query_one(PickInput)
        name = " ".join((box.picked or box.value).split())
        if any(letter.isalpha() for letter in name):
            self.dismiss(name)
        else:
            with self.prevent(Input.Changed):  # that would take back what is said
                box.value = ""  # a reading, typed before this box was seen
            self.wrong("who", "A name is wanted here, with letters, or leave with Esc.")
