"""Why there is no legal fresh layout, in a box."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from tui.boxes.dialog import Dialog


class NoLayoutDialog(Dialog[None]):
    """Why there is no legal fresh layout."""

    TITLE_WORDS: ClassVar[str] = "No fresh layout"
    HINT: ClassVar[str] = "Esc goes back; the plan stays as it is. Move a post (m), or give that stretch a new way."

    def __init__(self, why: tuple[str, ...]) -> None:
        super().__init__()
        self.why = why

    def parts(self) -> ComposeResult:
        for sentence in self.why:
            yield Static(Content(sentence), classes="says")
