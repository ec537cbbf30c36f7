"""A screen on the job in hand: it follows it, says why an edit can't be made, and takes back and redoes."""

from collections.abc import Awaitable, Callable, Coroutine
from time import monotonic
from typing import Any, ClassVar, TypeVar

from textual.screen import Screen

from engine.calc.phrases import ended
from engine.job.edit.edits import SEALED
from engine.job.errors import JobError
from engine.job.model.words.log_sentences import sentence
from engine.walk import Walk, walk
from tui.base.held_back import HeldBack
from tui.boxes.dialog import Dialog
from tui.boxes.from_elsewhere import FromElsewhere
from tui.working.job_in_hand import JobInHand
from tui.working.working_copy import Edit

T = TypeVar("T")

TOLD = ("obstacle", "move", "swap", "add", "drop", "reroute", "sleeve_left", "delivery", "note", "photo", "reopened")
"""Kinds of log entry that are told once they stand, with the key that takes them back."""


class JobScreen(HeldBack[None]):
    """Shows the job it is given a hold of; what it shows is the subclass's."""

    SEALED_SAYS: ClassVar[str] = SEALED
    """Why nothing can be changed in a sealed job, and where that is mended."""

    def __init__(self, hand: JobInHand) -> None:
        super().__init__()
        self.hand = hand
        self.elsewhere = FromElsewhere(self, hand)
        self._behind = False
        self.said_now = False
        """Whether the key that works now has told something; what an earlier one told makes room for what it asks."""
        self._said_until = 0.0

    def show(self) -> None:
        """Show the job anew."""
        raise NotImplementedError

    def show_saved(self) -> None:
        """Show anew how far it is on its way to the disk."""
        raise NotImplementedError

    # Following the job -----------------------------------------------------------------------------------------------

    def job_changed(self) -> None:
        """The job is another one: shown at once where the screen is in sight, else once it is again."""
        above = self.app.screen_stack[self.app.screen_stack.index(self) + 1 :]
        self._behind = not all(screen.is_modal for screen in above)
        if not self._behind:
            self.show()

    def on_screen_resume(self) -> None:
        """Back here: what changed meanwhile, and what had to be asked while something else was being answered."""
        if self._behind:
            self._behind = False
            self.show()
        self.elsewhere.ask_again()

    # Asking and editing ----------------------------------------------------------------------------------------------

    async def ask(self, box: Screen[T]) -> T | None:
        """What a box gives, None where it is left."""
        if not self.said_now:
            self.elsewhere.make_room()
        return await self.app.push_screen_wait(box)

    async def ask_then(self, box: Dialog[T], first: Callable[[T], Awaitable[bool]]) -> T | None:
        """What a box gives once what it does was seen and agreed to; until then it stays as it was filled in."""
        box.first = first
        return await self.ask(box)

    def begin(self, work: Coroutine[Any, Any, object]) -> None:
        """Work that asks and waits, beside the keys."""
        self.run_worker(work)

    def look_at(self, page: Screen[None]) -> None:
        """A page to read over this one."""
        self.elsewhere.make_room()
        self.app.push_screen(page)

    def warn(self, says: object) -> None:
        """Why something can't be done."""
        self.said_now = True
        self.elsewhere.make_room()
        self.notify(str(says), severity="warning", markup=False)

    def say(self, says: str) -> None:
        """What was done; until the next edit, for a key that takes it back would take back that."""
        self.said_now = True
        self.elsewhere.make_room()
        self._said_until = monotonic() + self.app.NOTIFICATION_TIMEOUT
        self.notify(says, markup=False)

    def may_change(self, *, sealed_too: bool = False) -> bool:
        """Whether the job may be changed; says why where it may not."""
        sealed = self.hand.job.record is not None and not sealed_too
        why = self.hand.working.read_only or (self.SEALED_SAYS if sealed else "")
        if why:
            self.warn(why)
        return not why

    def edit(self, words: str, edit: Edit, *, tells: bool = True) -> bool:
        """One edit, shown at once and sent to the disk; says why where it can't be made, and `tells` what was logged by it."""
        if not self.may_change(sealed_too=True):
            return False
        logged, sealed = len(self.hand.job.log), self.hand.job.record is not None
        if (refused := self.hand.edit(words, edit)) is not None:
            self.warn(refused)
            return False
        if sealed:
            self.elsewhere.forget()
        told = " ".join(ended(sentence(entry)) for entry in self.hand.job.log[logged:] if entry.kind in TOLD)
        if told and tells:
            self.say(f"{told} u takes that back.")
        elif monotonic() < self._said_until:
            self.elsewhere.make_room()
        return True

    async def shown_first(self, title: str, words: str, edit: Edit, *, says: str = "", again: str = "log this again") -> bool:
        """One edit, made only once the crew has seen what it does; whether it was made. `again` is what to do where something came in."""
        from engine.change.consequences import consequences
        from tui.boxes.change.preview import ChangeDialog

        opened = self.hand.working
        try:
            job = self.hand.after(edit)
        except JobError as error:
            self.warn(error)
            return False
        logged = " ".join(sentence(entry) for entry in job.log[len(opened.job.log) :])
        if not await self.ask(ChangeDialog(title, says or logged, consequences(opened.walk, walk(job)))):
            return False
        return not self.came_meanwhile(opened.walk, again) and self.edit(words, edit)

    def came_meanwhile(self, seen: Walk, then: str) -> bool:
        """Whether something came in since a box was opened on what was seen then; it is said, and what to do."""
        if came := self.hand.walk is not seen:
            self.warn(f"Something came in from another laptop meanwhile. Look at it, then {then}.")
        return came

    def action_undo(self) -> None:
        self.say(self.hand.undo())

    def action_redo(self) -> None:
        self.say(self.hand.redo())
