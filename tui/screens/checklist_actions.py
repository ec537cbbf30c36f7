"""What the keys of the checklist do: tick, read, correct, not needed."""

from datetime import datetime

from textual import work
from textual.content import Content

from engine.change.settling import ticked, to_settle
from engine.checklist import ChecklistLine, Item
from engine.job.edit import edits
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from tui.boxes.choice import Ask, Choice
from tui.boxes.reading_box import Given, ReadingDialog
from tui.boxes.row_words import ticked_words
from tui.screens.by_whom import by_name
from tui.screens.log_actions import LogActions
from tui.widgets.rows import Rows


class ChecklistActions(LogActions):
    """The keys that tick."""

    def _line(self) -> ChecklistLine | None:
        """The checklist line under the cursor, on the page it is on."""
        if self.page != "checklist":
            return None
        current = self.query_one("#checklist", Rows).current
        return next((line for line in self.working.walk.checklists[self.stage].lines if line.item.key == current), None)

    @by_name
    def action_tick(self) -> None:
        """Tick or open again; an item with a reading asks for it, and one that was read or said not needed asks what is meant."""
        line = self._line()
        if line is None:
            return
        if line.tick is not None and (line.item.reading is not None or line.tick.note):
            self._ask_what_of(line)
        elif line.tick is not None:
            self._open_again(line.item)
        elif line.item.reading is not None:
            self._ask_reading(line.item)
        else:
            self._tick(line.item)

    @work
    async def _ask_what_of(self, line: ChecklistLine) -> None:
        """A reading isn't wiped by one key: corrected, or opened again with the old one in the log."""
        reading, item = line.item.reading, line.item
        rows = [("correct", Content("c  read it again"))] if reading is not None else []
        rows.append(("open", Content("o  open it again; what stood here stays in the log")))
        answer = await self.app.push_screen_wait(Choice(item.says, rows, ticked_words(line), {"c": "correct", "o": "open"}))
        if answer == "correct" and reading is not None:
            self._ask_reading(item)
        elif answer == "open":
            self._open_again(item)

    def _open_again(self, item: Item) -> None:
        if self.edit(f"open again: {item.says}", lambda job, at, by: edits.untick(job, item.key, at, by)):
            self.notify(f"Open again: {item.says}. u takes that back.", markup=False)

    @by_name
    def action_not_needed(self) -> None:
        """Mark as not needed here; where a reading is wanted, why is asked."""
        line = self._line()
        if line is not None and line.item.reading is not None:
            self._ask_why_not(line.item)
        elif line is not None:
            self._not_needed(line.item, "")

    @work
    async def _ask_why_not(self, item: Item) -> None:
        why = await self.app.push_screen_wait(Ask("Why is it not needed", f"{item.says}. The reason goes beside it.", "why"))
        if why is not None:
            self._not_needed(item, why)

    def _not_needed(self, item: Item, why: str) -> None:
        def marked(job: Job, at: datetime, by: str) -> Job:
            return edits.tick(job, item.key, at, by, note=why, of=item.of, needed=False)

        if self.edit(f"not needed: {item.says}", marked):
            if why:
                self.notify(f"Not needed: {item.says}, {why}. u takes that back.", markup=False)
            self._step_on(item.key)

    def _tick(self, item: Item, given: Given | None = None) -> None:
        value, reason = (None, "") if given is None else (given.value, given.reason)
        if self.edit(item.says, lambda job, at, by: ticked(job, item, at, by, value, reason)):
            if post := to_settle(self.working.walk, item.key):
                self.settle_refused(post)
            else:
                self._step_on(item.key)

    def _step_on(self, key: ItemKey) -> None:
        """The cursor to the next open item below."""
        lines = self.working.walk.checklists[self.stage].lines
        keys = [line.item.key for line in lines]
        below = lines[keys.index(key) + 1 :] if key in keys else ()
        following = next((line for line in below if line.state == "open"), None)
        if following is not None:
            self.query_one("#checklist", Rows).go(following.item.key)

    @work
    async def _ask_reading(self, item: Item) -> None:
        assert item.reading is not None
        given = await self.app.push_screen_wait(ReadingDialog(item, item.reading))
        if given is not None:
            self._tick(item, given)
