"""What the keys of the checklist do: tick, read, correct, not needed."""

from collections.abc import Sequence
from datetime import datetime
from functools import reduce

from textual import on, work
from textual.content import Content

from engine.calc.phrases import counted
from engine.checklist import ChecklistLine, Item
from engine.job.edit import edits
from engine.job.model.job import Job
from tui.screens.by_whom import by_name
from tui.screens.log_actions import LogActions
from tui.sheet.cell_typing import Given
from tui.sheet.sheet_view import SheetView
from tui.sheet.strip_words import ticked_words


class ChecklistActions(LogActions):
    """The keys that tick."""

    @property
    def sheet(self) -> SheetView:
        """The sheet of the stage that is open."""
        raise NotImplementedError

    def _line(self) -> ChecklistLine | None:
        """The item in the cell under the cursor, on the page it is on."""
        return self.sheet.cursor.cell.line if self.page == "sheet" else None

    @by_name
    def action_tick(self) -> None:
        """Tick or open again; a reading is typed, and one that was read or said not needed asks what is meant. On a name, the row."""
        line = self._line()
        if line is None:
            if self.page == "sheet":
                self._tick_all(self.sheet.cursor.of_row(), f"{self.sheet.cursor.subject}: row ticked")
        elif line.tick is not None and (line.item.reading is not None or line.tick.note):
            self._ask_what_of(line)
        elif line.tick is not None:
            self._open_again(line)
        elif line.item.reading is not None:
            self.sheet.start()
        else:
            self._tick(line.item)

    @by_name
    def action_fill(self) -> None:
        """Tick every open plain check of this column from its top to here, told and undone as one."""
        head = self.sheet.cursor.head
        if self.page == "sheet" and head is not None:
            self._tick_all(self.sheet.cursor.to_here(), f"{head.head} filled")

    def _tick_all(self, lines: Sequence[ChecklistLine], words: str) -> None:
        """Open plain checks, as one."""
        from engine.change.settling import ticked

        items = [line.item for line in lines if line.state == "open" and line.item.reading is None]
        if not items:
            self.notify("There is nothing open here that is ticked without a reading.", markup=False)
            return

        def all_ticked(job: Job, at: datetime, by: str) -> Job:
            return reduce(lambda so_far, item: ticked(so_far, item, at, by, None, ""), items, job)

        if self.edit(words, all_ticked):
            self.notify(f"{words}: {counted(len(items), 'check')}. u takes that back.", markup=False)
            self.sheet.step_on()

    def action_only_open(self) -> None:
        """Only rows with something open, or all again."""
        self.sheet.show_only_open(not self.sheet.only_open)

    @on(SheetView.Started)
    def _reading_started(self, event: SheetView.Started) -> None:
        """A digit starts a reading where something may be changed."""
        if not event.text:
            self.notify("Nothing is read in this cell. n and p change the stage, Alt and its number too.", markup=False)
        elif self.may_change():
            self.sheet.start(event.text)

    @on(SheetView.Read)
    def _reading_kept(self, event: SheetView.Read) -> None:
        """What was typed goes into the job, under a name."""
        self.in_name(lambda: self._tick(event.line.item, event.given), sealed_too=False)

    @work
    async def _ask_what_of(self, line: ChecklistLine) -> None:
        """A reading isn't wiped by one key: corrected, or opened again with the old one in the log."""
        from tui.boxes.choice import Choice

        reading, item = line.item.reading, line.item
        rows = [("correct", Content("c  read it again"))] if reading is not None else []
        rows.append(("open", Content("o  open it again; what stood here stays in the log")))
        answer = await self.app.push_screen_wait(Choice(item.says, rows, ticked_words(line), {"c": "correct", "o": "open"}))
        if answer == "correct" and reading is not None:
            if self.sheet.typing is None:  # else what was typed meanwhile is it
                self.sheet.go(item.key)
                self.sheet.start()
        elif answer == "open":
            self._open_again(line)

    def _open_again(self, line: ChecklistLine) -> None:
        item = line.item
        if self.edit(f"open again: {item.says}", lambda job, at, by: edits.untick(job, item.key, at, by, line.tick)):
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
        from tui.boxes.choice import Ask

        why = await self.app.push_screen_wait(Ask("Why is it not needed", f"{item.says}. The reason goes beside it.", "why"))
        if why is not None:
            self._not_needed(item, why)

    def _not_needed(self, item: Item, why: str) -> None:
        def marked(job: Job, at: datetime, by: str) -> Job:
            return edits.tick(job, item.key, at, by, note=why, of=item.of, needed=False)

        if self.edit(f"not needed: {item.says}", marked):
            if why:
                self.notify(f"Not needed: {item.says}, {why}. u takes that back.", markup=False)
            self.sheet.step_on()

    def _tick(self, item: Item, given: Given | None = None) -> None:
        from engine.change.settling import ticked, to_settle

        value, reason = (None, "") if given is None else (given.value, given.reason)
        if self.edit(item.says, lambda job, at, by: ticked(job, item, at, by, value, reason)):
            if post := to_settle(self.working.walk, item.key):
                self.settle_refused(post)
            else:
                self.sheet.step_on()
