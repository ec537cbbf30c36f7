"""A place on the screen that several panes share: a heading, and below it the one that is shown."""

from textual.app import ComposeResult
from textual.containers import Container
from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Static

from engine.stages.punch.closing_list import Jump


class GoTo(Message):
    """From a pane to a place in a stage."""

    def __init__(self, place: Jump) -> None:
        super().__init__()
        self.place = place


class SharedPlace(Container):
    """Panes are made when they are first shown, by the subclass."""

    def __init__(self, id: str, heading: str) -> None:
        super().__init__(id=id)
        self.heading = Static(id=heading, markup=False)
        self.panes: dict[str, Widget] = {}
        self._stands = False

    def compose(self) -> ComposeResult:
        self._stands = True
        yield self.heading
        yield from self.panes.values()

    def head(self, words: Content) -> None:
        """Other words in the heading."""
        if self.heading.content != words:
            self.heading.update(words, layout=False)

    def make(self, name: str) -> Widget:
        """A new pane of this name."""
        raise NotImplementedError

    def pane(self, name: str) -> Widget:
        """The pane of this name, which is the one shown from now on."""
        if name not in self.panes:
            self.panes[name] = self.make(name).add_class("-pane")
            if self._stands:
                self.mount(self.panes[name])
        for other, pane in self.panes.items():
            pane.set_class(other == name, "-shown")
        return self.panes[name]
