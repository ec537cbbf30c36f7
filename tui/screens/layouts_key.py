"""What the key for layouts side by side does: one kept, taken, called otherwise or thrown away."""

from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from engine.job.edit.alternatives import call_layout, drop_layout, keep_layout, must_be_kept, take_layout
from engine.job.edit.edits import note
from engine.job.model.job import Job
from tui.boxes.in_name import asks, in_name
from tui.working.working_copy import did_since

if TYPE_CHECKING:
    from tui.screens.layouts_box import LayoutName
    from tui.screens.walk_screen import WalkScreen


class LayoutsKey:
    """Layouts side by side."""

    def __init__(self, screen: "WalkScreen") -> None:
        self.screen, self.hand = screen, screen.hand

    @asks
    async def action_layouts(self) -> None:
        """What is to be done with which layout; nothing where the box is left."""
        from tui.screens.layouts_box import LayoutsDialog

        wish = await self.screen.ask(LayoutsDialog(self.hand))
        if wish is not None:
            does = {"keep": self._keep, "take": self._take, "call": self._call, "drop": self._drop}[wish.does]
            in_name(self.screen, lambda: does(wish.name))

    async def _keep(self, _: str) -> None:
        from tui.screens.layouts_box import LayoutNameDialog

        called = await self.screen.ask(LayoutNameDialog("Keep the layout as it is", lambda called: keep_layout(self.hand.job, *called)))
        if called is not None and self.screen.edit(f"{called.name} kept", lambda job, *_: keep_layout(job, *called)):
            self.screen.say(f"{called.name} is kept. Change lines, gates or height with e, then j compares. u takes that back.")

    async def _take(self, name: str) -> None:
        from tui.screens.layouts_box import UNNAMED, LayoutName, LayoutNameDialog

        called: LayoutName | None = UNNAMED
        if must_be_kept(self.hand.job):
            makes = partial(take_layout, self.hand.job, name)
            called = await self.screen.ask(
                LayoutNameDialog("Keep the layout that was here as", lambda called: makes(*called), LayoutName("first", ""))
            )
        before = self.hand.walk
        if called is not None and self.screen.edit(f"{name} taken", lambda job, at, by: _taken(job, name, called, at, by), tells=False):
            kept = f"; what was there is kept as {called.name}" if called.name else ""
            self.screen.say(f"{name} is the layout now{kept}. u takes that back.\n{did_since(before, self.hand.walk)}".rstrip())

    async def _call(self, name: str) -> None:
        from tui.screens.layouts_box import LayoutName, LayoutNameDialog

        was = LayoutName(name, self.hand.job.alternatives[name].note)
        makes = partial(call_layout, self.hand.job, name)
        called: LayoutName | None = await self.screen.ask(LayoutNameDialog(f"Call {name} otherwise", lambda new: makes(*new), was))
        if called is None or called == was:
            return
        if self.screen.edit(f"{name} called otherwise", lambda job, *_: call_layout(job, name, *called)):
            says = f"{name} is called {called.name} now" if called.name != name else f"What {name} is was put down"
            self.screen.say(f"{says}. u takes that back.")

    async def _drop(self, name: str) -> None:
        from tui.boxes.choice import Answer, Choice

        answers = (Answer("no", "no, it stays", "n"), Answer("yes", "yes, throw it away", "y"))
        sure = await self.screen.ask(Choice(f"Throw {name} away?", answers)) == "yes"
        if sure and self.screen.edit(f"{name} thrown away", lambda job, *_: drop_layout(job, name)):
            self.screen.say(f"{name} is thrown away. u takes that back.")


def _taken(job: Job, name: str, called: "LayoutName", at: datetime, by: str) -> Job:
    """The log says which one it was, and what was said of it, for as the job's own layout it has no name."""
    said = job.alternatives[name].note
    return note(take_layout(job, name, *called), f"Layout {name} taken{f': {said}' if said else '.'}", at, by)
