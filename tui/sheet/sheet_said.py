"""What the sheet tells the screen it stands on."""

from textual.message import Message

from engine.checklist import ChecklistLine
from tui.sheet.cell_typing import Given


class Reached(Message):
    """The cursor is in another cell, or what is typed there changed."""


class Started(Message):
    """A digit was typed in a cell that is read; an empty one beside it, or there the Enter after a number."""

    def __init__(self, text: str, *, entered: bool = False) -> None:
        super().__init__()
        self.text, self.entered = text, entered


class Read(Message):
    """A reading was typed and Enter is to keep it."""

    def __init__(self, line: ChecklistLine, given: Given) -> None:
        super().__init__()
        self.line, self.given = line, given


class Ended(Message):
    """Down was pressed on the last row."""


class Entered(Message):
    """Enter, or a click on the chosen cell."""

    def __init__(self, *, clicked: bool) -> None:
        super().__init__()
        self.clicked = clicked
