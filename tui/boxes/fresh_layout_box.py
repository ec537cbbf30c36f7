"""A fresh layout round what is driven: what it changes, shown before it is accepted."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from engine.change.consequences import Consequences
from tui.base.commands import Command, bindings
from tui.boxes.dialog import LEAVE, Dialog
from tui.boxes.move import changes_figures, summary
from tui.widgets.figures import FiguresPane

COMMANDS = (LEAVE, Command("take", "enter", "accept", "Accept the fresh layout as the plan.", "Fresh layout", first=True))


class FreshLayoutDialog(Dialog[bool]):
    """Who stays, moves, comes and goes; the findings that appear and go; every figure that changes."""

    BINDINGS: ClassVar = bindings(COMMANDS[1:])
    TITLE_WORDS: ClassVar[str] = "A fresh layout around what stands"
    HINT: ClassVar[str] = "Enter accepts it as the plan. Arrows look through what changes. Esc leaves everything as it is."
    TALL: ClassVar[bool] = True
    DEFAULT_CSS = """
    FreshLayoutDialog #summary { height: auto; margin: 0 0 1 0; }
    FreshLayoutDialog FiguresPane { height: auto; max-height: 100%; }
    """

    def __init__(self, says: str, found: Consequences) -> None:
        super().__init__()
        self.says, self.found = says, found

    def parts(self) -> ComposeResult:
        """The summary, and what changes."""
        yield Static(summary(self.says, self.found), id="summary", markup=False)
        yield FiguresPane((changes_figures(self.found),), id="changes")

    def on_mount(self) -> None:
        """Ready to look through what changes."""
        self.query("FiguresTable").first().focus()

    def action_take(self) -> None:
        """Accept."""
        self.dismiss(True)


class NoLayoutDialog(Dialog[None]):
    """Why there is no legal fresh layout."""

    TITLE_WORDS: ClassVar[str] = "No fresh layout"
    HINT: ClassVar[str] = "Esc goes back; the plan stays as it is. Move a post (m), or give that stretch a new way."

    def __init__(self, why: tuple[str, ...]) -> None:
        super().__init__()
        self.why = why

    def parts(self) -> ComposeResult:
        """One sentence a stretch."""
        for sentence in self.why:
            yield Static(Content(sentence), classes="says")
