"""What every key's work on a job rests on: the working copy, one edit at a time, undo and redo, and what came in meanwhile."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual import work
from textual.content import Content
from textual.screen import Screen

from engine.findings import StageName
from engine.job.errors import JobError
from tui import working
from tui.screens.choice import Choice

if TYPE_CHECKING:
    from tui.working import Edit, Working


class Editing(Screen[None]):
    """A screen on one working copy; what it shows is the subclass's."""

    working: "Working"
    stage: StageName
    page: str
    picture: str
    chosen: str | None

    def show(self) -> None:
        """Show the working copy anew."""
        raise NotImplementedError

    def edit(self, words: str, edit: "Edit") -> bool:
        """One edit, on disk before the screen says so; says why where it can't be made."""
        if self.working.read_only:
            self.notify(self.working.read_only, severity="warning")
            return False
        refused = self.attempt(words, edit)
        if refused is not None:
            self.notify(str(refused), severity="warning", markup=False)
        return refused is None

    def attempt(self, words: str, edit: "Edit") -> JobError | None:
        """One edit, on disk before the screen says so, or why it can't be made."""
        try:
            self.working = working.edited(self.working, words, edit)
        except JobError as error:
            return error
        self.show()
        self._tell()
        return None

    def _tell(self) -> None:
        """What came in from another laptop; where both changed the same fact, which to keep."""
        for words in self.working.news:
            self.notify(words, markup=False, timeout=10)
        if self.working.conflicts:
            self._ask_which()

    @work
    async def _ask_which(self) -> None:
        says = "\n".join(conflict.says for conflict in self.working.conflicts[:8])
        rows = [("ours", Content("Keep what this laptop says")), ("theirs", Content("Keep what the other one says"))]
        keep = await self.app.push_screen_wait(Choice("Both laptops changed this", rows, says))
        if keep is not None:
            self.working = working.settled(self.working, "ours" if keep == "ours" else "theirs")
            self.show()
            self._tell()

    def action_undo(self) -> None:
        """Take back the last change."""
        self._replay(working.undone, "Taken back", "There is nothing to take back.")

    def action_redo(self) -> None:
        """Do it again."""
        self._replay(working.redone, "Done again", "There is nothing to do again.")

    def _replay(self, how: Callable[["Working"], tuple["Working", str]], done: str, nothing: str) -> None:
        self.working, words = how(self.working)
        self.notify(f"{done}: {words}" if words else nothing, markup=False)
        self.show()
        self._tell()
