"""A page that reads a folder of jobs in a thread of its own, tells how far it is, and then shows what it found."""

from threading import Thread
from time import monotonic
from typing import ClassVar, Generic, TypeVar

from textual import on
from textual.app import ComposeResult
from textual.message import Message

from engine.job.errors import JobError
from tui.boxes.pages import ShowScreen
from tui.stages.figure_tables import summed
from tui.widgets.figures import FiguresPane
from tui.working.job_in_hand import JobInHand

F = TypeVar("F")
TELL_S = 0.2


class FolderRead(Message):
    """How far the folder is read, of how many jobs; what was found once it is, or why it can't be."""

    def __init__(self, number: int, of: int, found: object = None, error: str = "") -> None:
        super().__init__()
        self.number, self.of, self.found, self.error = number, of, found, error


class FolderPage(ShowScreen, Generic[F]):
    """What is read and how it is shown is the subclass's. Whoever leaves it ends the reading."""

    TABLE: ClassVar[str]
    """The head under which it says how far it is."""

    def __init__(self, title: str, begins: str = "Reading the jobs ...", hand: JobInHand | None = None) -> None:
        super().__init__(title, hand)
        self._begins = begins
        self._reading = self._left = False
        self._told = monotonic()

    def read(self) -> F | None:
        """What the folder holds, None where nobody looks any more; asked in a thread, which tells `go_on` how far it is."""
        raise NotImplementedError

    def came(self, found: F) -> None:
        """Show what was found."""
        raise NotImplementedError

    @property
    def at_rest(self) -> bool:
        """Whether the whole folder was read."""
        return not self._reading and super().at_rest

    def body(self) -> ComposeResult:
        yield FiguresPane((summed(self.TABLE, self._begins),))

    def on_mount(self) -> None:
        self.query_one(FiguresPane).focus()
        self.begin()

    def begin(self) -> None:
        """Read the folder, the first time or anew, unless it is being read."""
        if self._reading:
            return
        self._reading = True
        Thread(target=self._read, name="folder", daemon=True).start()

    def _read(self) -> None:
        """In a thread."""
        try:
            found = self.read()
            if found is not None and not self._left:
                self.post_message(FolderRead(0, 0, found))
        except JobError as error:
            self.post_message(FolderRead(0, 0, error=str(error)))

    def go_on(self, number: int, of: int) -> bool:
        """How far it is, now and then; whether anybody still looks."""
        if monotonic() - self._told > TELL_S:
            self._told = monotonic()
            self.post_message(FolderRead(number, of))
        return not self._left

    def on_unmount(self) -> None:
        """What is left of the folder can wait."""
        self._left = True

    @on(FolderRead)
    def _came(self, event: FolderRead) -> None:
        self._reading = event.found is None and not event.error
        if event.found is not None:
            self.came(event.found)  # type: ignore[arg-type]  # as `read` gave it
        else:
            says = event.error or f"Reading job {event.number} of {event.of} ..."
            self.query_one(FiguresPane).show((summed(self.TABLE, says),))
