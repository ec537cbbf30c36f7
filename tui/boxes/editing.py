"""What every key's work on a job rests on: the working copy, one edit at a time, undo and redo, and what came in meanwhile."""

from collections.abc import Callable
from dataclasses import replace
from time import monotonic
from typing import TYPE_CHECKING

from textual import work
from textual.content import Content
from textual.message import Message

from engine.calc.dates import format_date
from engine.findings import StageName
from engine.job.errors import JobError
from engine.walk import walk
from tui.base.apart import apart
from tui.base.held_back import HeldBack
from tui.working import working_copy as working
from tui.working.saver import Saver

if TYPE_CHECKING:
    from engine.job.merge.unsaved import Unsaved
    from tui.working.working_copy import Edit, Working


MOST_TOLD = 3
"""How many lines what came in takes; where more came, the last says how much."""
TOLD_S = 10.0
"""How long it stands there."""

TOLD = ("obstacle", "move", "swap", "add", "drop", "reroute", "sleeve_left", "delivery", "note")
"""Kinds of log entry that are told once they stand, with the key that takes them back."""


class Landed(Message):
    """Something came back from the disk and waits to be taken in."""


def _ended(says: str) -> str:
    """A sentence with its stop: what people wrote may have none."""
    return says if says.endswith((".", "!", "?")) else f"{says}."


def news_words(news: tuple[str, ...]) -> str:
    """A line a sentence, as far as there is room."""
    if len(news) <= MOST_TOLD:
        return "\n".join(news)
    return "\n".join([*news[: MOST_TOLD - 1], f"And {len(news) - MOST_TOLD + 1} more."])


