"""A picture alone on the screen, without a border, and what it tells was chosen."""

from typing import Generic, TypeVar

from textual.app import App, ComposeResult

from tui.base.theme import install
from tui.widgets.chosen import Chosen
from tui.widgets.picture_view import DrawingView

View = TypeVar("View", bound=DrawingView)


class OneView(App[None], Generic[View]):
    """The picture under test in an app of its own; `heard` holds what was chosen in it."""

    CSS = "DrawingView { border: none; }"

    def __init__(self, view: View) -> None:
        super().__init__()
        self.heard: list[str] = []
        self.view = view

    def compose(self) -> ComposeResult:
        yield self.view

    def on_mount(self) -> None:
        install(self)

    def on_chosen(self, message: Chosen) -> None:
        self.heard.append(message.id)
