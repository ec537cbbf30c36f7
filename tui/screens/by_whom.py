"""Work that goes into the job under a name: asked for where it isn't known, and offered on no sealed job."""

from collections.abc import Callable
from functools import wraps
from typing import TypeVar

from textual import work

from engine.job.edit.edits import SEALED, reopen
from tui.boxes.editing import Editing
from tui.working import working_copy as working
from tui.working.who_works import remember_name

REOPENS = f"{SEALED} s reopens it."


class ByWhom(Editing):
    """A screen that knows who is working, or asks."""

    @work
    async def action_who(self) -> None:
        """Say who is working."""
        await self._ask_who()

    async def _ask_who(self) -> bool:
        """Whether somebody is working now; the name is kept for this laptop."""
        from tui.boxes.who_box import WhoDialog

        name = await self.app.push_screen_wait(WhoDialog(self.working.job.job.crew, self.working.by))
        if name is not None:
            self.saver.change(working.working_as(self.working, name))
            remember_name(self.saver.state, name)
            self.show()
        return name is not None

    @work
    async def ask_to_reopen(self) -> None:
        """A sealed job opened again, once it was said why and what that does was seen."""
        from tui.boxes.choice import Ask

        why = await self.app.push_screen_wait(Ask("Reopen the job", "It is signed off and sealed. Say why you reopen it.", "why"))
        if why is not None:
            says = f"Reopened: {why.rstrip('.')}. The signature is struck and the record goes; the next sign-off writes a new one."
            await self.shown_first("Reopen the job", "reopened", lambda job, at, by: reopen(job, why, at, by), says=says)

    def in_name(self, act: Callable[[], object], *, sealed_too: bool) -> None:
        """Does what is asked once it is known who does it; says why where nothing may be done."""
        if not self.may_change(sealed_too=sealed_too):
            return
        if self.working.by:
            act()
        else:
            self._ask_first(act)

    def may_change(self, *, sealed_too: bool = False) -> bool:
        """Whether the job may be changed; says why where it may not."""
        sealed = self.working.job.record is not None and not sealed_too
        why = self.working.read_only or (REOPENS if sealed else "")
        if why:
            self.notify(why, severity="warning", markup=False)
        return not why

    @work
    async def _ask_first(self, act: Callable[[], object]) -> None:
        if await self._ask_who():
            act()


S = TypeVar("S", bound=ByWhom)


def by_name(action: Callable[[S], object]) -> Callable[[S], None]:
    """An action that needs a name; on a sealed job it says how to reopen it."""

    @wraps(action)
    def asked(self: S) -> None:
        self.in_name(lambda: action(self), sealed_too=False)

    return asked


def by_name_sealed_too(action: Callable[[S], object]) -> Callable[[S], None]:
    """An action that needs a name, on a sealed job too."""

    @wraps(action)
    def asked(self: S) -> None:
        self.in_name(lambda: action(self), sealed_too=True)

    return asked