class Editing(HeldBack[None]):
    """A screen on one working copy, which its saver holds; what it shows is the subclass's."""

    stage: StageName
    page: str
    picture: str
    chosen: str | None
    leaving = False
    """Whether the crew has asked to leave and only the disk is waited for; who goes on working doesn't leave."""

    def __init__(self, saver: Saver) -> None:
        super().__init__()
        self.saver = saver
        self._asked: object = ()
        self._told: tuple[str, ...] = ()
        self._told_until = 0.0

    @property
    def working(self) -> "Working":
        """The job in hand."""
        return self.saver.working

    def show(self) -> None:
        """Show the working copy anew."""
        raise NotImplementedError

    def show_saved(self) -> None:
        """Show anew how far the working copy is on its way to the disk."""
        raise NotImplementedError

    def edit(self, words: str, edit: "Edit") -> bool:
        """One edit, shown at once and sent to the disk; says why where it can't be made."""
        from engine.job.model.words.log_sentences import sentence

        if self.working.read_only:
            self.notify(self.working.read_only, severity="warning", markup=False)
            return False
        logged = len(self.working.job.log)
        refused = self.attempt(words, edit)
        if refused is not None:
            self.notify(str(refused), severity="warning", markup=False)
        elif told := " ".join(_ended(sentence(entry)) for entry in self.working.job.log[logged:] if entry.kind in TOLD):
            self.notify(f"{told} u takes that back.", markup=False)
        return refused is None

    def attempt(self, words: str, edit: "Edit") -> JobError | None:
        """One edit, shown at once and sent to the disk, or why it can't be made."""
        try:
            edited = working.edited(self.working, words, edit)
        except JobError as error:
            return error
        self.leaving = False
        self.saver.change(edited)
        self.show()
        return None

    def refusal(self, edit: "Edit") -> JobError | None:
        """Why an edit can't be made to the job in hand; nothing is changed."""
        try:
            edit(self.working.job, self.working.clock(), self.working.by)
        except JobError as error:
            return error
        return None

    async def shown_first(self, title: str, words: str, edit: "Edit", *, says: str = "") -> bool:
        """One edit, made only once the crew has seen what it does; whether it was made."""
        from engine.change.consequences import consequences
        from engine.job.model.words.log_sentences import sentence
        from tui.boxes.preview import ChangeDialog

        opened = self.working
        if opened.read_only:
            self.notify(opened.read_only, severity="warning", markup=False)
            return False
        try:
            job = edit(opened.start, opened.clock(), opened.by)
        except JobError as error:
            self.notify(str(error), severity="warning", markup=False)
            return False
        logged = " ".join(sentence(entry) for entry in job.log[len(opened.job.log) :])
        dialog = ChangeDialog(title, says or logged, consequences(opened.walk, walk(job)))
        if not await self.app.push_screen_wait(dialog):
            return False
        if self.working.walk is not opened.walk:
            self.notify("Something came in from another laptop meanwhile. Look at it, then log this again.", severity="warning")
            return False
        return self.edit(words, edit)

    def tell(self) -> None:
        """What came in from another laptop and what the disk had to say, once; where both changed the same fact, which to keep."""
        if news := self.working.news:
            self.saver.working = replace(self.working, news=())
            self._tell_in_one(news)
        if self.app.screen is self:
            self.ask_which()

    def _tell_in_one(self, news: tuple[str, ...]) -> None:
        """What came in while the last of it still stands there is told with it, never beside it."""
        if monotonic() < self._told_until:
            news = (*self._told, *news)
            self.app.clear_notifications()
        self._told, self._told_until = news, monotonic() + TOLD_S
        self.notify(news_words(news), markup=False, timeout=TOLD_S)

    def on_screen_resume(self) -> None:
        """Back here: what had to be asked while something else was being answered."""
        if self.working.conflicts is not self._asked:
            self.ask_which()

    @work
    async def ask_which(self) -> None:
        """Where both laptops changed one fact: which to keep, one question after the other; nothing is saved before all have an answer."""
        from engine.job.merge.asked import Keep
        from tui.boxes.which_box import WhichDialog

        asked = self._asked = self.working.conflicts
        answers = dict(self.working.answers)
        before, count = len(answers), len(asked)
        for number, conflict in enumerate(asked, before + 1):
            side = await self.app.push_screen_wait(WhichDialog(conflict, number, before + count))
            if side is None:
                return
            answers[conflict] = side
        if asked and self.working.conflicts is asked:
            self.saver.send(Keep(answers))
            self.show_saved()

    @work
    async def look_around(self) -> None:
        """What was changed in a signed-off file; work of this file that was kept elsewhere and isn't in it yet."""
        from engine.job.merge.unsaved import unsaved
        from engine.paper.seal_check import seal_broken

        opened, disk, state = self.working, self.saver.disk, self.saver.state
        changed = await apart(lambda: seal_broken(opened.loaded, opened.walk, disk=disk, state=state))
        if changed and self.working.loaded is opened.loaded:
            self.saver.working = replace(self.working, touched=changed)
            self.show_saved()
        found = await apart(lambda: unsaved(opened.loaded, disk=disk, state=state))
        if found is not None:
            self._offer(found)

    @work
    async def _offer(self, found: "Unsaved") -> None:
        """Taken in only where nothing was entered meanwhile; else it is offered when the job is opened again."""
        from tui.boxes.choice import Choice

        at = found.copy.heading.saved_at
        says = f"It was kept elsewhere{f' on {format_date(at)} at {at:%H:%M}' if at else ''}, when this file couldn't be reached."
        rows = [
            ("take", Content("Take it in: join it with what is in the file")),
            ("later", Content("Not now: keep it, and ask again")),
            ("drop", Content("It isn't needed: throw it away")),
        ]
        picked = await self.app.push_screen_wait(Choice("Work that isn't in this file yet", rows, says))
        if picked == "take" and self.working.saved:
            self.saver.change(working.taken_up(self.working, found))
            self.show()
        elif picked == "drop":
            self.saver.discard(found.copy.path)

    def action_undo(self) -> None:
        self._replay(working.undone, "Taken back", "There is nothing to take back.")

    def action_redo(self) -> None:
        self._replay(working.redone, "Redone", "There is nothing to redo.")

    def _replay(self, how: Callable[["Working"], tuple["Working", str]], done: str, nothing: str) -> None:
        self.leaving = False
        replayed, words = how(self.working)
        self.saver.change(replayed)
        self.notify(f"{done}: {words}" if words else nothing, markup=False)
        self.show()
