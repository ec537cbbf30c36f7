"""A place on the screen that several panes share: a heading, and below it the one that is shown."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import Container
from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Static

from engine.stages.punch.closing_list import Jump
from tui.base.told_once import tell_once


class GoTo(Message):
    """From a pane to a place in a stage."""

    def __init__(self, place: Jump) -> None:
        super().__init__()
        self.place = place


class SharedPlace(Container):
    """Makes its panes by the subclass, all with the place itself: a pane that is made as it is shown takes a frame more."""

    NAMES: ClassVar[tuple[str, ...]]

    def __init__(self, id: str, heading: str) -> None:
        super().__init__(id=id)
        self.heading = Static(id=heading, markup=False)
        self.panes = {name: self.make(name).add_class("-pane") for name in self.NAMES}

    def compose(self) -> ComposeResult:
        yield self.heading
        yield from self.panes.values()

    def head(self, words: Content) -> None:
        """Other words in the heading, or the same with another one marked."""
        tell_once(self.heading, words, layout=False)

    def make(self, name: str) -> Widget:
        """A new pane of this name."""
        raise NotImplementedError

    def pane(self, name: str) -> Widget:
        """The pane of this name, which is the one shown from now on."""
        for other, pane in self.panes.items():
            pane.display = other == name
        return self.panes[name]
